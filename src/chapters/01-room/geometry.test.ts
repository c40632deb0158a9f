import { describe, expect, it } from "vitest";
import { loftPlan } from "#demo/loft-plan";
import { type Plan, planSchema } from "#documents/plan";
import { placeInFrame } from "#science/optics/pin-hole";
import { roomFigures, roomVerdict } from "./room.ts";
import { sceneOf } from "./scene.ts";

/** A plain room 6 x 5 m, sitter in the middle looking down the drawing, camera A below, everything by round numbers. */
const plain = (change: Partial<Record<keyof Plan, unknown>> = {}): Plan =>
  planSchema.parse({
    kind: "gemel.plan",
    version: 1,
    room: {
      outline: [
        [0, 0],
        [6, 0],
        [6, 5],
        [0, 5],
      ],
      height: 2.7,
    },
    sitter: { at: [3, 3], heading: 180 },
    interviewer: { at: [2.3, 1.2], heading: 20 },
    kit: {
      bodies: [{ id: "body", name: "Body", sensor: [36, 20.25], pixels: [3840, 2160] }],
      lenses: [
        { id: "50", name: "50 mm", focal: [50, 50], stop: 2, closeFocus: 0.5 },
        { id: "85", name: "85 mm", focal: [85, 85], stop: 2, closeFocus: 0.9 },
      ],
      lights: [
        {
          id: "lamp",
          name: "Lamp",
          lux: 1000,
          atMetres: 1,
          beamDegrees: 60,
          kelvin: 5600,
          face: [0.02, 0.02],
          watts: 50,
        },
      ],
      microphones: [{ id: "gun", name: "Shotgun", pattern: "shotgun" }],
    },
    cameras: [{ id: "A", body: "body", lens: "50", at: [3, 0.6], pan: 0, tilt: 0, height: 1.2, focus: 2.3 }],
    ...change,
  });

const camera = (more: object): object => ({ body: "body", lens: "50", height: 1.2, ...more });
const codes = (plan: Plan): string[] => roomFigures(plan).findings.map((f) => f.code);

describe("what a frame holds", () => {
  it("another camera in the frame has the place and size that the pin-hole gives it", () => {
    const plan = plain({
      cameras: [
        camera({ id: "A", at: [3, 0.6], pan: 0, tilt: 0 }),
        camera({ id: "B", lens: "85", at: [3.4, 2.6] }),
      ],
    });
    const seen = roomFigures(plan).cameras[0]!.seen.find((s) => s.kind === "camera")!;
    // 0.4 m right at 2 m through 50 mm on 36 mm: 10 mm of 36 from the middle; 0.22 m is 5.5 mm wide and high.
    expect(seen.id).toBe("B");
    expect((seen.box[0] + seen.box[2]) / 2).toBeCloseTo(0.5 + 10 / 36, 6);
    expect(seen.area).toBeCloseTo((5.5 * 5.5) / (36 * 20.25), 6);
    expect(codes(plan)).toContain("room.camera-in-frame");
  });
  it("a cupboard hides what stands behind it", () => {
    const hidden = plain({
      room: {
        ...plain().room,
        furniture: [{ id: "cupboard", name: "the cupboard", at: [3.4, 2], size: [0.6, 0.4, 2] }],
      },
      cameras: [
        camera({ id: "A", at: [3, 0.6], pan: 0, tilt: 0 }),
        camera({ id: "B", lens: "85", at: [3.45, 2.6] }),
      ],
    });
    expect(roomFigures(hidden).cameras[0]!.seen.map((s) => s.kind)).not.toContain("camera");
  });
  it("the interviewer's knees count as the interviewer", () => {
    // Beside the frame, with the legs across it: seen from low down and wide.
    const at = (heading: number) =>
      roomFigures(
        plain({
          interviewer: { at: [2, 1.9], heading },
          cameras: [camera({ id: "A", at: [3, 0.6], height: 0.7, pan: 0, tilt: 0 })],
        }),
      ).cameras[0]!.seen.some((s) => s.kind === "interviewer");
    expect(at(270)).toBe(false);
    expect(at(90)).toBe(true);
  });
  it("a boom's gap is its height over the frame's upper edge, at the boom", () => {
    const plan = plain({
      microphones: [{ id: "boom", microphone: "gun", role: "boom", at: [3, 2.6, 1.7], aim: [3, 2.6, 1] }],
    });
    // 2 m ahead the frame reaches 10.125/50 * 2 = 0.405 m over the lens: to 1.605 m.
    const [gap] = roomFigures(plan).cameras[0]!.clears;
    // Its skin hangs 2.5 cm under its axis.
    expect(gap!.metres).toBeCloseTo(0.07, 6);
    expect(gap!.pixels).toBeCloseTo((0.07 / 0.81) * 2160, 3);
    const low = plain({
      microphones: [{ id: "boom", microphone: "gun", role: "boom", at: [3, 2.6, 1.57], aim: [3, 2.6, 1] }],
    });
    const finding = roomFigures(low).findings.find((f) => f.code === "room.boom-in-frame")!;
    expect(finding.weight).toBe("stop");
    expect(finding.says).toContain("6 cm");
    expect(roomVerdict(roomFigures(low))).toMatch(/^This plan cannot be filmed yet: the boom hangs 6 cm/);
  });
  it("a slide is looked at over its whole way", () => {
    const at = (x: number) =>
      plain({
        kit: { ...plain().kit, sliders: [{ id: "rail", name: "Slider", travel: 1.5, loadKg: 5 }] },
        cameras: [camera({ id: "A", at: [3, 0.6] }), camera({ id: "B", lens: "85", at: [3.8, 2.6] })],
        slides: [
          { id: "s", slider: "rail", camera: "A", from: [3, 0.6, 1.2], to: [x, 0.6, 1.2], seconds: 20 },
        ],
      });
    const holds = (plan: Plan) => roomFigures(plan).cameras[0]!.seen.some((s) => s.kind === "camera");
    expect(holds(at(3.05))).toBe(false);
    expect(holds(at(1.6))).toBe(true);
  });
});

describe("focus", () => {
  it("a lens left to focus on the nearer eye never misses it, however long and open", () => {
    for (const at of [
      [3, 0.9],
      [4.4, 1.6],
      [4.8, 2.6],
      [2, 1.1],
    ])
      for (const focal of [85, 135, 200]) {
        const kit = {
          ...plain().kit,
          lenses: [{ id: "50", name: "Long", focal: [focal, focal], stop: 1.4, closeFocus: 0.5 }],
        };
        expect(codes(plain({ kit, cameras: [camera({ id: "A", at })] }))).not.toContain(
          "room.eyes-not-sharp",
        );
      }
  });
  it("one set by hand behind the sitter does, and says where the eye is", () => {
    const plan = plain({ cameras: [camera({ id: "A", at: [3, 0.6], lens: "85", focus: 3.2 })] });
    const found = roomFigures(plan).findings.find((f) => f.code === "room.eyes-not-sharp")!;
    expect(found.weight).toBe("stop");
    expect(found.says).toContain("the sitter's nearer eye is at 2.3");
  });
});

describe("the line and the pair", () => {
  const two = (b: object) =>
    plain({ cameras: [camera({ id: "A", at: [3, 0.6] }), camera({ id: "B", lens: "85", ...b })] });
  it("both cameras on one side of the line cut; one on each side does not", () => {
    expect(roomFigures(two({ at: [4.3, 1.4] })).geometry.lineCrossed).toBe(false);
    const crossed = roomFigures(two({ at: [1.4, 1.4] }));
    expect(crossed.geometry.lineCrossed).toBe(true);
    expect(crossed.cameras.map((c) => c.side)).toEqual(["left", "right"]);
    expect(crossed.findings[0]!.code).toBe("room.line-crossed");
  });
  it("the eyeline is the angle between the gaze and the lens", () => {
    const [a] = roomFigures(two({ at: [4.3, 1.4] })).cameras;
    const scene = sceneOf(plain());
    const gaze = Math.atan2(2.3 - scene.sitter.eyes[0], scene.sitter.eyes[1] - 1.2);
    const lens = Math.atan2(3 - scene.sitter.eyes[0], scene.sitter.eyes[1] - 0.6);
    // The interviewer is to the sitter's right: the frame's left.
    expect(a!.eyeline.sideways).toBeCloseTo(((lens - gaze) * 180) / Math.PI, 0);
    expect(a!.eyeline.sideways).toBeGreaterThan(0);
    expect(a!.shot.eyes.x).toBeGreaterThan(0.5);
  });
  it("two alike pictures from nearly one place jump", () => {
    expect(codes(two({ lens: "50", at: [3.4, 0.6] }))).toContain("room.pair-jumps");
    expect(codes(two({ at: [4.3, 1.4] }))).not.toContain("room.pair-jumps");
  });
  it("cameras that run unlike are told", () => {
    expect(codes(two({ at: [4.3, 1.4], frameRate: 50 }))).toContain("room.frame-rates-differ");
    expect(codes(two({ at: [4.3, 1.4], shutterAngle: 90 }))).toContain("room.shutters-differ");
  });
  it("a sitter panned to the edge that they look to has no look room", () => {
    // The sitter looks to the frame's left: panned right, the eyes come near that edge.
    const crowded = plain({ cameras: [camera({ id: "A", at: [3, 0.6], pan: 12, tilt: 0 })] });
    expect(roomFigures(crowded).cameras[0]!.shot.lookRoom).toBeLessThan(0.3);
    expect(codes(crowded)).toContain("room.look-room");
    expect(codes(plain({ cameras: [camera({ id: "A", at: [3, 0.6] })] }))).not.toContain("room.look-room");
  });
  it("a camera by the chair can be touched from it", () => {
    const [a, b] = roomFigures(
      plain({ cameras: [camera({ id: "A", at: [2.8, 0.9] }), camera({ id: "B", at: [4.6, 1.4] })] }),
    ).geometry.reaches;
    expect([a!.inReach, b!.inReach]).toEqual([true, false]);
  });
  it("the key beyond the interviewer turns the shadow side to the lens", () => {
    const lit = (x: number) =>
      roomFigures(plain({ lights: [{ id: "key", light: "lamp", role: "key", at: [x, 1.5], height: 1.9 }] }));
    expect(lit(1).cameras[0]!.shadowSide).toBe("towards");
    expect(lit(1).geometry.key!.interviewerBetween).toBe(true);
    expect(lit(5).cameras[0]!.shadowSide).toBe("away");
    expect(lit(5).findings.map((f) => f.code)).toContain("room.lit-side");
  });
});

describe("glass, shadows, ways and screens", () => {
  const ofLamp = (plan: Plan) => roomFigures(plan).cameras[0]!.reflections.filter((r) => r.of === "lamp");
  it("a lamp is mirrored where the angle in is the angle out, and only there", () => {
    const window = { id: "w", kind: "window", wall: 2, from: 0, width: 6, sill: 0.3, height: 2.2 };
    const plan = plain({
      room: { ...plain().room, openings: [window] },
      lights: [{ id: "lamp", light: "lamp", at: [4, 4], height: 1.6 }],
    });
    const found = roomFigures(plan).cameras[0]!.reflections.find((r) => r.of === "lamp")!;
    // Glass at y = 5: the camera is 4.4 m from it, the lamp 1 m; the ray meets it at 4.4/5.4 of the way.
    const share = 4.4 / 5.4;
    // A lamp of 2 cm is drawn by its corners: their mean lies a hair off its middle.
    expect(found.at[0]).toBeCloseTo(0.5 + ((share * 1) / 4.4) * (50 / 36), 4);
    expect(found.at[1]).toBeCloseTo(0.5 - ((share * 0.4) / 4.4) * (50 / 20.25), 4);
    expect(codes(plan)).toContain("room.reflection");
    const narrow = plain({
      room: { ...plain().room, openings: [{ ...window, from: 3.5, width: 1 }] },
      lights: [{ id: "lamp", light: "lamp", at: [4, 4], height: 1.6 }],
    });
    expect(roomFigures(narrow).cameras[0]!.reflections).toEqual([]);
  });
  it("a broad light is mirrored where only its edge meets the glass, and on a rail's end where the still camera misses it", () => {
    const pane = { id: "w", kind: "window", wall: 2, from: 3.5, width: 1, sill: 0.3, height: 2.2 };
    const lit = (face: [number, number], change: object = {}): Plan =>
      plain({
        room: { ...plain().room, openings: [pane] },
        kit: {
          ...plain().kit,
          lights: [{ ...plain().kit.lights[0]!, face }],
          sliders: [{ id: "rail", name: "Rail", travel: 3, loadKg: 9 }],
        },
        // The middle's ray meets the wall at x = 3 + 4.4/5.4 = 3.81 from the camera at x = 3: a pane from 2.19 (wall 2 runs from x = 6 back).
        lights: [{ id: "lamp", light: "lamp", at: [4, 4], aim: [4, 0, 1.6], height: 1.6 }],
        ...change,
      });
    // The pane lies from x = 1.5 to 2.5; the lamp's edge must reach x = 3 - 0.5·5.4/4.4 = 2.386: 1.614 from its middle.
    expect(ofLamp(lit([3.2, 0.4]))).toEqual([]);
    const [found] = ofLamp(lit([3.3, 0.4]));
    expect(found!.in).toBe("w");
    const onRail = lit([0.02, 0.02], {
      slides: [
        { id: "s", slider: "rail", camera: "A", from: [3, 0.6, 1.2], to: [0.9, 0.6, 1.2], seconds: 30 },
      ],
    });
    // From x = 0.9 the ray to the lamp's image meets the wall at 0.9 + 3.1·4.4/5.4 = 3.43: there the pane is put.
    onRail.room.openings[0]!.from = 2.3;
    onRail.room.openings[0]!.width = 0.6;
    const still = { ...onRail, slides: [] };
    expect(ofLamp(still)).toEqual([]);
    expect(ofLamp(onRail).map((r) => r.in)).toEqual(["w"]);
  });
  it("what glass shows on the way alone, and at neither end of a rail, is told", () => {
    // The lamp's image lies at (4, 6): from x on the rail its ray meets the glass at x + (4 - x)·4.4/5.4, 3.44 to 4 over the whole way.
    const onRail = (slides: object[]): Plan =>
      plain({
        room: {
          ...plain().room,
          openings: [
            { id: "w", kind: "window", wall: 2, from: 6 - 3.82, width: 0.2, sill: 0.3, height: 2.2 },
          ],
        },
        kit: { ...plain().kit, sliders: [{ id: "rail", name: "Rail", travel: 3, loadKg: 9 }] },
        cameras: [camera({ id: "A", at: [1, 0.6] })],
        lights: [{ id: "lamp", light: "lamp", at: [4, 4], height: 1.6 }],
        slides,
      });
    const slide = {
      id: "s",
      slider: "rail",
      camera: "A",
      from: [1, 0.6, 1.2],
      to: [4, 0.6, 1.2],
      seconds: 30,
    };
    expect(ofLamp(onRail([]))).toEqual([]);
    expect(
      ofLamp(
        onRail([
          { ...slide, to: [1.5, 0.6, 1.2] },
          { ...slide, id: "t", from: [3.5, 0.6, 1.2] },
        ]),
      ),
    ).toEqual([]);
    expect(ofLamp(onRail([slide])).map((r) => r.in)).toEqual(["w"]);
  });
  it("a light shows in the sitter's glasses where the surface that mirrors it is one that the glass has", () => {
    // Sitter looks down the drawing; camera 2.4 m straight ahead. A lamp beside it is mirrored by the glass; one far round is not.
    const glassed = (at: [number, number], height: number, glasses = true): Plan =>
      plain({
        sitter: { at: [3, 3], heading: 180, glasses },
        interviewer: { at: [3, 1], heading: 0 },
        lights: [{ id: "lamp", light: "lamp", at, height }],
      });
    const shows = (plan: Plan): boolean =>
      roomFigures(plan).cameras[0]!.reflections.some((r) => r.in === "glasses");
    expect(shows(glassed([3.6, 1], 1.2))).toBe(true);
    expect(shows(glassed([3.6, 1], 1.2, false))).toBe(false);
    // Half-way between camera and a lamp 60 degrees round is 30 degrees off: more than the glass turns.
    expect(shows(glassed([3 + 2 * Math.sin(Math.PI / 3), 3 - 2 * Math.cos(Math.PI / 3)], 1.2))).toBe(false);
    // Raised to 45 degrees it goes: half of it, 22 degrees up, and the glass leans 8 the other way.
    expect(shows(glassed([3, 1.4], 2.65))).toBe(false);
    expect(
      roomFigures(glassed([3.6, 1], 1.2))
        .findings.map((f) => f.says)
        .join("\n"),
    ).toMatch(/[Ll]amp is mirrored in the sitter's glasses in camera A\./);
  });
  it("a small lamp throws the boom's shadow on the sitter, a large one leaves none", () => {
    const shadowed = (face: [number, number]) =>
      roomFigures(
        plain({
          kit: { ...plain().kit, lights: [{ ...plain().kit.lights[0]!, face }] },
          lights: [{ id: "key", light: "lamp", role: "key", at: [3, 1], height: 2.4 }],
          // On the way from the lamp to the head, at two thirds.
          microphones: [{ id: "boom", microphone: "gun", role: "boom", at: [3, 2.35, 1.59] }],
        }),
      ).geometry.boomShadows;
    expect(shadowed([0.02, 0.02])).toEqual([{ boom: "boom", light: "key", on: "sitter", cameras: ["A"] }]);
    expect(shadowed([1.2, 1.2])).toEqual([]);
  });
  it("the way from the door is as wide as its narrowest gap", () => {
    const wall = (x: number, width: number) => ({
      id: `b${x}`,
      name: "box",
      at: [x, 0.8],
      size: [width, 0.5, 1],
    });
    const way = (gap: number) => {
      // Two boxes across the room at y = 0.8 leave one gap about x = 4.
      const left = 4 - gap / 2;
      return roomFigures(
        plain({
          interviewer: { at: [2.3, 2.2], heading: 20 },
          cameras: [],
          room: {
            ...plain().room,
            openings: [{ id: "door", kind: "door", wall: 0, from: 3.5, width: 1, sill: 0, height: 2 }],
            furniture: [wall(left / 2, left), wall((6 + left + gap) / 2, 6 - left - gap)],
          },
        }),
      ).geometry.walkway;
    };
    expect(way(0.8)!.metres).toBeGreaterThan(0.68);
    expect(way(0.8)!.metres).toBeLessThanOrEqual(0.8);
    expect(way(0.5)!.metres).toBeLessThanOrEqual(0.5);
    expect(way(0)).toBeNull();
  });
  it("a monitor beside the sitter is seen from the chair, one behind a cupboard is not", () => {
    const seen = (furniture: object[]) =>
      roomFigures(
        plain({
          room: { ...plain().room, furniture },
          monitors: [{ id: "m", at: [1.6, 3, 1], heading: 180 - 20 }],
        }),
      ).geometry.sights[0]!;
    expect(seen([])).toMatchObject({ id: "m", faces: true, clear: true });
    expect(seen([{ id: "c", name: "cupboard", at: [2, 2], size: [0.8, 0.3, 2] }]).clear).toBe(false);
  });
});

describe("the demo's plan", () => {
  const result = roomFigures(loftPlan);
  it("has nothing that must change before it is filmed", () => {
    expect(result.findings.filter((f) => f.weight === "stop")).toEqual([]);
    expect(roomVerdict(result)).toContain("the boom clears camera A by 5 cm");
  });
  it("frames the sitter as the demo's cameras do, to a degree", () => {
    // staging.ts: camera A aims at (-0.19, 0.985, 0) from (0, 1.2, 2.42).
    const [a, b] = result.cameras;
    expect(a!.pan).toBeCloseTo(360 + (Math.atan2(-0.19, 2.42) * 180) / Math.PI, -0.5);
    expect(a!.tilt).toBeCloseTo((Math.atan2(0.985 - 1.2, 2.43) * 180) / Math.PI, -0.5);
    expect(a!.shot.is).toBe("cowboy");
    expect(b!.shot.is).toBe("medium close-up");
    const [camera] = sceneOf(loftPlan).cameras;
    expect(placeInFrame(camera!, sceneOf(loftPlan).sitter.eyes)!.x).toBeCloseTo(0.58, 6);
  });
  it("survives a plan with nothing in it but a room and two chairs", () => {
    const bare = plain({ cameras: [], kit: undefined });
    expect(roomVerdict(roomFigures(bare))).toBe("The room is drawn; no camera stands in it yet.");
  });
});
