import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { readCdl } from "./read-cdl.ts";
import {
  type NamedCdl,
  writeColorCorrection,
  writeColorCorrectionCollection,
  writeColorDecisionList,
} from "./write-cdl.ts";

const read = (name: string): string =>
  readFileSync(new URL(`../../../test/published/cdl/${name}`, import.meta.url), "utf8");

describe("ASC CDL files, OpenColorIO's samples", () => {
  it("reads the single correction of cdl_test1.cc", () => {
    expect(readCdl(read("cdl_test1.cc"))).toEqual([
      {
        id: "foo",
        cdl: { slope: [1.1, 1.2, 1.3], offset: [2.1, 2.2, 2.3], power: [3.1, 3.2, 3.3], saturation: 0.7 },
        descriptions: [],
      },
    ]);
  });
  it.each(["cdl_test1.ccc", "cdl_test1.cdl"])(
    "reads every correction of %s, other elements passed over",
    (name) => {
      const all = readCdl(read(name));
      expect(all.length).toBeGreaterThan(3);
      expect(all[0]).toMatchObject({
        id: "cc0001",
        cdl: { slope: [1, 1, 0.9], offset: [-0.03, -0.02, 0], power: [1.25, 1, 1], saturation: 1.7 },
      });
    },
  );
  const mine: NamedCdl = {
    id: "b-to-a",
    cdl: { slope: [1.1, 0.9, 1], offset: [-0.01, 0, 0.02], power: [1.2, 1, 0.8], saturation: 1.05 },
    descriptions: ["Mill & race"],
  };
  it.each([
    ["one", writeColorCorrection(mine)],
    ["a collection", writeColorCorrectionCollection([mine])],
    ["a list", writeColorDecisionList([mine])],
  ])("reads back %s as it was written", (_, text) => {
    expect(text).toContain('xmlns="urn:ASC:CDL:v1.01"');
    expect(readCdl(text)).toEqual([mine]);
  });
  it("refuses a file without a correction", () => {
    expect(() => readCdl("<ColorDecisionList/>")).toThrowError(
      expect.objectContaining({ code: "LUT_INVALID" }),
    );
  });
});
