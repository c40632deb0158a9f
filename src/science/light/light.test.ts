import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { directionOf, type Vector3 } from "../geometry/vector3.ts";
import { beamShare, lumensPerCandela } from "./beam.ts";
import { bouncedLux } from "./bounce.ts";
import { daylightLux } from "./daylight.ts";
import {
  cineConstant,
  exposureStops,
  isoFor,
  luxWanted,
  shutterSeconds,
  solveExposure,
  tStopFor,
} from "./exposure.ts";
import { beatHertz, rippleShare, safeShutterAngles } from "./flicker.ts";
import { inverseSquareLux, luxPerFootcandle, stopsBetween } from "./footcandle.ts";
import { gelFor, miredOf, miredShift } from "./mired.ts";
import { mixedWhite } from "./mixed-light.ts";
import { densityOfStops, nearestDensity, stopsOfDensity } from "./nd.ts";
import { polygonFactor } from "./polygon-light.ts";
import { rectangleLampLux, shadowEdgeMetres, softnessDegrees } from "./rectangle-lamp.ts";

describe("exposure, against the cinematographers' table of footcandles (fc = 25·T²/(EI·t)) and ISO 2720:1974", () => {
  // Meters' constants span about a third of a stop: the table is checked to that.
  const aThird = 1 / 3;
  it.each([
    // EI, frames, angle, footcandles, T by the rule.
    [100, 24, 180, 100, 2.887],
    [100, 24, 180, 200, 4.082],
    [800, 24, 180, 25, 4.082],
    [800, 25, 180, 25, 4],
  ])("EI %i, %i frames, %i°, %i fc asks for T%d", (iso, rate, angle, footcandles, tStop) => {
    const seconds = shutterSeconds(angle, rate);
    const found = tStopFor(footcandles * luxPerFootcandle, { seconds, iso, nd: 0 });
    expect(found).toBeCloseTo(tStop, 3);
    // ISO 2720 with C = 250 and 340 lies within a third of a stop on either side.
    for (const C of [250, 340]) {
      const iso2720 = tStopFor(footcandles * luxPerFootcandle, { seconds, iso, nd: 0 }, C);
      expect(Math.abs(2 * Math.log2(iso2720 / tStop))).toBeLessThan(aThird + 0.01);
    }
  });
  it.each([
    // T, footcandles at EI 100 and 1/48 s, as printed.
    [1, 12],
    [1.4, 23.5],
    [2, 48],
    [2.8, 94],
    [4, 192],
    [5.6, 376],
    [8, 768],
  ])("T%d at EI 100 and 1/48 s wants %d fc", (tStop, footcandles) => {
    const lux = luxWanted({ tStop, seconds: 1 / 48, iso: 100, nd: 0 });
    expect(Math.abs(stopsBetween(footcandles, lux / luxPerFootcandle))).toBeLessThan(0.01);
  });
  it("has C = 25 fc·s = 269.1 lx·s", () => expect(cineConstant).toBeCloseTo(269.1, 1));
  it("asks a stop more light for every stop of ND, and the ISO answers the light", () => {
    const set = { tStop: 4, seconds: 1 / 50, iso: 400, nd: 0 };
    expect(stopsBetween(luxWanted(set), luxWanted({ ...set, nd: 2 }))).toBeCloseTo(2, 12);
    expect(isoFor(luxWanted(set), set)).toBeCloseTo(400, 9);
    expect(exposureStops(2 * luxWanted(set), set)).toBeCloseTo(1, 12);
  });
  it("chooses the lowest ISO that is right, and built-in ND before overexposure", () => {
    const isos = [100, 200, 400, 800, 1600];
    const dim = solveExposure({ lux: 200, tStop: 2.8, seconds: 1 / 50, isos, nds: [] });
    expect(dim.iso).toBe(400);
    expect(Math.abs(dim.off)).toBeLessThan(0.5);
    const bright = solveExposure({ lux: 20_000, tStop: 2.8, seconds: 1 / 50, isos, nds: [2, 4, 6] });
    expect([bright.iso, bright.nd]).toEqual([100, 4]);
    expect(bright.ndWanted).toBeCloseTo(bright.off + 4, 12);
  });
  it("tells how much ND is wanted where ISO and ND are fixed", () => {
    const fixed = solveExposure({ lux: 4000, tStop: 2, seconds: 1 / 50, iso: 800, nd: 0, isos: [], nds: [] });
    // 4000·800/(269.1·4·50) = 59.5: 5.9 stops.
    expect(fixed.ndWanted).toBeCloseTo(Math.log2((4000 * 800) / (cineConstant * 4 * 50)), 9);
    expect(nearestDensity(fixed.ndWanted)).toBe(1.8);
  });
});

describe("photometry", () => {
  it("has 10.76391041671 lx in a footcandle (1/0.3048²)", () => {
    expect(luxPerFootcandle).toBeCloseTo(10.76391041671, 11);
  });
  it("gives 2500 lx and 1111.1 lx of 10 000 cd at 2 and 3 m, 1.170 stops apart (inverse square)", () => {
    expect(inverseSquareLux(10_000, 2)).toBe(2500);
    expect(inverseSquareLux(10_000, 3)).toBeCloseTo(1111.1, 1);
    expect(stopsBetween(2500, inverseSquareLux(10_000, 3))).toBeCloseTo(-1.17, 3);
  });
  it.each([
    // Density, stops, as printed (D / log10 2).
    [0.3, 0.9966, 4],
    [0.6, 1.9932, 4],
    [0.9, 2.9897, 4],
    [1.2, 3.986, 3],
    [1.8, 5.98, 2],
    [2.1, 6.976, 3],
  ])("ND %d takes %d stops", (density, stops, digits) => {
    expect(stopsOfDensity(density)).toBeCloseTo(stops, digits);
    expect(densityOfStops(stopsOfDensity(density))).toBeCloseTo(density, 12);
  });
  it.each([
    // From, to, mired shift, as printed.
    [5600, 3200, 133.93],
    [3200, 5600, -133.93],
    [6500, 3200, 158.65],
    [5600, 4300, 53.99],
  ])("%i K to %i K is %d mired", (from, to, shift) => {
    expect(miredShift(from, to)).toBeCloseTo(shift, 2);
  });
  it("has 312.50 mired at 3200 K and 178.57 at 5600 K", () => {
    expect(miredOf(3200)).toBeCloseTo(312.5, 2);
    expect(miredOf(5600)).toBeCloseTo(178.57, 2);
  });
  it("closes daylight to tungsten with a full orange gel, and nothing with none", () => {
    expect(gelFor(miredShift(5600, 3200))).toMatchObject({ name: "full orange" });
    expect(gelFor(-70)).toMatchObject({ name: "half blue" });
    expect(gelFor(3)).toBeNull();
  });
  it("mixes a light with itself to itself, and two between them nearer to the stronger", () => {
    expect(
      mixedWhite([
        { lux: 100, kelvin: 3200 },
        { lux: 40, kelvin: 3200 },
      ])!.kelvin,
    ).toBeCloseTo(3200, -1);
    const mixed = mixedWhite([
      { lux: 300, kelvin: 5600 },
      { lux: 100, kelvin: 3200 },
    ])!;
    expect(mixed.kelvin).toBeGreaterThan(4300);
    expect(mixed.kelvin).toBeLessThan(5600);
    // The chord of the black-body line runs on its magenta side.
    expect(mixed.duv).toBeLessThan(0);
    expect(mixedWhite([])).toBeNull();
  });
});

describe("lamps with a size", () => {
  const up: Vector3 = [0, 0, 1];
  const overhead = { point: [0, 0, 2] as Vector3, direction: [0, 0, -1] as Vector3 };
  it("is half as strong at half its beam angle, and follows the cosine at 120°", () => {
    for (const beam of [10, 60, 120, 165, 200, 360]) expect(beamShare(beam / 2, beam)).toBeCloseTo(0.5, 12);
    expect(beamShare(40, 120)).toBeCloseTo(Math.cos((40 * Math.PI) / 180), 12);
  });
  it("sends π lumens for each candela of a matte face (Lambert), near 4π all round", () => {
    expect(lumensPerCandela(120)).toBeCloseTo(Math.PI, 9);
    expect(lumensPerCandela(720)).toBeGreaterThan(3.3 * Math.PI);
  });
  it("is a point far away: the inverse square within 0.1 % at twenty times its size", () => {
    const lamp = { ...overhead, size: [0.1, 0.1] as const, candela: 1000, beamDegrees: 120 };
    expect(rectangleLampLux(lamp, [0, 0, 0], up) / 250).toBeCloseTo(1, 2);
  });
  test.prop([
    fc.double({ min: -1, max: 1, noNaN: true }),
    fc.double({ min: -1, max: 1, noNaN: true }),
    fc.double({ min: 0.3, max: 1.2, noNaN: true }),
  ])(
    "agrees with Lambert's exact polygon formula within 3 % from one and a half times its size on",
    (x, y, size) => {
      const lamp = {
        ...overhead,
        size: [size, size] as const,
        candela: size * size * 1000,
        beamDegrees: 120,
      };
      const h = size / 2;
      const corners: Vector3[] = [
        [-h, -h, 2],
        [h, -h, 2],
        [h, h, 2],
        [-h, h, 2],
      ];
      // Luminance 1000 cd/m²: E = π·L·F.
      const exact = Math.PI * 1000 * polygonFactor(corners, [x, y, 0], up);
      expect(rectangleLampLux(lamp, [x, y, 0], up) / exact).toBeGreaterThan(0.97);
      expect(rectangleLampLux(lamp, [x, y, 0], up) / exact).toBeLessThan(1.03);
    },
  );
  it("subtends what similar triangles say: a metre at two metres, and the edge of its shadow behind", () => {
    const degrees = softnessDegrees({ ...overhead, size: [1, 1] }, [0, 0, 0]);
    expect(degrees).toBeCloseTo((2 * Math.atan(0.25) * 180) / Math.PI, 9);
    expect(shadowEdgeMetres(degrees, 0.04)).toBeCloseTo(0.02, 9);
  });
});

describe("the factor of a shining polygon", () => {
  const up: Vector3 = [0, 0, 1];
  const square = (h: number, z: number): Vector3[] => [
    [-h, -h, z],
    [h, -h, z],
    [h, h, z],
    [-h, h, z],
  ];
  it("is the textbook's for a parallel rectangle over a corner (heat transfer handbooks, differential element)", () => {
    // F = (1/2π)[X/√(1+X²)·atan(Y/√(1+X²)) + Y/√(1+Y²)·atan(X/√(1+Y²))], X = a/c, Y = b/c.
    const [X, Y] = [1.5, 0.75];
    const F =
      ((X / Math.hypot(1, X)) * Math.atan(Y / Math.hypot(1, X)) +
        (Y / Math.hypot(1, Y)) * Math.atan(X / Math.hypot(1, Y))) /
      (2 * Math.PI);
    const corners: Vector3[] = [
      [0, 0, 2],
      [3, 0, 2],
      [3, 1.5, 2],
      [0, 1.5, 2],
    ];
    expect(polygonFactor(corners, [0, 0, 0], up)).toBeCloseTo(F, 12);
  });
  it("is 1 under a sky without end, and nothing from behind", () => {
    expect(polygonFactor(square(1e5, 1), [0, 0, 0], up)).toBeCloseTo(1, 4);
    expect(polygonFactor(square(1, -1), [0, 0, 0], up)).toBe(0);
  });
  it("counts an upright wall's upper half alone for a floor: half of an endless one", () => {
    const wall: Vector3[] = [
      [-1e5, 1, -1e5],
      [1e5, 1, -1e5],
      [1e5, 1, 1e5],
      [-1e5, 1, 1e5],
    ];
    expect(polygonFactor(wall, [0, 0, 0], up)).toBeCloseTo(0.5, 4);
  });
});

describe("light in a room and outside", () => {
  it("bounces as in an integrating sphere: Φρ/(S(1-ρ))", () => {
    expect(bouncedLux(1000, 100, 0.5)).toBeCloseTo(10, 12);
    expect(bouncedLux(1000, 100, 0.5, 0.25)).toBeCloseTo(5, 12);
  });
  it("is of the order that handbooks give (from memory: noon sun 100 000 lx, overcast 1000 to 10 000 and more)", () => {
    const noon = daylightLux("clear", 60);
    expect(noon.sun).toBeGreaterThan(85_000);
    expect(noon.sun).toBeLessThan(110_000);
    expect(noon.sky).toBeGreaterThan(10_000);
    expect(noon.sky).toBeLessThan(25_000);
    expect(daylightLux("overcast", 30).sun).toBe(0);
    expect(daylightLux("overcast", 30).sky).toBeLessThan(12_000);
    expect(daylightLux("clear", -1)).toMatchObject({ sun: 0, sky: 0 });
  });
  it("is warmer and weaker the lower the sun", () => {
    expect(daylightLux("clear", 5).sunKelvin).toBeLessThan(daylightLux("clear", 20).sunKelvin);
    expect(daylightLux("clear", 5).sun).toBeLessThan(daylightLux("clear", 20).sun);
    expect(directionOf(0, 90)[2]).toBeCloseTo(1, 12);
  });
});

describe("shutters that lamps on the mains do not flicker in: exposures of k/100 s and k/120 s", () => {
  it.each([
    // Frames a second, mains, safe angles, ripple factor at 180°, beat: as printed.
    [23.976, 50, [86.314, 172.627, 258.941, 345.255], 0.0405, 4.096],
    [24, 50, [86.4, 172.8, 259.2, 345.6], 0.0395, 4],
    [25, 50, [90, 180, 270, 360], 0, 0],
    [29.97, 50, [107.892, 215.784, 323.676], 0.1647, 10.09],
    [30, 50, [108, 216, 324], 0.1654, 10],
    [50, 50, [180, 360], 0, 0],
    [23.976, 60, [71.928, 143.856, 215.784, 287.712, 359.64], 0.1272, 0.12],
    [24, 60, [72, 144, 216, 288, 360], 0.1273, 0],
    [25, 60, [75, 150, 225, 300], 0.1261, 5],
    [29.97, 60, [89.91, 179.82, 269.73, 359.64], 0.001, 0.12],
    [30, 60, [90, 180, 270, 360], 0, 0],
    [50, 60, [150, 300], 0.1559, 20],
  ])("at %d frames on %i Hz", (rate, hertz, angles, ripple, beat) => {
    const found = safeShutterAngles(rate, hertz);
    expect(found).toHaveLength(angles.length);
    for (const [i, angle] of angles.entries()) expect(found[i]).toBeCloseTo(angle, 2);
    expect(rippleShare(shutterSeconds(180, rate), hertz)).toBeCloseTo(ripple, 4);
    expect(Math.abs(beatHertz(rate, hertz) - beat)).toBeLessThan(0.006);
  });
});
