import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { spectralLocus } from "./spectral-locus.ts";
import { xyzToUvPrime } from "./uv-prime.ts";
import { chromaticityToXyz, whiteD50, whiteD65 } from "./white-points.ts";

describe("u'v', against CIE 015:2018", () => {
  // Table T.3 prints u', v' of the illuminants with four decimals. Digits from memory.
  it.each([
    ["D65", whiteD65, [0.1978, 0.4683]],
    ["D50", whiteD50, [0.2092, 0.4881]],
  ] as const)("puts %s where the table does", (_, white, [u, v]) => {
    const [own, other] = xyzToUvPrime(chromaticityToXyz(white));
    expect(own).toBeCloseTo(u, 4);
    expect(other).toBeCloseTo(v, 4);
  });

  it("does not depend on how bright a colour is", () => {
    const [x, y, z] = [0.3, 0.2, 0.6];
    expect(xyzToUvPrime([5 * x, 5 * y, 5 * z])[0]).toBeCloseTo(xyzToUvPrime([x, y, z])[0], 12);
  });
});

describe("the spectral locus", () => {
  // CIE 015:2018, Table T.4, whole in test/published/colour.
  it("is the published observer, wavelength by wavelength", () => {
    const text = readFileSync(
      new URL("../../../test/published/colour/cie1931_2deg_and_illuminants_5nm.csv", import.meta.url),
      "utf8",
    );
    const rows = text
      .split("\n")
      .filter((line) => /^\d/.test(line))
      .map((line) => line.split(",").map(Number));
    expect(spectralLocus).toHaveLength(61);
    for (const { nm, uv } of spectralLocus) {
      const row = rows.find(([wavelength]) => wavelength === nm)!;
      expect(uv).toEqual(xyzToUvPrime([row[1]!, row[2]!, row[3]!]));
    }
  });

  it("goes round the white: every colour of a screen lies within", () => {
    const inside = ([u, v]: readonly [number, number]): boolean => {
      let isIn = false;
      spectralLocus.forEach(({ uv: [u1, v1] }, i) => {
        const [u2, v2] = spectralLocus[(i + 1) % spectralLocus.length]!.uv;
        if (v1 > v !== v2 > v && u < u1 + ((v - v1) / (v2 - v1)) * (u2 - u1)) isIn = !isIn;
      });
      return isIn;
    };
    expect(inside(xyzToUvPrime(chromaticityToXyz(whiteD65)))).toBe(true);
    // Rec. ITU-R BT.709-6, item 1.3: red, green, blue.
    for (const primary of [
      [0.64, 0.33],
      [0.3, 0.6],
      [0.15, 0.06],
    ] as const)
      expect(inside(xyzToUvPrime(chromaticityToXyz(primary)))).toBe(true);
    expect(inside([0.01, 0.2])).toBe(false);
  });
});
