import { describe, expect, it } from "vitest";
import { headingOf, tiltOf, type Vector3 } from "../geometry/vector3.ts";
import { blurDiscMm, circleOfConfusionMm, depthOfFieldMm, hyperfocalMm } from "./depth-of-field.ts";
import { distanceForBreadth, fieldOfView, framedBreadthMm } from "./field-of-view.ts";
import { judgePair, usualLongerMm } from "./lens-pair.ts";
import { noseToEar } from "./perspective.ts";
import { aimFor, pinHole, placeInFrame } from "./pin-hole.ts";
import { finestPatternMm, readoutLeanPixels } from "./readout.ts";
import { shotFrame, shotOfHeight } from "./shot-size.ts";

describe("field of view, against 2·atan(d/2f) of the rectilinear lens", () => {
  // Three areas: 36 x 24; 35 mm 4-perf (SMPTE ST 59, dimensions from memory) 24.89 x 18.66; 17.3 x 13.0. Three decimals.
  it.each([
    [36, 24, 24, 73.74, 53.13, 84.062],
    [36, 24, 35, 54.432, 37.849, 63.44],
    [36, 24, 50, 39.598, 26.991, 46.793],
    [36, 24, 85, 23.913, 16.071, 28.558],
    [24.89, 18.66, 24, 54.817, 42.487, 65.893],
    [24.89, 18.66, 35, 39.148, 29.853, 47.921],
    [24.89, 18.66, 50, 27.954, 21.14, 34.56],
    [24.89, 18.66, 85, 16.659, 12.528, 20.739],
    [17.3, 13, 24, 39.64, 30.308, 48.535],
    [17.3, 13, 35, 27.764, 21.042, 34.357],
    [17.3, 13, 50, 19.63, 14.814, 24.421],
    [17.3, 13, 85, 11.621, 8.746, 14.509],
  ])("%f x %f mm at %f mm", (w, h, f, width, height, diagonal) => {
    const seen = fieldOfView([w, h], f);
    expect(seen.width).toBeCloseTo(width, 3);
    expect(seen.height).toBeCloseTo(height, 3);
    expect(seen.diagonal).toBeCloseTo(diagonal, 3);
  });
  it("a squeeze of 2 sees twice the breadth, not twice the angle", () => {
    const tan = (degrees: number): number => Math.tan((degrees * Math.PI) / 360);
    expect(tan(fieldOfView([24.89, 18.66], 50, 2).width)).toBeCloseTo(
      2 * tan(fieldOfView([24.89, 18.66], 50).width),
      9,
    );
  });
  it("50 mm on 36 mm takes in 1404 mm at 2 m through a thin lens, 1440 through a pin-hole", () => {
    expect(framedBreadthMm(36, 50, 2000)).toBeCloseTo(1404, 9);
    expect(distanceForBreadth(1440, 36, 50)).toBeCloseTo(2000, 9);
  });
});

describe("depth of field, against Greenleaf's equations (Photographic Optics, 1950)", () => {
  it.each([
    [50, 8, 0.03, 3000, 10466.67, 2337.91, 4185.27],
    [85, 2.8, 0.03, 2500, 86096.9, 2431.72, 2572.22],
    [50, 2.8, 0.025, 2000, 35764.29, 1896.45, 2115.51],
    [35, 4, 0.025, 3000, 12285.0, 2415.38, 3958.0],
    [25, 5.6, 0.015, 1500, 7465.48, 1251.84, 1870.88],
  ])("%f mm f/%f, circle %f, focused at %f mm", (f, N, c, s, H, near, far) => {
    expect(hyperfocalMm(f, N, c)).toBeCloseTo(H, 2);
    const sharp = depthOfFieldMm(f, N, c, s);
    expect(sharp.near).toBeCloseTo(near, 2);
    expect(sharp.far).toBeCloseTo(far, 2);
  });
  it("focused at the hyperfocal distance it is sharp from half of it to infinity", () => {
    const H = hyperfocalMm(50, 8, 0.03);
    const sharp = depthOfFieldMm(50, 8, 0.03, H);
    expect(sharp.near).toBeCloseTo(5233.33, 2);
    expect(sharp.far).toBe(Number.POSITIVE_INFINITY);
  });
  it("85 mm f/2.8 at 2.5 m draws a point at 6 m as a disc of 0.6233 mm", () => {
    expect(blurDiscMm(85, 2.8, 2500, 6000)).toBeCloseTo(0.6233, 4);
  });
  it("a point on either limit is drawn as just the circle of confusion", () => {
    const sharp = depthOfFieldMm(35, 4, 0.025, 3000);
    expect(blurDiscMm(35, 4, 3000, sharp.near)).toBeCloseTo(0.025, 9);
    expect(blurDiscMm(35, 4, 3000, sharp.far)).toBeCloseTo(0.025, 9);
  });
  it("circles by the handbooks' conventions", () => {
    // Diagonal/1500: 0.0288 on 36 x 24, 0.0207 on 24.89 x 18.66; diagonal/1730: 0.0250 (conventions from memory).
    expect(circleOfConfusionMm("diagonal/1500", [36, 24], 3840)).toBeCloseTo(0.0288, 4);
    expect(circleOfConfusionMm("diagonal/1500", [24.89, 18.66], 3840)).toBeCloseTo(0.0207, 4);
    expect(circleOfConfusionMm("diagonal/1730", [36, 24], 3840)).toBeCloseTo(0.025, 4);
    expect(circleOfConfusionMm("two pixels", [36, 20.25], 3840)).toBeCloseTo(0.01875, 9);
  });
});

describe("lens pairs, common practice", () => {
  it.each([
    [24, 50],
    [35, 85],
  ])("%f goes with %f", (shorter, longer) => {
    expect(usualLongerMm(shorter)).toBeCloseTo(longer, 9);
  });
  it("50 goes with something longer than 85", () => {
    expect(usualLongerMm(50)).toBeGreaterThan(85);
  });
  it("a smaller sensor counts by its angle", () => {
    const pair = judgePair(
      { focalMm: 17.5, sensorWidthMm: 18, frameHeight: 0.9 },
      { focalMm: 42.5, sensorWidthMm: 18, frameHeight: 0.4 },
      12,
    );
    expect(pair.equalFocalMm).toEqual([35, 85]);
    expect(pair.steps).toBeCloseTo(4, 9);
    expect(pair.sizeChange).toBeCloseTo(2.25, 9);
    expect(pair.isClean).toBe(true);
  });
  it("nearly the same picture from nearly the same place does not cut", () => {
    const near = { sensorWidthMm: 36, frameHeight: 0.8 };
    expect(judgePair({ ...near, focalMm: 50 }, { ...near, focalMm: 55 }, 8).isClean).toBe(false);
    expect(judgePair({ ...near, focalMm: 50 }, { ...near, focalMm: 55 }, 31).isClean).toBe(true);
  });
});

describe("the pin-hole", () => {
  it("brings a point exactly to the place asked for, from anywhere", () => {
    const from: Vector3 = [1.2, -0.7, 1.5];
    for (const target of [
      [4, 2, 1.1],
      [-3, 1, 0.2],
      [1, -4, 2.6],
    ] as Vector3[])
      for (const [x, y] of [
        [0.5, 0.5],
        [0.42, 0.3],
        [0.9, 0.1],
      ] as const) {
        const aim = aimFor(from, target, x, y, 0.36, 0.2)!;
        const place = placeInFrame(pinHole(from, aim.pan, aim.tilt, 0.36, 0.2), target)!;
        expect(place.x).toBeCloseTo(x, 9);
        expect(place.y).toBeCloseTo(y, 9);
      }
  });
  it("draws a metre at 3 m through 50 mm on 36 mm as 16.67 mm of the sensor", () => {
    const camera = pinHole([0, 0, 1], 0, 0, 36 / 100, 24 / 100);
    const left = placeInFrame(camera, [-0.5, 3, 1])!;
    const right = placeInFrame(camera, [0.5, 3, 1])!;
    expect((right.x - left.x) * 36).toBeCloseTo(50 / 3, 9);
    expect(headingOf([1, 0, 0])).toBe(90);
    expect(tiltOf([0, 1, 1])).toBeCloseTo(45, 9);
  });
  it("sees nothing behind itself", () => {
    expect(placeInFrame(pinHole([0, 0, 1], 0, 0, 0.3, 0.2), [0, -1, 1])).toBeNull();
  });
});

describe("faces, cloth and lines", () => {
  it("the nearer the lens, the larger the nose", () => {
    expect(noseToEar(0.6)).toBeGreaterThan(1.2);
    expect(noseToEar(2.5)).toBeCloseTo(1.0487, 3);
    expect(noseToEar(0.6)).toBeGreaterThan(noseToEar(1.2));
  });
  it("a frame 0.96 m wide in 3840 pixels carries stripes of half a millimetre", () => {
    expect(finestPatternMm(0.96, 3840)).toBeCloseTo(0.5, 9);
    expect(readoutLeanPixels(200, 20)).toBeCloseTo(4, 9);
  });
  it("shots hold less the closer they are, and are known by their height", () => {
    const heights = (["wide", "cowboy", "medium", "medium close-up", "close-up"] as const).map(
      (shot) => shotFrame(shot, 1.7, 0.46).height,
    );
    expect([...heights].sort((a, b) => b - a)).toEqual(heights);
    expect(shotOfHeight(heights[3]! * 1.02, 1.7, 0.46).shot).toBe("medium close-up");
  });
});
