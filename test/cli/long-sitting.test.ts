import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import type { DemoTruth } from "#demo/demo-truth";
import type { ChapterResults } from "#documents/chapter-results";
import { longSoundDemo } from "../helpers/demo.ts";
import { worstError } from "../helpers/placement-error.ts";
import { runGemel } from "../helpers/run-gemel.ts";

// A demo of twenty minutes is made for it. The truth is the demo's own: invented data, for regression.
it("Clock reads the clocks of a 20-minute sitting to half a part in a million", {
  timeout: 400_000,
}, async () => {
  const long = await longSoundDemo();
  const files = (JSON.parse(readFileSync(join(long, "truth.json"), "utf8")) as DemoTruth).files;
  const ran = await runGemel(["clock", ...files.map(({ path }) => path), "--json"], long);
  const { recordings } = JSON.parse(ran.out) as ChapterResults["clock"];
  for (const file of files) {
    const placed = recordings.find(({ path }) => path === file.path)!;
    expect(Math.abs(placed.ratePpm! - file.ratePpm), file.path).toBeLessThan(0.5);
    expect(worstError(placed, file), file.path).toBeLessThan(0.001);
  }
});
