import { describe, expect, it } from "vitest";
import { planSchema } from "#documents/plan";
import { roomPlan as testPlan } from "../../../test/helpers/room-plan.ts";
import { lightFigures } from "./light-figures.ts";
import { lightFindings } from "./light-findings.ts";
import { placesOf } from "./light-places.ts";
import { sceneOf } from "./scene.ts";

const figuresOf = (change: object): ReturnType<typeof lightFigures> => {
  const plan = planSchema.parse({ ...testPlan, ...change });
  return lightFigures(plan, sceneOf(plan));
};
/** A room that throws nothing back, and no day. */
const dark = { place: undefined, when: undefined };

describe("the light of a plan", () => {
  it("is the sheet's figure by the inverse square where a bare lamp faces the face", () => {
    const plan = planSchema.parse({ ...testPlan, ...dark });
    const scene = sceneOf(plan);
    const key = scene.lights[0]!;
    const { sources } = lightFigures(plan, scene);
    const source = sources.find(({ id }) => id === "key")!;
    const d = source.metres!;
    // 3000 lx at a metre, 2 stops lost in the modifier; aimed at the face, whose middle is 5 cm from the eyes.
    expect(key.luxAtOneMetre).toBe(750);
    expect(source.lux / (750 / d ** 2)).toBeCloseTo(1, 1);
    expect(source.lux).toBeLessThan(750 / d ** 2);
  });
  it("tells the lit cheek by the key's side, and the ratio in stops", () => {
    const light = figuresOf(dark);
    // The key stands on the sitter's right of the gaze (north of a sitter who looks west).
    expect(light.lit.side).toBe("right");
    expect(light.keyToFillStops).toBeCloseTo(Math.log2(light.lit.lux / light.shadow.lux), 9);
    expect(light.keyToFillStops!).toBeGreaterThan(1);
  });
  it("adds up to its parts everywhere", () => {
    const light = figuresOf({});
    for (const place of [light.face, light.lit, light.shadow, light.hair, light.background!])
      expect(place.from.reduce((sum, { lux }) => sum + lux, 0)).toBeCloseTo(place.lux, 6);
  });
  it("halves with the dimmer", () => {
    const full = figuresOf(dark);
    const half = figuresOf({ ...dark, lights: [{ ...testPlan.lights[0], dim: 0.5 }] });
    expect(half.lit.lux / full.lit.lux).toBeCloseTo(0.5, 9);
  });
  it("is stopped by furniture", () => {
    const furniture = [{ id: "screen", name: "screen", at: [3.55, 3.2], size: [1, 0.05, 2.4], heading: 141 }];
    const light = figuresOf({ ...dark, room: { ...testPlan.room, furniture } });
    expect(light.sources.find(({ id }) => id === "key")).toMatchObject({ lux: 0, blocked: true });
  });
  it("asks of a camera what the footcandle rule asks, in lux", () => {
    const light = figuresOf({ ...dark, cameras: [{ ...testPlan.cameras[0], iso: 800, stop: 4 }] });
    const [a] = light.cameras;
    // 25·T²/(EI·t) = 25·16/(800/50) = 25 fc = 269 lx.
    expect(a!.luxWanted).toBeCloseTo(269.1, 1);
    expect(a!.off).toBeCloseTo(Math.log2(light.lit.lux / a!.luxWanted), 9);
    // Each by itself puts it right: N² t and the ISO stand for one another.
    const { right, tStop, iso } = a!;
    expect(2 * Math.log2(right!.tStop / tStop)).toBeCloseTo(a!.off!, 9);
    expect(Math.log2(iso / right!.iso)).toBeCloseTo(a!.off!, 9);
    expect(Math.log2(180 / right!.shutterAngle)).toBeCloseTo(a!.off!, 9);
    // The chart's published luminances through BT.709: grey 18 % at 41 %.
    expect(a!.levels.grey).toBeCloseTo(40.9, 1);
    expect(a!.levels.lightSkin).toBeGreaterThan(a!.levels.darkSkin);
  });
  it("warns of mains lamps at a shutter that sees part of a ripple, and names the nearest that sees whole ones", () => {
    const plan = planSchema.parse({
      ...testPlan,
      ...dark,
      kit: { ...testPlan.kit, lights: [{ ...testPlan.kit.lights[0]!, flicker: "mains" }] },
      cameras: [{ ...testPlan.cameras[0], frameRate: 24, shutterAngle: 180 }],
    });
    const scene = sceneOf(plan);
    const found = lightFindings(lightFigures(plan, scene), scene).find(({ code }) => code === "room.flicker");
    expect(found?.remedy).toBe("Set the shutter to 172.8°.");
  });
  it("finds the window cooler than warm lamps and closes it with a gel", () => {
    const [panel] = testPlan.kit.lights;
    const plan = planSchema.parse({
      ...testPlan,
      kit: { ...testPlan.kit, lights: [{ ...panel, kelvinRange: [2700, 6500] }] },
      lights: [{ ...testPlan.lights[0], kelvin: 3200 }],
    });
    const scene = sceneOf(plan);
    const figures = lightFigures(plan, scene);
    const window = figures.sources.find(({ kind }) => kind === "window")!;
    expect(window.miredOff).toBeCloseTo(1e6 / window.kelvin! - 312.5, 6);
    expect(window.gel!.name).toBe("full orange");
    expect(lightFindings(figures, scene).some(({ code }) => code === "room.light-colour")).toBe(true);
  });
  it("says so where there is no light at all", () => {
    const plan = planSchema.parse({ ...testPlan, ...dark, lights: [] });
    const scene = sceneOf(plan);
    expect(lightFindings(lightFigures(plan, scene), scene).map(({ code }) => code)).toEqual([
      "room.light-none",
    ]);
  });
  it("lets the cheeks look to either side of the face", () => {
    const { left, right, face } = placesOf(sceneOf(planSchema.parse(testPlan)));
    const dot = (a: readonly number[], b: readonly number[]): number =>
      a.reduce((s, v, i) => s + v * b[i]!, 0);
    expect(dot(left.normal, right.normal)).toBeCloseTo(0, 9);
    expect(dot(left.normal, face.normal)).toBeCloseTo(Math.SQRT1_2, 9);
  });
  it("tells levels on the curve that the body records, and says when nobody knows it", () => {
    const withCurve = (curve: unknown): ReturnType<typeof planSchema.parse> =>
      planSchema.parse({
        ...testPlan,
        kit: { ...testPlan.kit, bodies: [{ ...testPlan.kit.bodies[0], curve }] },
      });
    const levelsOf = (curve: unknown): ReturnType<typeof lightFigures>["cameras"][number]["levels"] => {
      const plan = withCurve(curve);
      return lightFigures(plan, sceneOf(plan)).cameras[0]!.levels;
    };
    expect(levelsOf("HLG").curve).toBe("HLG");
    const log = { base: 10, logSideSlope: 0.25, logSideOffset: 0.4, linSideSlope: 5, linSideOffset: 0.05 };
    expect(levelsOf(log).grey).toBeCloseTo(100 * (0.25 * Math.log10(5 * 0.18 + 0.05) + 0.4), 9);
    expect(levelsOf("moonlight")).toMatchObject({ curve: "BT.709", curveIsKnown: false });
    const plan = withCurve("moonlight");
    const scene = sceneOf(plan);
    expect(lightFindings(lightFigures(plan, scene), scene).map(({ code }) => code)).toContain(
      "room.curve-unknown",
    );
  });
});
