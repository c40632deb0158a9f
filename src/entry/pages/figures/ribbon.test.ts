import { describe, expect, it } from "vitest";
import { ribbonFaces } from "./ribbon.ts";

const cut = [
  { side: "left", hue: "a", y0: 0, y1: 100 },
  { side: "right", hue: "b", y0: 120, y1: 200 },
  { side: "right", hue: "b", y0: 210, y1: 300 },
  { side: "left", hue: "a", y0: 320, y1: 330 },
] as const;
const faces = ribbonFaces(cut, 200, 300, 12, 34);
/** Every pair of numbers in a path: its knots and control points. */
const points = (path: string) =>
  [...path.matchAll(/(-?[\d.]+) (-?[\d.]+)/g)].map((m) => ({ x: Number(m[1]), y: Number(m[2]) }));

describe("the ribbon of the braid", () => {
  it("has one face for each turn of the cut, with the hue of its camera", () => {
    expect(faces.map((f) => f.hue)).toEqual(["a", "b", "a"]);
  });

  it("meets the next face in one point, midway between the columns and midway in the gap", () => {
    const first = points(faces[0]!.outline);
    const second = points(faces[1]!.outline);
    expect(first).toContainEqual({ x: 250, y: 110 });
    expect(second[0]).toEqual({ x: 250, y: 110 });
    expect(faces.map((f) => [f.y0, f.y1])).toEqual([
      [0, 110],
      [110, 310],
      [310, 330],
    ]);
  });

  it("lies 12 px wide against the picture on screen", () => {
    const flat = points(faces[1]!.outline).filter((p) => p.y > 150 && p.y < 280);
    expect(new Set(flat.map((p) => p.x))).toEqual(new Set([288, 300]));
    const left = points(faces[0]!.outline).filter((p) => p.y === 0);
    expect(new Set(left.map((p) => p.x))).toEqual(new Set([200, 212]));
  });

  it("turns within a short shot without folding back on itself", () => {
    for (const face of ribbonFaces(
      [
        { side: "left", hue: "a", y0: 0, y1: 8 },
        { side: "right", hue: "b", y0: 8, y1: 12 },
        { side: "left", hue: "a", y0: 12, y1: 40 },
      ],
      10,
      90,
      12,
      34,
    ))
      for (const strand of face.strands) {
        const down = points(strand).map((p) => p.y);
        expect(down).toEqual(down.toSorted((p, q) => p - q));
      }
  });

  it("stays inside the two columns' edges", () => {
    for (const face of faces)
      for (const p of points(face.outline)) {
        expect(p.x).toBeGreaterThanOrEqual(200);
        expect(p.x).toBeLessThanOrEqual(300);
      }
  });
});
