import { describe, expect, it } from "vitest";
import type { Plan } from "#documents/plan";
import { stagedRoom } from "../../../test/helpers/staged-room.ts";
import { seenOnTheWay } from "./camera-poses.ts";
import { thingsOf } from "./geometry-things.ts";
import { groundOf } from "./propose-ground.ts";
import { breachOf, brokenRules } from "./propose-hard.ts";
import { tellFrames } from "./propose-hard-frames.ts";
import type { HardRule } from "./propose-hard-rule.ts";
import { sceneOf } from "./scene.ts";

const brokenBy = (change: (plan: Plan) => void): string[] => {
  const plan = stagedRoom();
  change(plan);
  const [scene, ground] = [sceneOf(plan), groundOf(plan)];
  const broken = brokenRules(scene, ground);
  expect(breachOf(scene, ground) > 0).toBe(broken.length > 0);
  for (const { says, remedy, name } of broken)
    for (const text of [says, remedy, name]) expect(text).not.toBe("");
  return broken.map(({ code }) => code);
};

describe("hard rules", () => {
  it("are all kept by the staging made by hand", () => {
    expect(brokenBy(() => {})).toEqual([]);
  });
  // One change each, and the rule that it must break.
  it.each<[string, HardRule, (plan: Plan) => void]>([
    ["a light stand in the wall", "inside", (p) => (p.lights[1]!.at = [4.25, 0.1])],
    ["a camera outside the room", "inside", (p) => (p.cameras[0]!.at = [-1, 3])],
    ["a chair in the bookcase", "furniture", (p) => (p.sitter.at = [7.6, 3.1])],
    ["two stands in one place", "apart", (p) => (p.lights[1]!.at = [3.9, 2.1])],
    [
      "a table before the door",
      "way",
      (p) =>
        p.room.furniture.push({
          ...p.room.furniture[0]!,
          id: "t",
          name: "t",
          at: [7, 1],
          size: [2, 1, 0.7],
          heading: 0,
        }),
    ],
    ["camera B over the line", "line", (p) => (p.cameras[1]!.at = [4.6, 5])],
    ["the key in camera B's frame", "frames", (p) => (p.lights[0]!.at = [6.6, 3.8])],
    ["the boom in both frames", "frames", (p) => (p.microphones[1]!.at = [4.9, 3.2, 1.35])],
    ["the interviewer before the lens", "frames", (p) => (p.interviewer.at = [4.1, 3.1])],
    ["camera B too close to focus", "close-focus", (p) => (p.cameras[1]!.at = [4.62, 2.8])],
    ["a short lens for a close-up", "shot-size", (p) => (p.cameras[1]!.lens = "p35")],
    ["a pan that misses the sitter", "shot-size", (p) => (p.cameras[0]!.pan = 200)],
    ["a focal length that a prime lacks", "kit", (p) => (p.cameras[0]!.focalLength = 60)],
    ["a boom through the ceiling", "boom", (p) => (p.microphones[1]!.at = [4.82, 3.2, 3.19])],
    ["a boom's stand out of reach", "boom", (p) => (p.microphones[1]!.standAt = [1, 5])],
    [
      "a move longer than its rail",
      "rail",
      (p) =>
        p.slides.push({
          id: "move",
          slider: "slider",
          camera: "B",
          from: [3.4, 1.7, 1.2],
          to: [4.3, 2.9, 1.2],
          seconds: 30,
          ease: "in-out",
          returns: true,
          hold: { point: "eyes" },
          head: "linear",
          tilts: false,
        }),
    ],
    [
      "a screen before the sitter",
      "sight",
      (p) =>
        p.room.furniture.push({
          ...p.room.furniture[0]!,
          id: "s",
          name: "s",
          at: [4.3, 3.05],
          size: [0.1, 1, 2],
        }),
    ],
    ["a light over its stand", "ceiling", (p) => (p.lights[0]!.height = 3)],
  ])("are broken by %s", (_, rule, change) => {
    expect(brokenBy(change)).toContain(rule);
  });
  it("let a lens that is there once be on one camera only, unless the plan has it on two", () => {
    const plan = stagedRoom();
    const ground = groundOf(plan);
    plan.cameras[1]!.lens = "p50";
    expect(brokenRules(sceneOf(plan), ground).map((b) => b.code)).toContain("kit");
    expect(brokenRules(sceneOf(plan), groundOf(plan)).map((b) => b.code)).not.toContain("kit");
  });
  it("tell the interviewer in a frame wherever the plan's figures see them there, to the feet", () => {
    const plan = stagedRoom();
    // A wide lens sees as far down as knees.
    plan.cameras[0]!.lens = "p35";
    let [seen, byLegsAlone] = [0, 0];
    for (const x of [3, 3.5, 4, 4.5, 5])
      for (const y of [1.6, 2, 2.4, 2.8, 3.2, 3.6, 4, 4.4]) {
        const inFrame = [0, 60, 120, 180, 240, 300].map((heading) => {
          const scene = sceneOf({ ...plan, interviewer: { ...plan.interviewer, at: [x, y], heading } });
          const things = thingsOf(scene).filter(({ kind }) => kind === "interviewer");
          const sees = scene.cameras.some((camera) => seenOnTheWay(scene, camera, things).length > 0);
          const told: string[] = [];
          tellFrames(scene, (_rule, _amount, says) => told.push(says()));
          if (sees) expect(told.join(" ")).toContain("The interviewer is in camera");
          return sees;
        });
        if (inFrame.includes(true)) seen++;
        // Which way a person sits turns the legs alone.
        if (inFrame.includes(true) && inFrame.includes(false)) byLegsAlone++;
      }
    expect(seen).toBeGreaterThan(3);
    expect(byLegsAlone).toBeGreaterThan(0);
  });
});
