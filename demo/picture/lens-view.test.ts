import { describe, expect, it } from "vitest";
import { interviewerMouth } from "../sound/microphones.ts";
import {
  cross,
  directionThrough,
  distanceBetween,
  dot,
  lensView,
  project,
  type Vector3,
} from "./lens-view.ts";
import { headCentre } from "./miller-shape.ts";
import {
  cameraAPosition,
  cameraBPosition,
  sliderHalfMetres,
  viewOfCameraA,
  viewOfCameraB,
} from "./staging.ts";

describe("lensView", () => {
  const view = lensView([0, 1, 3], [0, 1, 0], 50, 1280, 720);
  it("puts the aim in the middle", () => {
    expect(project(view, [0, 1, 0])).toMatchObject({ x: 640, y: 360, depth: 3 });
  });
  it("shows half of 36 mm / 50 mm of the distance on each side", () => {
    // by similar triangles: 3 m x 36 / 50 / 2 = 1.08 m to the right is the frame's edge
    expect(project(view, [1.08, 1, 0]).x).toBeCloseTo(1280, 9);
    expect(project(view, [0, 1 + (1.08 * 9) / 16, 0]).y).toBeCloseTo(0, 9);
  });
  it("looks back through the pixel that a point falls on", () => {
    const p: Vector3 = [0.4, 1.3, -1];
    const at = project(view, p);
    const d = directionThrough(view, at.x, at.y);
    expect(Math.hypot(...cross(d, [p[0], p[1] - 1, p[2] - 3]))).toBeCloseTo(0, 12);
  });
});

describe("the staging", () => {
  const sight = (from: Vector3): Vector3 => {
    const away = distanceBetween(from, headCentre);
    return [(from[0] - headCentre[0]) / away, 0, (from[2] - headCentre[2]) / away];
  };
  it("has the cameras more than 30 degrees apart and on the same side of the line", () => {
    const a = sight(cameraAPosition);
    const b = sight(cameraBPosition);
    expect((Math.acos(dot(a, b)) * 180) / Math.PI).toBeGreaterThan(30);
    const line = sight(interviewerMouth);
    expect(Math.sign(cross(line, a)[1])).toBe(Math.sign(cross(line, b)[1]));
  });
  it("holds her head within a fiftieth of the frame over the whole slide", () => {
    const places = [-sliderHalfMetres, 0, sliderHalfMetres].map(
      (s) => project(viewOfCameraB(1280, 720, s), headCentre).x,
    );
    expect(Math.max(...places) - Math.min(...places)).toBeLessThan(1280 / 50);
  });
  it("shows her larger in B, which is about two steps longer", () => {
    const tall = (view: typeof viewOfCameraA extends (w: number, h: number) => infer V ? V : never): number =>
      project(view, [0, 1.12, 0]).y - project(view, [0, 1.36, 0]).y;
    expect(tall(viewOfCameraB(1280, 720)) / tall(viewOfCameraA(1280, 720))).toBeGreaterThan(1.7);
  });
});
