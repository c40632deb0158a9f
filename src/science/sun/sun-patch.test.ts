import { describe, expect, it } from "vitest";
import { directionOf, type Vector3 } from "../geometry/vector3.ts";
import { clipToSide, patchOnLevel, patchOnWall } from "./sun-patch.ts";

/** A window in the wall y = 0, sill 1 m, 1.2 m high, x from 1 to 2 m. */
const window: Vector3[] = [
  [1, 0, 1],
  [2, 0, 1],
  [2, 0, 2.2],
  [1, 0, 2.2],
];

describe("the patch of sun on a floor, against hand geometry", () => {
  it("reaches from sill/tan h to head/tan h into the room with the sun square to the window", () => {
    // The sun in the south of a room that looks north: -y is towards it. h = 45°, so depths equal heights.
    const patch = patchOnLevel(window, directionOf(180, 45), 0);
    expect(patch.map(([x, y]) => [Number(x.toFixed(9)), Number(y.toFixed(9))])).toEqual([
      [1, 1],
      [2, 1],
      [2, 2.2],
      [1, 2.2],
    ]);
  });
  it("slides sideways by tan of the sun's turn", () => {
    const patch = patchOnLevel(window, directionOf(180 + 30, 30), 0);
    // Depth of the sill's edge: 1/tan 30° · cos 30° = 1.5; sideways 1/tan 30° · sin 30° = 0.866, away from the sun.
    expect(patch[0]![1]).toBeCloseTo(1.5, 9);
    expect(patch[0]![0]).toBeCloseTo(1 + Math.sqrt(3) / 2, 9);
  });
  it("leaves out the window's part below the level that is asked for", () => {
    const patch = patchOnLevel(window, directionOf(180, 45), 1.6);
    expect(Math.max(...patch.map(([, y]) => y))).toBeCloseTo(0.6, 9);
    expect(Math.min(...patch.map(([, y]) => y))).toBeCloseTo(0, 9);
  });
  it("falls on the wall across at heights less the way's fall: sill - depth·tan h", () => {
    // A wall 3 m in, facing the window; the sun square to it at tan h = 0.3.
    const toSun = directionOf(180, (Math.atan(0.3) * 180) / Math.PI);
    const patch = patchOnWall(window, toSun, { from: [0, 3], along: [1, 0], inward: [0, -1] });
    for (const [i, [s, z]] of [
      [1, 0.1],
      [2, 0.1],
      [2, 1.3],
      [1, 1.3],
    ].entries()) {
      expect(patch[i]![0]).toBeCloseTo(s!, 9);
      expect(patch[i]![1]).toBeCloseTo(z!, 9);
    }
    expect(patchOnWall(window, toSun, { from: [0, 0], along: [1, 0], inward: [0, 1] })).toEqual([]);
  });
  it("is nothing from a sun under the horizon", () => {
    expect(patchOnLevel(window, directionOf(180, -1), 0)).toEqual([]);
  });
  it("is cut at a wall", () => {
    const square: [number, number][] = [
      [0, 0],
      [2, 0],
      [2, 2],
      [0, 2],
    ];
    const kept = clipToSide(square, [1, 0], [-1, 0]);
    expect(kept).toHaveLength(4);
    expect(Math.max(...kept.map(([x]) => x))).toBe(1);
  });
});
