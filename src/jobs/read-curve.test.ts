import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { writeClf } from "#formats/clf/write-clf";
import { formatCube } from "#formats/cube/cube";
import { givenCurve } from "#science/colour/given-curve";
import { makeLut3d } from "#science/colour/lut3d";
import { acescctToLinear, linearToAcescct, linearToHlg } from "#science/colour/transfer-functions";
import { readCurve } from "./read-curve.ts";

let folder = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "gemel-curve-"));
});
afterAll(() => rm(folder, { recursive: true, force: true }));
const file = async (name: string, text: string): Promise<string> => {
  const path = join(folder, name);
  await writeFile(path, text);
  return path;
};

/** A one-dimensional .cube file of a function on [0, 1]. */
const cube1d = (f: (x: number) => number, size = 4096): string =>
  `LUT_1D_SIZE ${size}\n${Array.from({ length: size }, (_, i) => {
    const v = f(i / (size - 1)).toFixed(7);
    return `${v} ${v} ${v}`;
  }).join("\n")}\n`;

describe("readCurve", () => {
  it.each([
    ["HLG", "HLG"],
    ["hlg", "HLG"],
    ["Rec. 709", "BT.709"],
    ["SMPTE ST 2084", "PQ"],
    ["18", "HLG"],
    ["gamma 2.4", "gamma 2.4"],
    ["acescct", "ACEScct"],
  ])("takes %s for %s", async (word, name) => {
    const said = await readCurve(word);
    expect(givenCurve(said)).toMatchObject({ name, known: "given" });
  });

  // SMPTE ST 2136-1, ACEScct written by its parameters; [S-2016-001]: 0.18 is code 0.413588.
  it("takes a log curve's parameters", async () => {
    const said = await readCurve(
      '{"base":2,"logSideSlope":0.0570776256,"logSideOffset":0.5547945205,"linSideSlope":1,"linSideOffset":0,"linSideBreak":0.0078125}',
    );
    const curve = givenCurve(said);
    expect(curve.toCode(0.18)).toBeCloseTo(0.413588, 5);
    expect(curve.toLight(0.413588)).toBeCloseTo(0.18, 5);
  });

  it.each(["toLight", "toCode"] as const)("takes a table either way about: %s", async (way) => {
    // Codes to light, or light from 0 to 1 to codes.
    const path = await file(`${way}.cube`, cube1d(way === "toLight" ? acescctToLinear : linearToHlg));
    const curve = givenCurve(await readCurve(path));
    const back = way === "toLight" ? linearToAcescct : linearToHlg;
    const gain = curve.toLight(back(0.18)) / 0.18;
    for (const light of [0.02, 0.18, 0.5, 0.9]) {
      expect(Math.abs(curve.toLight(back(light)) / gain / light - 1)).toBeLessThan(0.01);
      expect(curve.toCode(gain * light)).toBeCloseTo(back(light), 3);
    }
  });

  it("takes a curve from a CLF file", async () => {
    const lut = makeLut3d(65, ([r, g, b]) => [r ** 2.4, g ** 2.4, b ** 2.4]);
    const path = await file(
      "curve.clf",
      writeClf(
        { name: "curve", descriptions: [], inputDescriptor: "code values", outputDescriptor: "light" },
        [{ kind: "LUT3D", lut, interpolation: "tetrahedral" }],
      ),
    );
    const curve = givenCurve(await readCurve(path));
    expect(curve.toLight(0.5)).toBeCloseTo(0.5 ** 2.4, 2);
  });

  it("refuses a look, a table that falls, a name that nobody published, and what is no JSON", async () => {
    const look = await file(
      "look.cube",
      formatCube(
        makeLut3d(17, ([r, g, b]) => [0.8 * r + 0.2 * g, g, b]),
        { title: "a look" },
      ),
    );
    const falling = await file(
      "falling.cube",
      cube1d((x) => 1 - x, 33),
    );
    await expect(readCurve(look)).rejects.toMatchObject({ code: "LUT_INVALID" });
    await expect(readCurve(falling)).rejects.toMatchObject({ code: "LUT_INVALID" });
    await expect(readCurve("tide mill")).rejects.toMatchObject({ code: "CURVE_UNKNOWN" });
    await expect(readCurve('{"base": 2')).rejects.toMatchObject({ code: "DOCUMENT_NOT_JSON" });
    await expect(readCurve(join(folder, "away.cube"))).rejects.toMatchObject({ code: "FILE_MISSING" });
  });
});
