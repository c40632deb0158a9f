import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { kitResultSchema } from "#documents/kit-result";
import { kitSchema } from "#documents/plan";
import { roomPlan } from "../helpers/room-plan.ts";
import { filesBelow, ownFolder, runGemel } from "../helpers/run-gemel.ts";

describe("gemel kit", () => {
  it("adds up a bare plan file, prints what its schema says, and keeps the kit for later", async () => {
    const folder = ownFolder();
    writeFileSync(join(folder, "plan.json"), JSON.stringify(roomPlan));
    const { code, out } = await runGemel(["kit", "plan.json", "--json", "--keep"], folder);
    expect(code).toBe(0);
    expect(kitResultSchema.parse(JSON.parse(out)).cameras.map(({ id }) => id)).toEqual(["A", "B"]);
    const own = await runGemel(["kit", "--own"], folder);
    expect(kitSchema.parse(JSON.parse(own.out)).bodies.map(({ id }) => id)).toEqual(["body"]);
    expect(await filesBelow(folder)).toEqual([".config/gemel/kit.json", "plan.json"]);
  });
  it("tells verdict, pack and cautions in prose", async () => {
    const folder = ownFolder();
    writeFileSync(join(folder, "plan.json"), JSON.stringify(roomPlan));
    const { out } = await runGemel(["kit", "plan.json"], folder);
    expect(out).toContain("To pack");
    expect(out).toContain("Local codes and licensed practice decide.");
  });
  it("says in one line that nothing is kept yet", async () => {
    const { code, err } = await runGemel(["kit", "--own"], ownFolder());
    expect(code).toBe(2);
    expect(err.trim().split("\n")).toHaveLength(1);
  });
});
