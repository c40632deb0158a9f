// npm test: everything, fastest first. Each step runs whatever the others said; the last line counts all.
import { mkdirSync, readFileSync, rmSync } from "node:fs";
import { build } from "./build.mjs";
import { ensurePackages, root, runBin, runTool } from "./steps.mjs";

ensurePackages();
const reports = ["tests", "browser"].map((name) => `${root}.cache/${name}.json`);
mkdirSync(`${root}.cache`, { recursive: true });
for (const report of reports) rmSync(report, { force: true });
const vitest = (report, ...args) =>
  runBin("vitest/vitest.mjs", [
    "run",
    "--reporter=default",
    "--reporter=json",
    `--outputFile.json=${report}`,
    ...args,
  ]);
const node = (file, ...args) => runTool(process.execPath, [root + file, ...args]);
const steps = [
  ["format and lint", () => runBin("@biomejs/biome/bin/biome", ["check", "--error-on-warnings", "."])],
  ["layers", () => node("scripts/layers.mjs")],
  ["types", () => runBin("typescript/bin/tsc", ["-b"])],
  ["build", build],
  ["tests", () => vitest(reports[0], "--exclude", "test/browser/**", ...process.argv.slice(2))],
  // What a person would see is timed by a real browser: nothing else runs beside it.
  ["tests in a browser", () => vitest(reports[1], "--no-file-parallelism", "test/browser")],
  ["unused code", () => runBin("knip/bin/knip.js")],
  ["documentation", () => runBin("typedoc/bin/typedoc")],
  ["size of the page", () => runBin("size-limit/bin.js")],
];
let passed = 0;
let failed = 0;
const failures = [];
for (const [name, step] of steps) {
  const from = Date.now();
  console.log(`\n── ${name}`);
  const done = step();
  console.log(`── ${name}: ${done ? "passed" : "FAILED"} in ${((Date.now() - from) / 1000).toFixed(1)} s`);
  if (done) passed++;
  else {
    failed++;
    failures.push(name);
  }
}
for (const report of reports) {
  try {
    const { numPassedTests, numFailedTests } = JSON.parse(readFileSync(report, "utf8"));
    passed += numPassedTests;
    failed += numFailedTests;
  } catch {
    // The tests did not get as far as a report; their step has failed and is counted.
  }
}
if (failures.length > 0) console.log(`\nFailed: ${failures.join(", ")}.`);
console.log(`\n${passed} passed, ${failed} failed`);
process.exit(failed > 0 ? 1 : 0);
