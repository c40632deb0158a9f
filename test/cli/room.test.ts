import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { roomResultSchema } from "#documents/room-result";
import { filesBelow, ownFolder, runGemel } from "../helpers/run-gemel.ts";

/** What the tests change in the printed example. */
interface Loft {
  readonly microphones: { at?: number[] }[];
  readonly cameras: { focalLength: number }[];
}

const withLoft = async (change: (plan: Loft) => void = () => {}): Promise<string> => {
  const folder = ownFolder();
  const printed = await runGemel(["room", "--example"], folder);
  expect(printed.code).toBe(0);
  const plan = JSON.parse(printed.out) as Loft;
  change(plan);
  writeFileSync(join(folder, "loft.json"), JSON.stringify(plan));
  return folder;
};

describe("gemel room on a bare plan file", () => {
  it("opens with one sentence and prints figures in the published shape", async () => {
    const folder = await withLoft();
    const said = await runGemel(["room", "loft.json"], folder);
    expect(said).toMatchObject({ code: 0, err: "" });
    expect(said.out.split("\n")[0]).toMatch(/^Both cameras see the sitter .*\.$/);
    const json = await runGemel(["room", "loft.json", "--json"], folder);
    const result = roomResultSchema.parse(JSON.parse(json.out));
    expect(result.cameras.map((c) => c.id)).toEqual(["A", "B"]);
    expect(JSON.parse(json.out)).toHaveProperty("verdict", said.out.split("\n")[0]);
  });
  it("tells lengths in feet and inches where asked, whatever units the plan was drawn in", async () => {
    const folder = await withLoft();
    const [metres, feet, wrong] = await Promise.all(
      [[], ["--units", "feet"], ["--units", "yards"]].map((more) =>
        runGemel(["room", "loft.json", ...more], folder),
      ),
    );
    expect(metres!.out).toMatch(/\d (cm|m)\b/);
    expect(feet!.out).toMatch(/\d"/);
    expect(feet!.out).not.toMatch(/\d (cm|m)\b/);
    expect(wrong).toMatchObject({ code: 2, out: "" });
    expect(wrong!.err).toContain("--units yards is neither metric nor feet");
  });
  it("draws the plan and writes the move's table, whole files both", async () => {
    const folder = await withLoft();
    const ran = await runGemel(
      ["room", "loft.json", "--drawing", "loft.svg", "--move-csv", "move.csv", "--frames", "frames"],
      folder,
    );
    expect(ran.code).toBe(0);
    expect(await filesBelow(folder)).toEqual(
      expect.arrayContaining(["loft.svg", "move.csv", "frames/A.svg", "frames/B.svg"]),
    );
    expect(readFileSync(join(folder, "loft.svg"), "utf8")).toMatch(/^<svg[\s\S]*<\/svg>\s*$/);
    expect(readFileSync(join(folder, "frames", "B.svg"), "utf8")).toMatch(/^<svg[\s\S]*<\/svg>\s*$/);
    expect(readFileSync(join(folder, "move.csv"), "utf8").split("\n").length).toBeGreaterThan(3);
  });
  it("a plan that cannot be filmed ends with 1 and says what to do", async () => {
    const folder = await withLoft((plan) => {
      plan.microphones[1]!.at = [2.62, 3.1, 1.3];
    });
    const ran = await runGemel(["room", "loft.json"], folder);
    expect(ran.code).toBe(1);
    expect(ran.out).toMatch(
      /^Two things must change before this plan can be filmed; the first: the boom hangs \d+ cm into camera A/,
    );
    expect(ran.out).toMatch(/Raise it by \d+ cm/);
  });
  it("looks for stagings by seed, and writes the best as a plan that can be filmed", async () => {
    const folder = await withLoft();
    const ran = await runGemel(["room", "loft.json", "--propose", "--best", "best.json", "--json"], folder);
    expect(ran.code).toBe(0);
    const { proposals, search } = roomResultSchema.parse(JSON.parse(ran.out));
    expect(proposals!.length).toBeGreaterThan(0);
    expect(proposals![0]!.total).toBeGreaterThan(search!.now.total);
    const best = await runGemel(["room", "best.json"], folder);
    expect(best.code).toBe(0);
  });
  it("tells two things that contradict each other by name", async () => {
    const folder = await withLoft((plan) => {
      plan.cameras[1]!.focalLength = 300;
    });
    const ran = await runGemel(["room", "loft.json"], folder);
    expect(ran.code).toBe(1);
    expect(ran.out).toContain("Camera B is set to 300 mm, and the Long zoom goes from 70 to 200 mm.");
  });
  it.each([
    [["room"], "takes one plan file"],
    [["room", "gone.json"], "There is no gone.json"],
    [["room", "text.json"], "text.json is not JSON"],
    [["room", "short.json"], "short.json is not a plan: room"],
    [["room", "text.json", "--seed", "2"], "--seed goes with --propose"],
    [["room", "text.json", "--propose", "--seed", "x"], "not a whole number"],
    [["room", "."], "holds no sitting.json"],
  ])("%j exits 2 with one clear answer", async (args, says) => {
    const folder = ownFolder();
    writeFileSync(join(folder, "text.json"), "a room, six by four");
    writeFileSync(join(folder, "short.json"), '{"kind":"gemel.plan","version":1}');
    const ran = await runGemel(args, folder);
    expect(ran).toMatchObject({ code: 2, out: "" });
    expect(ran.err).toContain(says);
    expect(ran.err.trim().split("\n")).toHaveLength(1);
  });
});
