import { describe, expect, it } from "vitest";
import { planSchema } from "#documents/plan";
import { materialOf } from "#science/acoustics/materials";
import { distanceBetween } from "#science/geometry/vector3";
import { placeInFrame } from "#science/optics/pin-hole";
import { roomPlan } from "../../../test/helpers/room-plan.ts";
import { sceneOf } from "./scene.ts";
import { lowestOutside, soundFigures } from "./sound-figures.ts";
import { soundFindings } from "./sound-findings.ts";

const figuresOf = (change: object = {}): ReturnType<typeof soundFigures> => {
  const plan = planSchema.parse({ ...roomPlan, ...change });
  return soundFigures(plan, sceneOf(plan));
};

describe("the sound of a plan", () => {
  it("adds absorption up by area: walls less their openings, glass, floor, ceiling and two people", () => {
    const { bands, volume, surface } = figuresOf();
    expect(volume).toBeCloseTo(6 * 5 * 2.7, 9);
    expect(surface).toBeCloseTo(2 * 30 + 22 * 2.7 + 2, 9);
    const at = (id: string): number => materialOf(id)!.absorbs[2];
    const glass = 1.2 * 1.3;
    const hand =
      (22 * 2.7 - glass + 30) * at("plasterboard") +
      glass * at("window-glass") +
      30 * at("wood-on-joists") +
      2 * at("people");
    expect(bands[2]!.absorption).toBeCloseTo(hand, 9);
  });
  it("makes an open hole take everything that falls on it", () => {
    const [window] = roomPlan.room.openings;
    const open = figuresOf({ room: { ...roomPlan.room, openings: [{ ...window, kind: "hole" }] } });
    const gain = open.bands[3]!.absorption - figuresOf().bands[3]!.absorption;
    expect(gain).toBeCloseTo(1.2 * 1.3 * (1 - materialOf("window-glass")!.absorbs[3]), 9);
  });
  it("tells the boom's lag behind the lav by its farther way, at the room's own speed of sound", () => {
    const plan = planSchema.parse(roomPlan);
    const scene = sceneOf(plan);
    const { delays, speedOfSound } = soundFigures(plan, scene);
    const [lav, boom] = scene.microphones.map((m) => distanceBetween(m.point, scene.sitter.mouth));
    expect(speedOfSound).toBeCloseTo(343.21, 2);
    expect(delays).toEqual([
      { from: "lav", to: "boom", milliseconds: (1000 * (boom! - lav!)) / speedOfSound },
    ]);
  });
  it("hears a microphone at its even distance as strongly straight as by the room", () => {
    const { microphones } = figuresOf();
    const boom = microphones.find(({ id }) => id === "boom")!;
    // Off its axis and below the face's own direction the voice is weaker: the whole is bounded by the axis figure.
    const onAxis = 20 * Math.log10(boom.evenMetres / boom.metres);
    expect(boom.directToReverberantDb).toBeLessThanOrEqual(onAxis + 1e-9);
    expect(boom.directToReverberantDb).toBeGreaterThan(onAxis - 4);
  });
  it("puts the boom's lowest tip on the frame's edge, a hand's breadth above it", () => {
    const plan = planSchema.parse({ ...roomPlan, slides: [] });
    const scene = sceneOf(plan);
    const [boom] = soundFigures(plan, scene).booms;
    const [x, y] = scene.microphones.find(({ id }) => id === "boom")!.point;
    for (const camera of scene.cameras) {
      const z = lowestOutside(camera, x, y)!;
      expect(placeInFrame(camera, [x, y, z])!.y).toBeCloseTo(0, 9);
      expect(boom!.lowest).toBeGreaterThanOrEqual(z + 0.05 - 1e-9);
    }
    expect(boom!.by).not.toBeNull();
  });
  it("says what is heard under the voice: a loud fridge nearby", () => {
    const furniture = [{ id: "fridge", name: "fridge", at: [5, 2], size: [0.6, 0.6, 1.6], noise: 45 }];
    const findings = soundFindings(figuresOf({ room: { ...roomPlan.room, furniture } }));
    expect(findings.filter(({ code }) => code === "room.sound-noise").map(({ says }) => says)).toEqual(
      expect.arrayContaining([
        expect.stringMatching(/^Fridge is heard in the lav, \d+ dB under the voice\.$/),
      ]),
    );
  });
  it("warns of a boom that hears more room than voice", () => {
    const far = [{ ...roomPlan.microphones[1], at: [1, 4.5, 2.4] }];
    const [finding] = soundFindings(figuresOf({ microphones: far }), "feet");
    expect(finding!.code).toBe("room.sound-roomy");
    expect(finding!.weight).toBe("warn");
    expect(finding!.says).toContain("'");
  });
});
