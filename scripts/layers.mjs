// Checks the layer rules and that the checker really read the modules: a checker that sees nothing passes everything.
import { readdirSync } from "node:fs";
import { join } from "node:path";
import { cruise } from "dependency-cruiser";
import extractTSConfig from "dependency-cruiser/config-utl/extract-ts-config";
import config from "../.dependency-cruiser.mjs";

const sources = (folder) =>
  readdirSync(folder, { withFileTypes: true }).flatMap((entry) =>
    entry.isDirectory()
      ? sources(join(folder, entry.name))
      : /(?<!\.test|\.d)\.tsx?$/.test(entry.name)
        ? [join(folder, entry.name)]
        : [],
  );
const expected = [...sources("src"), ...sources("demo")];
const { output } = await cruise(
  ["src", "demo"],
  { ...config.options, ruleSet: { forbidden: config.forbidden }, validate: true },
  config.options.enhancedResolveOptions,
  { tsConfig: extractTSConfig("tsconfig.base.json") },
);
const seen = new Set(output.modules.map((module) => module.source));
const unseen = expected.filter((file) => !seen.has(file.replaceAll("\\", "/")));
const linked = output.modules
  .flatMap((module) => module.dependencies)
  .filter((d) => d.module.startsWith("#"));
const unresolved = linked.filter((d) => d.couldNotResolve);
for (const { rule, from, to } of output.summary.violations)
  console.error(
    `${rule.name}: ${from} imports ${to}. ${config.forbidden.find((r) => r.name === rule.name)?.comment ?? ""}`,
  );
for (const file of unseen) console.error(`The layer check did not read ${file}.`);
for (const d of unresolved) console.error(`The layer check could not follow ${d.module}.`);
const failed = output.summary.violations.length + unseen.length + unresolved.length;
console.log(`layers: ${seen.size} modules, ${linked.length} links between layers, ${failed} broken`);
process.exit(failed > 0 || linked.length === 0 ? 1 : 0);
