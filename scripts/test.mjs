// npm test: everything. Each step runs whatever the others said; the last line counts all.
import { mkdirSync, readFileSync, rmSync } from "node:fs";
import { ensurePackages, root, runBeside, runBin } from "./steps.mjs";

ensurePackages();
const report = `${root}.cache/tests.json`;
mkdirSync(`${root}.cache`, { recursive: true });
rmSync(report, { force: true });
let passed = 0;
let failed = 0;
const failures = [];

/** Says how a step went, and counts it. */
function tell(name, done, from) {
  console.log(`── ${name}: ${done ? "passed" : "FAILED"} in ${((Date.now() - from) / 1000).toFixed(1)} s`);
  if (done) passed++;
  else {
    failed++;
    failures.push(name);
  }
}

/** Steps one after the other, each on one core: what one prints is shown when it ends. */
async function oneCore(steps) {
  for (const [name, file, ...args] of steps) {
    const from = Date.now();
    const { done, printed } = await runBeside(process.execPath, [root + file, ...args]);
    console.log(`\n── ${name}\n${printed.trimEnd()}`);
    tell(name, done, from);
  }
}

// What reads the sources alone goes beside the compiler.
await Promise.all([
  oneCore([
    ["types", "node_modules/typescript/bin/tsc", "-b"],
    ["build", "scripts/build.mjs"],
    // In a built tree: the command's own door is found through what was built.
    ["unused code", "node_modules/knip/bin/knip.js"],
    ["size of the page", "node_modules/size-limit/bin.js"],
  ]),
  oneCore([
    ["format and lint", "node_modules/@biomejs/biome/bin/biome", "check", "--error-on-warnings", "."],
    ["layers", "scripts/layers.mjs"],
    ["documentation", "node_modules/typedoc/bin/typedoc"],
  ]),
]);
// The program, its parts and its pages in one go: two long waits one after the other would leave a core idle.
const from = Date.now();
console.log("\n── tests");
const how = ["--reporter=default", "--reporter=json", `--outputFile.json=${report}`];
tell("tests", runBin("vitest/vitest.mjs", ["run", ...how, ...process.argv.slice(2)]), from);
try {
  const { numPassedTests, numFailedTests } = JSON.parse(readFileSync(report, "utf8"));
  passed += numPassedTests;
  failed += numFailedTests;
} catch {
  // The tests did not get as far as a report; their step has failed and is counted.
}
if (failures.length > 0) console.log(`\nFailed: ${failures.join(", ")}.`);
console.log(`\n${passed} passed, ${failed} failed`);
process.exit(failed > 0 ? 1 : 0);
