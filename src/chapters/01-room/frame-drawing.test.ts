import { describe, expect, it } from "vitest";
import { planSchema } from "#documents/plan";
import { boxCorners } from "#science/geometry/box";
import { placeInFrame } from "#science/optics/pin-hole";
import { drawFrame } from "./frame-drawing.ts";
import { sceneOf } from "./scene.ts";

const scene = sceneOf(
  planSchema.parse({
    kind: "gemel.plan",
    version: 1,
    room: {
      outline: [
        [0, 0],
        [6, 0],
        [6, 4],
        [0, 4],
      ],
      height: 2.7,
      furniture: [{ id: "bin", name: "the bin", at: [5, 1.2], size: [0.6, 0.5, 0.8] }],
    },
    sitter: { at: [4, 2], heading: 270 },
    interviewer: { at: [1.8, 2.6], heading: 100 },
    kit: {
      bodies: [{ id: "b", name: "Large", sensor: [36, 20.25], pixels: [3840, 2160] }],
      lenses: [{ id: "z", name: "Prime", focal: [28, 28], stop: 2.8 }],
    },
    cameras: [{ id: "A", body: "b", lens: "z", at: [1, 1.6] }],
  }),
);

describe("the frame as a line drawing", () => {
  it("draws every corner of a box where central projection puts it", () => {
    const camera = scene.cameras[0]!;
    const svg = drawFrame(scene, camera, 1000, 0);
    for (const corner of boxCorners(scene.furniture[0]!)) {
      const { x, y } = placeInFrame(camera, corner)!;
      const near = [...svg.matchAll(/([\d.-]+) ([\d.-]+)(?=[LZ])/g)].some(
        ([, px, py]) =>
          Math.abs(Number(px) - x * 1000) < 0.02 && Math.abs(Number(py) - y * (1000 / camera.aspect)) < 0.02,
      );
      expect(near).toBe(true);
    }
  });

  it("shows the frame's edge inside what lies around it", () => {
    const svg = drawFrame(scene, scene.cameras[0]!, 590);
    // 590 is the frame's 500 and 18 % more: 45 on either side.
    expect(svg).toContain('class="edge" d="M45 ');
    expect(svg).toContain("H545");
  });
});
