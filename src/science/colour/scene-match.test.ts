import { describe, expect, it } from "vitest";
import { sensorChart } from "../../../test/helpers/published-colour.ts";
import { colourDifferenceCie2000 } from "./ciede2000.ts";
import { xyzToLab } from "./lab.ts";
import { applyMatrix3, type Triple } from "./matrix3.ts";
import { bt709, rgbToXyzMatrix } from "./primaries.ts";
import { matchScene, type SeenColours } from "./scene-match.ts";
import { chromaticityToXyz, whiteD65 } from "./white-points.ts";

/*
 * Two measured sensors look at one scene, made of surfaces with published spectra: a face (the chart's two skins and
 * what lies between), clothes, a wall. Each sees them in other proportions and other shading, and things of its own.
 */
const balance: Triple = [0.5, 0.7, 0.95];
const one = sensorChart(1, "D65");
const two = sensorChart(2, "D65", balance);
const shared = [0, 1, 7, 8, 12, 20, 21, 22, 3];

function seen(
  lights: readonly Triple[],
  own: readonly number[],
  seed: number,
  common: readonly number[] = shared,
): SeenColours {
  let state = seed;
  const chance = (): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
  const out: Triple[] = [];
  const shares: number[] = [];
  for (const index of [...common, ...own]) {
    const size = 0.3 + chance();
    for (let k = 0; k < 12; k++) {
      const shade = 0.35 + 0.65 * chance();
      const noise = (): number => 1 + 0.02 * (chance() - 0.5);
      const [r, g, b] = lights[index]!;
      out.push([r * shade * noise(), g * shade * noise(), b * shade * noise()]);
      shares.push(size);
    }
  }
  const total = shares.reduce((sum, v) => sum + v, 0);
  return { lights: out, shares: shares.map((v) => v / total) };
}

const moments = [1, 2, 3, 4, 5].map((k) => ({
  to: seen(one, [15, 14], 11 * k),
  from: seen(two, [13, 5], 13 * k + 7),
}));

const labOf = (light: Triple): Triple =>
  xyzToLab(applyMatrix3(rgbToXyzMatrix(bt709), light), chromaticityToXyz(whiteD65));

describe("matchScene, without a chart", () => {
  const five = matchScene(moments)!;

  it("brings what both cameras see together, and says how unsure it is", () => {
    const match = five;
    const differences = (through: (light: Triple) => Triple): number =>
      shared.reduce((sum, i) => sum + colourDifferenceCie2000(labOf(one[i]!), labOf(through(two[i]!))), 0) /
      shared.length;
    const brighter = one[20]![1] / two[20]![1];
    const before = differences(([r, g, b]) => [r * brighter, g * brighter, b * brighter]);
    const after = differences((light) => applyMatrix3(match.matrix, light));
    expect(before).toBeGreaterThan(8);
    // Gains read off a white would leave 6.2 of these 12.
    expect(match.level).toBe("matrix");
    expect(after).toBeLessThan(0.4 * before);
    expect(match.after).toBeLessThan(match.before);
    expect(match.spread).toBeGreaterThan(0);
    expect(match.spread).toBeLessThan(4);
  });

  it("states an uncertainty that its true error keeps within, by scenes it was not set by", () => {
    let within = 0;
    let surest = Number.POSITIVE_INFINITY;
    for (const [seed, light] of (
      [
        [0.6, 0.8, 1.1],
        [1, 0.6, 0.7],
        [0.8, 1, 0.6],
      ] as Triple[]
    ).entries()) {
      const other = sensorChart(2, "D65", light);
      const pairs = [1, 2, 3].map((k) => ({
        to: seen(one, [15, 14], 101 * k + seed),
        from: seen(other, [13, 5], 211 * k + seed),
      }));
      const match = matchScene(pairs)!;
      const error =
        shared.reduce(
          (sum, i) =>
            sum + colourDifferenceCie2000(labOf(one[i]!), labOf(applyMatrix3(match.matrix, other[i]!))),
          0,
        ) / shared.length;
      if (error <= match.uncertainty) within++;
      expect(match.uncertainty).toBeGreaterThan(match.spread);
      surest = Math.min(surest, match.uncertainty / match.before);
    }
    // It says something, too: a match that came out well is not as unsure as no match.
    expect(surest).toBeLessThan(0.8);
    expect(within).toBeGreaterThanOrEqual(2);
  });

  it("is no worse than gains alone where greys are all that is shared and tell no 3×3", () => {
    const greys = [18, 19, 20, 21, 22];
    const match = matchScene(
      [1, 2, 3].map((k) => ({ to: seen(one, [], 31 * k, greys), from: seen(two, [], 37 * k + 5, greys) })),
    )!;
    expect(match.level).toBe("gains");
    const off = (through: (light: Triple) => Triple): number =>
      shared.reduce((sum, i) => sum + colourDifferenceCie2000(labOf(one[i]!), labOf(through(two[i]!))), 0) /
      shared.length;
    const white = [0, 1, 2].map((c) => one[20]![c]! / two[20]![c]!);
    const gains = off((light) => light.map((v, c) => v * white[c]!) as unknown as Triple);
    expect(off((light) => applyMatrix3(match.matrix, light))).toBeLessThan(1.15 * gains);
  });

  it("is surer of five moments than of three", () => {
    expect(five.spread).toBeLessThan(2 * matchScene(moments.slice(0, 3))!.spread);
    expect(matchScene(moments.slice(0, 1))!.spread).toBe(Number.POSITIVE_INFINITY);
  });

  it("answers null where too few colours are seen: any gains would do", () => {
    const few: SeenColours = {
      lights: [
        [0.5, 0.4, 0.3],
        [0.2, 0.3, 0.5],
      ],
      shares: [0.5, 0.5],
    };
    expect(matchScene([{ to: few, from: few }])).toBeNull();
  });
});
