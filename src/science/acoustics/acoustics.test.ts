import { describe, expect, it } from "vitest";
import published from "../../../test/published/acoustics/absorption_coefficients.json" with { type: "json" };
import { airAbsorption } from "./air-absorption.ts";
import { materialOf, materials } from "./materials.ts";
import { directivityIndex, patternShare } from "./microphone-pattern.ts";
import {
  criticalDistance,
  energyPerMetre,
  eyringSeconds,
  octaveBands,
  sabineSeconds,
  schroederHertz,
} from "./reverberation.ts";
import { levelAt, reverberantLevel, sumOfLevels, talkerOffAxisLoss } from "./speech-level.ts";
import { speedOfSound } from "./speed-of-sound.ts";

const rows = new Map<string, { coeffs: number[] }>(
  Object.values(published.absorption).flatMap((group) => Object.entries(group as object)),
);

describe("materials, against Vorländer, Auralization (2008), Appendix", () => {
  it("has the whole published table, 90 rows", () => expect(rows.size).toBe(90));
  it.each(materials.map((material) => [material.id, material] as const))(
    "%s is the printed row",
    (_, material) => {
      expect(rows.get(material.row)?.coeffs.slice(0, 6)).toEqual([...material.absorbs]);
    },
  );
  it("knows the plan's own defaults, and no invented name", () => {
    for (const id of ["plasterboard", "wood-on-joists"]) expect(materialOf(id)).toBeDefined();
    expect(materialOf("moon-rock")).toBeUndefined();
  });
});

describe("reverberation", () => {
  // python-acoustics' own test: V 3000, S 240/600/500, α 0.1/0.25/0.45.
  const A = 240 * 0.1 + 600 * 0.25 + 500 * 0.45;
  it("is 1.211382149 s after Sabine and 1.020427763 s after Eyring in the worked room (c = 343)", () => {
    // The last printed place is a 5 rounded up: 1.2113821485.
    expect(sabineSeconds(3000, A)).toBeCloseTo(1.211382149, 8);
    expect(eyringSeconds(3000, 1340, A / 1340)).toBeCloseTo(1.020427763, 9);
  });
  // A room 5 × 4 × 2.7 m, plasterboard walls, 8 m² of curtain, carpet, plasterboard ceiling; computed with 0.161.
  const V = 54;
  const S = 88.6;
  const table = {
    A: [11.09, 9.34, 12.556, 14.464, 14.624, 17.07],
    sabine: [0.7839, 0.9308, 0.6924, 0.6011, 0.5945, 0.5093],
    eyring: [0.7338, 0.8809, 0.6421, 0.5506, 0.544, 0.4585],
    critical: [0.47, 0.431, 0.5, 0.536, 0.539, 0.583],
  };
  const parts: [string, number][] = [
    ["plasterboard", 40.6],
    ["curtain-light", 8],
    ["carpet", 20],
    ["ceiling-plasterboard", 20],
  ];
  const speedOf161 = (24 * Math.LN10) / 0.161;
  it.each(octaveBands.map((hertz, band) => [hertz, band] as const))(
    "is the worked room's at %i Hz",
    (_, band) => {
      const absorption = parts.reduce((sum, [id, area]) => sum + area * materialOf(id)!.absorbs[band]!, 0);
      expect(absorption).toBeCloseTo(table.A[band]!, 3);
      expect(sabineSeconds(V, absorption, speedOf161)).toBeCloseTo(table.sabine[band]!, 4);
      expect(eyringSeconds(V, S, absorption / S, speedOf161)).toBeCloseTo(table.eyring[band]!, 4);
      expect(criticalDistance(1, absorption)).toBeCloseTo(table.critical[band]!, 3);
    },
  );
  it("has its lowest statistical tone at 2000·√(T/V)", () => {
    expect(schroederHertz(0.54, 54)).toBeCloseTo(200, 9);
  });
  it("rings shorter with the air's own absorption", () => {
    const dry = eyringSeconds(3000, 1340, 0.05);
    expect(eyringSeconds(3000, 1340, 0.05, 343, energyPerMetre(0.0229))).toBeLessThan(dry);
    expect(energyPerMetre(4.342944819)).toBeCloseTo(1, 9);
  });
});

describe("air", () => {
  it.each([
    // Degrees, metres a second: 331.3·√(1 + t/273.15), as printed.
    [-10, 325.18],
    [0, 331.3],
    [10, 337.31],
    [15, 340.28],
    [20, 343.21],
    [25, 346.13],
    [30, 349.02],
    [40, 354.73],
  ])("carries sound at %i °C with %d m/s", (celsius, speed) => {
    expect(speedOfSound(celsius)).toBeCloseTo(speed, 2);
  });
  it.each([
    // ISO 9613-2 Table 2, dB a kilometre at 63 Hz to 8 kHz.
    [10, 70, [0.1, 0.4, 1, 1.9, 3.7, 9.7, 32.8, 116.9]],
    [20, 70, [0.1, 0.3, 1.1, 2.8, 5, 9, 22.9, 76.6]],
    [30, 70, [0.1, 0.3, 1, 3.1, 7.4, 12.7, 23.1, 59.3]],
    [15, 20, [0.3, 0.6, 1.2, 2.7, 8.2, 28.2, 88.8, 201.8]],
  ])("takes at %i °C and %i %% what ISO 9613 says", (celsius, humidity, decibels) => {
    for (const [i, db] of decibels.entries()) {
      // The bands' exact middles: 1000·10^(0.3 n), ISO 9613-1, 6.4.
      const found = 1000 * airAbsorption(1000 * 10 ** (0.3 * (i - 4)), celsius, humidity);
      expect(Math.abs(found - db)).toBeLessThan(0.05 + 0.003 * db);
    }
  });
});

describe("microphones", () => {
  it.each([
    // Directivity indices of the first-order patterns, closed form: -10 lg(a² + b²/3).
    ["omni", 0],
    ["cardioid", 4.77],
    ["supercardioid", 5.72],
    ["hypercardioid", 6.02],
    ["figure-8", 4.77],
  ] as const)("%s has an index of %d dB", (pattern, db) => {
    expect(directivityIndex(pattern)).toBeCloseTo(db, 2);
  });
  it("have their nulls where their formulas do: cardioid 180°, supercardioid 125°, hypercardioid 110°, figure-8 90°", () => {
    expect(patternShare("cardioid", 180)).toBeCloseTo(0, 12);
    // Nearest whole degrees are quoted by the trade.
    expect(Math.abs(patternShare("supercardioid", 125.3))).toBeLessThan(0.001);
    expect(Math.abs(patternShare("hypercardioid", 109.5))).toBeLessThan(0.001);
    expect(patternShare("figure-8", 90)).toBeCloseTo(0, 12);
  });
  it("take less of a room through a tube, the more the higher the tone", () => {
    const low = directivityIndex("shotgun", 250);
    expect(low).toBeGreaterThan(directivityIndex("supercardioid") - 0.01);
    expect(directivityIndex("shotgun", 4000)).toBeGreaterThan(low + 2);
  });
});

describe("levels", () => {
  it("fall by 6.02 dB for every doubling, and two alike add 3.01 dB", () => {
    expect(levelAt(60, 1) - levelAt(60, 2)).toBeCloseTo(6.0206, 4);
    expect(sumOfLevels([50, 50]) - 50).toBeCloseTo(3.0103, 4);
  });
  it("of talker and room are alike at the critical distance", () => {
    const R = 14;
    expect(levelAt(60, criticalDistance(1, R))).toBeCloseTo(reverberantLevel(60, R), 9);
  });
  it("of a talker are weaker behind (from memory: 7 dB)", () => {
    expect(talkerOffAxisLoss(0)).toBe(0);
    expect(talkerOffAxisLoss(180)).toBe(7);
  });
});
