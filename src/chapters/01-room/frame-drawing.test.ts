import { describe, expect, it } from "vitest";
import { boxCorners } from "#science/geometry/box";
import { placeInFrame } from "#science/optics/pin-hole";
import { smallPlan } from "../../../test/helpers/small-plan.ts";
import { drawFrame } from "./frame-drawing.ts";
import { sceneOf } from "./scene.ts";

const scene = sceneOf({
  ...smallPlan,
  room: {
    ...smallPlan.room,
    furniture: [{ ...smallPlan.room.furniture[0]!, at: [5, 1.2], size: [0.6, 0.5, 0.8] }],
  },
  cameras: [{ ...smallPlan.cameras[0]!, at: [1, 1.6], focalLength: 28 }],
  slides: [],
});

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
