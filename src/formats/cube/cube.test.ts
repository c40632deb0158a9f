import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { makeLut3d, sampleLut3d } from "#science/colour/lut3d";
import type { Triple } from "#science/colour/matrix3";
import { formatCube, parseCube } from "./cube.ts";

const folder = new URL("../../../test/published/cube/", import.meta.url);
const read = (name: string): string => readFileSync(new URL(name, folder), "utf8");
// Outputs of OpenColorIO 2.1.2 for these files; how they were made stands in the file.
const expected = JSON.parse(read("expected.json")) as { inputs: Triple[]; outputs: Record<string, Triple[]> };

describe("parseCube and sampleLut3d, against OpenColorIO 2.1.2", () => {
  it.each(["id2.cube", "nonlin2_domain.cube"])("gives the same colours through %s, tetrahedrally", (name) => {
    const file = parseCube(read(name));
    if (file.kind !== "3D") throw new Error("expected a 3D table");
    expected.inputs.forEach((input, i) => {
      const out = sampleLut3d(file.lut, input);
      expected.outputs[`${name}:tetrahedral`]![i]!.forEach((value, c) => {
        expect(Math.abs(out[c]! - value)).toBeLessThan(5e-5);
      });
    });
  });
  it("reads a one-dimensional table with its title", () => {
    const file = parseCube(read("one_d.cube"));
    expect(file).toMatchObject({ kind: "1D", title: "three curves", lut: { size: 5 } });
    expect(Math.abs(file.lut.table[3]! - 0.1)).toBeLessThan(1e-6);
  });
});

describe("formatCube", () => {
  it("is read back to the sixth decimal, red fastest, comments and title kept", () => {
    const lut = makeLut3d(5, ([r, g, b]) => [r * r, 0.5 * g - 0.1, 1.2 * b]);
    const text = formatCube(lut, { title: 'B to "A"', comments: ["full range", "two\nlines"] });
    const back = parseCube(text);
    if (back.kind !== "3D") throw new Error("expected a 3D table");
    expect(back.title).toBe("B to 'A'");
    expect(back.comments).toEqual(["full range", "two lines"]);
    for (let i = 0; i < lut.table.length; i++)
      expect(Math.abs(back.lut.table[i]! - lut.table[i]!)).toBeLessThan(1e-6);
    expect(text.split("\n")[7]).toBe("0.062500 -0.100000 0.000000");
  });
});

describe("parseCube refuses what would colour pictures wrongly", () => {
  const two = `LUT_3D_SIZE 2\n${"0 0 0\n".repeat(8)}`;
  it.each([
    ["a row too few", `LUT_3D_SIZE 2\n${"0 0 0\n".repeat(7)}`, "7 rows"],
    ["a row too many", `${two}0 0 0\n`, "more than the 8 rows"],
    ["a row of two", two.replace("0 0 0", "0 0"), "three numbers"],
    ["a word among numbers", `LUT_3D_SIZE 2\n0 0 0\nDOMAIN_MIN 0 0 0\n`, "DOMAIN_MIN among"],
    ["NaN", two.replace("0 0 0", "0 0 nan"), "three numbers"],
    ["no size", "0 0 0\n", "before it says"],
    ["nothing", "", "how many points"],
    ["both tables", `LUT_1D_SIZE 2\nLUT_3D_SIZE 2\n`, "more than one table"],
    ["an unknown word", `LUT_3D_INPUT_RANGE 0 1\n${two}`, "does not know"],
    ["a size of one", "LUT_3D_SIZE 1\n0 0 0\n", "from 2 to 256"],
    ["an empty domain", `DOMAIN_MAX 0 1 1\n${two}`, "ends before it begins"],
  ])("%s", (_what, text, says) => {
    expect(() => parseCube(text)).toThrowError(
      expect.objectContaining({ code: "LUT_INVALID", message: expect.stringContaining(says) }),
    );
  });
});
