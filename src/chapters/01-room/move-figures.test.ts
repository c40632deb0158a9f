import { describe, expect, it } from "vitest";
import { planSchema } from "#documents/plan";
import type { MoveFigures } from "#documents/room-light-result";
import { steadyPose } from "#science/motion/keyframes";
import { smoothPose } from "#science/motion/smooth-keyframes";
import { pinHole, placeInFrame } from "#science/optics/pin-hole";
import { roomPlan } from "../../../test/helpers/room-plan.ts";
import { moveCsv } from "./move-csv.ts";
import { moveFigures } from "./move-figures.ts";
import { moveFindings } from "./move-findings.ts";
import { posingOf } from "./move-pose.ts";
import { type Scene, sceneOf } from "./scene.ts";

const sceneWith = (slide: object = {}): Scene =>
  sceneOf(planSchema.parse({ ...roomPlan, slides: [{ ...roomPlan.slides[0], ...slide }] }));
const moveOf = (slide: object = {}): MoveFigures => moveFigures(sceneWith(slide))[0]!;

/** Worst distance of the held point from its place, pixels, at moments that nobody optimised over. */
function wander(scene: Scene, move: MoveFigures): number {
  const slide = scene.slides[0]!;
  const posing = posingOf(scene, slide);
  let worst = 0;
  for (let i = 0; i <= 733; i++) {
    const { point, t } = posing.at((move.seconds * i) / 733);
    const { pan, tilt } =
      move.head === "eased" ? smoothPose(move.keyframes, t) : steadyPose(move.keyframes, t);
    const { tanHalfWidth, tanHalfHeight, pixels } = slide.camera;
    const seen = placeInFrame(pinHole(point, pan, tilt, tanHalfWidth, tanHalfHeight), posing.target)!;
    worst = Math.max(
      worst,
      Math.hypot((seen.x - move.hold.x) * pixels[0], (seen.y - move.hold.y) * pixels[1]),
    );
  }
  return worst;
}

describe("a move that holds the sitter", () => {
  it.each([
    { ease: "none", head: "linear", tilts: true },
    { ease: "in-out", head: "linear", tilts: true },
    { ease: "in-out", head: "eased", tilts: true },
  ])("keeps the eyes within a pixel of their place: carriage $ease, head $head", (slide) => {
    const scene = sceneWith(slide);
    const [move] = moveFigures(scene);
    expect(wander(scene, move!)).toBeLessThan(1.02);
    expect(move!.residual.worst).toBeLessThan(1.02);
    expect(move!.residualWithoutHead).toBeGreaterThan(100);
  });
  it("rises with the rail and holds by tilting", () => {
    const scene = sceneWith({ from: [1.8, 1.4, 0.9], to: [2.2, 1, 1.6], tilts: true, ease: "none" });
    const [move] = moveFigures(scene);
    expect(move!.tiltDegrees).toBeGreaterThan(5);
    expect(wander(scene, move!)).toBeLessThan(1.1);
  });
  it("tells the wander of a head that does not tilt, and of none", () => {
    const pans = moveOf({ from: [1.8, 1.4, 1.1], to: [2.2, 1, 1.3] });
    expect(pans.tiltDegrees).toBe(0);
    expect(pans.residual.worst).toBeGreaterThan(2);
    const none = moveOf({ head: "none" });
    expect(none.keyframes).toHaveLength(1);
    expect(none.residual.worst).toBeGreaterThan(100);
  });
  it("drifts the background by the parallax of hand geometry", () => {
    // Rail square to the view, 0.5 m; sitter d ahead, wall D: the wall goes f·(0.5/d - 0.5/D) across the held frame.
    const { seconds, background, metres } = moveOf({
      from: [2, 2.15, 1.2],
      to: [2, 2.65, 1.2],
      ease: "none",
    });
    const d = 4.3 - 2;
    const D = 6 - 2;
    expect(metres).toBeCloseTo(0.5, 9);
    const pixelsPerTangent = (3840 * 85) / 36;
    const expected = pixelsPerTangent * metres * (1 / d - 1 / D);
    expect(background.pixels / expected).toBeGreaterThan(0.9);
    expect(background.pixels / expected).toBeLessThan(1.1);
    expect(background.pixelsPerSecond * seconds).toBeGreaterThanOrEqual(background.pixels);
    expect(background.smearPixels).toBeCloseTo(background.pixelsPerFrame / 2, 9);
  });
  it("warns of judder where what is behind crosses the frame in under seven seconds (common practice), with the time that mends it", () => {
    const across = { from: [2, 2.15, 1.2], to: [2, 2.65, 1.2], ease: "none" };
    const warned = (seconds: number) => {
      const scene = sceneWith({ ...across, seconds });
      const moves = moveFigures(scene);
      return {
        move: moves[0]!,
        judder: moveFindings(moves, scene).find((f) => f.code === "room.move-judder"),
      };
    };
    const quick = warned(1);
    // The whole frame's width at the drift's own speed.
    expect(quick.move.background.secondsAcross).toBeCloseTo(3840 / quick.move.background.pixelsPerSecond, 9);
    expect(quick.move.background.secondsAcross!).toBeLessThan(7);
    const asked = Number(/Give the move ([\d.]+) s/.exec(quick.judder!.remedy)![1]);
    expect(warned(asked).judder).toBeUndefined();
    // A body that reads its lines in 20 ms leans an upright by what it moves in that time.
    expect(quick.move.background.leanPixels).toBeCloseTo(quick.move.background.pixelsPerSecond * 0.02, 9);
  });
  it("sees its own rail where it looks along it, and not where it looks across", () => {
    const seen = (slide: object): string[] => moveOf(slide).seesOwn.map(({ what }) => what);
    expect(seen({ from: [2, 2.15, 1.2], to: [2, 2.65, 1.2] })).toEqual([]);
    // Down the rail to a sitter lower than the lens, by the wide end of things.
    const scene = sceneOf(
      planSchema.parse({
        ...roomPlan,
        kit: {
          ...roomPlan.kit,
          lenses: [...roomPlan.kit.lenses, { id: "wide", name: "Wide", focal: [18, 18], stop: 2.8 }],
        },
        cameras: roomPlan.cameras.map((c) => (c.id === "B" ? { ...c, lens: "wide" } : c)),
        slides: [{ ...roomPlan.slides[0], from: [2.2, 2.4, 1.9], to: [2.7, 2.4, 1.9] }],
      }),
    );
    const [move] = moveFigures(scene);
    expect(move!.seesOwn.map(({ what }) => what)).toContain("rail");
    expect(moveFindings([move!], scene).map((f) => f.code)).toContain("room.move-sees-own");
  });
  it("refuses what the slider cannot do, and says what would do", () => {
    const scene = sceneWith({ from: [1.2, 1.4, 1.2], to: [2.4, 0.8, 1.2], seconds: 10 });
    const codes = moveFindings(moveFigures(scene), scene).filter(({ weight }) => weight === "stop");
    expect(codes.map(({ code }) => code)).toEqual(["room.move-too-long", "room.move-too-fast"]);
  });
  it("sees the line crossed", () => {
    const scene = sceneWith({ from: [2, 2, 1.2], to: [2.2, 3.4, 1.2] });
    expect(moveFigures(scene)[0]!.line.crossed).toBe(true);
    expect(moveOf().line.crossed).toBe(false);
  });
  it("is a table of its keyframes as CSV", () => {
    const move = moveOf({ head: "eased" });
    const rows = moveCsv([move]).trim().split("\r\n");
    expect(rows[0]).toBe("move,camera,keyframe,seconds,rail_m,pan_deg,tilt_deg");
    expect(rows).toHaveLength(move.keyframes.length + 1);
    expect(rows[1]).toBe(
      `move,B,1,0.00,0.0000,${move.keyframes[0]!.pan.toFixed(3)},${move.keyframes[0]!.tilt.toFixed(3)}`,
    );
  });
});
