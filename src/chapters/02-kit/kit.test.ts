import { describe, expect, it } from "vitest";
import { kitSchema, type Plan, planSchema } from "#documents/plan";
import { roomPlan } from "../../../test/helpers/room-plan.ts";
import { genericKit } from "./generic-kit.ts";
import { kitFigures, kitVerdict } from "./kit.ts";
import { bitRateOf, minutesOnBattery, minutesOnCard } from "./kit-cameras.ts";

const kit = {
  ...roomPlan.kit,
  cards: [{ id: "card", name: "128 GB card", gigabytes: 128, count: 4 }],
  batteries: [{ id: "battery", name: "16 Wh battery", wattHours: 16, count: 6, fits: ["body"] }],
};
const day = {
  blocks: [
    { name: "childhood", minutes: 50, breakMinutes: 15 },
    { name: "the mill", minutes: 60, breakMinutes: 20 },
    { name: "the flood", minutes: 45, breakMinutes: 0 },
  ],
};
const planOf = (change: object = {}): Plan => planSchema.parse({ ...roomPlan, kit, day, ...change });
const codes = (plan: Plan): string[] => kitFigures(plan).findings.map(({ code }) => code);

describe("how long a card lasts", () => {
  it("is its bytes over its rate: 128 GB at 100 Mb/s hold 2 h 50 min, nine tenths of that are counted on", () => {
    // 128·10⁹ bytes · 8 / 10⁸ b/s = 10 240 s.
    expect(minutesOnCard(128, 100)).toBeCloseTo((10_240 * 0.9) / 60, 9);
  });
  it("goes by the codec that the camera is set to, and by its frame rate where the sheet is for another", () => {
    const [body] = planOf().kit.bodies;
    const [camera] = planOf().cameras;
    const codecs = [
      { id: "long", mbps: 140 },
      { id: "intra", mbps: 240, atFrameRate: 24 },
    ];
    expect(bitRateOf({ ...camera!, codec: "long" }, { ...body!, codecs })).toBe(140);
    expect(bitRateOf({ ...camera!, codec: "intra", frameRate: 50 }, { ...body!, codecs })).toBe(500);
    expect(bitRateOf(camera!, body!)).toBe(100);
  });
});

describe("the pack", () => {
  it("has a mains cable for each light that runs one: its way with two metres of slack, rounded up, in the plan's units", () => {
    const [light] = planOf().lights;
    const cables = [{ id: light!.id, metres: 3.2 }];
    const named = (plan: Plan): string[] =>
      kitFigures(plan, cables).pack.flatMap(({ items }) => items.map(({ name }) => name));
    expect(named(planOf())).toContain("mains cable, 6 m or longer");
    // 5.2 m are 17.06 ft.
    expect(named(planOf({ units: "feet" }))).toContain("mains cable, 20' or longer");
    const heavier = kitFigures(planOf(), cables).weight.kilograms - kitFigures(planOf()).weight.kilograms;
    expect(heavier).toBeCloseTo(6 * 0.12, 9);
  });
});

describe("the day of a plan", () => {
  it("changes batteries in the breaks before they run out", () => {
    const { cameras } = kitFigures(planOf());
    const a = cameras.find(({ id }) => id === "A")!;
    // 16 Wh · 0.8 / 8 W = 96 min. Block one and its break take 65; the mill's 60 would not end on what is left.
    expect(minutesOnBattery(16, 8)).toBeCloseTo(96, 9);
    expect(a.battery).toMatchObject({ minutesEach: 96, needs: 3, has: 3 });
    expect(a.swaps.filter(({ what }) => what === "battery")).toEqual([
      { what: "battery", at: 65, clock: "10:05", block: "the mill", inBreak: true },
      { what: "battery", at: 145, clock: "11:25", block: "the flood", inBreak: true },
    ]);
  });
  it("deals the cards out evenly and changes them in a break too", () => {
    const a = kitFigures(planOf()).cameras[0]!;
    // 153.6 min each, 155 min to record.
    expect(a.cards!.has).toBe(2);
    expect(a.swaps.filter(({ what }) => what === "card").map(({ block }) => block)).toEqual(["the flood"]);
  });
  it("says when a block outlasts what a camera holds, and when there are too few", () => {
    const small = planOf({
      kit: { ...kit, cards: [{ id: "c", name: "32 GB card", gigabytes: 32, count: 2 }] },
    });
    expect(codes(small)).toEqual(expect.arrayContaining(["kit.card-short", "kit.card-in-block"]));
    const [finding] = kitFigures(small).findings;
    expect(finding!.weight).toBe("stop");
    expect(kitVerdict(kitFigures(small))).toContain("cards for the day");
  });
  it("says every duration in hours and minutes", () => {
    // Two cards of 153.6 min each.
    expect(kitVerdict(kitFigures(planOf()))).toContain("5 h 7 min on A");
    // A card of 76.8 min in a block of two hours; without hours of the day a change is told by how long after the start it comes.
    const small = planOf({
      when: undefined,
      day: { blocks: [{ name: "the mill", minutes: 120, breakMinutes: 0 }] },
      kit: { ...kit, cards: [{ id: "c", name: "64 GB card", gigabytes: 64, count: 6 }] },
    });
    const [first] = kitFigures(small).findings.filter(({ code }) => code === "kit.card-in-block");
    expect(first!.says).toContain("one lasts 1 h 16 min");
    expect(first!.evidence!.figure).toBe("1 h 16 min from the start");
  });
  it("takes the hours for one block where no blocks are said, and says so", () => {
    const { day: told } = kitFigures(planOf({ day: undefined }));
    expect(told).toMatchObject({ isSaid: false, minutes: 480, recordedMinutes: 480 });
  });
  it("never changes in the middle of what would have lasted, whatever the blocks (a law)", () => {
    for (const minutes of [10, 35, 70, 95, 96])
      for (const breakMinutes of [0, 5, 30]) {
        const blocks = Array.from({ length: 6 }, (_, i) => ({
          name: `block ${i + 1}`,
          minutes,
          breakMinutes,
        }));
        const { cameras } = kitFigures(planOf({ day: { blocks } }));
        for (const { swaps } of cameras)
          expect(swaps.filter(({ what, inBreak }) => what === "battery" && !inBreak)).toEqual([]);
      }
  });
});

describe("circuits", () => {
  const mains = (amperes: number, on: Record<string, string>): object => ({
    mains: { volts: 230, circuits: [{ id: "ring", name: "The ring", amperes }], on },
  });
  it("carry watts over volts, full power whatever the dimmer, with a margin of a fifth", () => {
    const lights = [{ ...roomPlan.lights[0], dim: 0.2 }];
    const { circuits } = kitFigures(planOf({ ...mains(16, { key: "ring", A: "ring" }), lights }));
    expect(circuits[0]!.drawn).toBeCloseTo((300 + 8) / 230, 9);
    expect(circuits[0]!.spareWatts).toBeCloseTo(16 * 0.8 * 230 - 308, 9);
  });
  it("15 A at 120 V bear 1440 W for hours (NFPA 70 habit, from memory; local codes decide)", () => {
    const { circuits } = kitFigures(
      planOf({
        lights: [],
        mains: { hertz: 60, volts: 120, circuits: [{ id: "c", name: "Outlet", amperes: 15 }], on: {} },
      }),
    );
    expect(circuits[0]!.spareWatts).toBeCloseTo(1440, 9);
  });
  it("are stopped at when over their rating and warned of when close", () => {
    const found = (amperes: number): string[] => codes(planOf(mains(amperes, { key: "ring" })));
    expect(found(1)).toContain("kit.circuit-over");
    expect(found(1.5)).toContain("kit.circuit-close");
    expect(found(6).some((code) => code.startsWith("kit.circuit"))).toBe(false);
    expect(codes(planOf())).toContain("kit.circuit-unsaid");
    expect(kitVerdict(kitFigures(planOf(mains(6, { key: "ring" }))))).toContain("circuit, the ring, is at");
  });
  it("take a camera on the mains off its batteries", () => {
    const { cameras } = kitFigures(planOf(mains(16, { A: "ring" })));
    expect(cameras[0]).toMatchObject({ onMains: true, battery: null });
    expect(cameras[1]!.battery!.has).toBe(6);
  });
});

describe("what to pack", () => {
  it("lists what each setup uses, counted and weighed", () => {
    const { pack, weight } = kitFigures(planOf());
    expect(pack.map(({ setup }) => setup)).toEqual([
      "camera A",
      "camera B",
      "light key",
      "sound",
      "cards",
      "power",
      "other",
    ]);
    expect(pack[1]!.items.map(({ name }) => name)).toEqual(["Body", "85 mm", "Slider"]);
    expect(weight.kilograms).toBeCloseTo(0.9 + 0.4 + 0.9 + 0.5, 9);
    expect(weight.unknown).toBeGreaterThan(0);
  });
  it("stops at a stand that bears less than it holds", () => {
    const stands = [{ id: "thin", name: "Thin stand", lowest: 0.5, highest: 1.5, loadKg: 1, footprint: 0.4 }];
    const cameras = [{ ...roomPlan.cameras[0], stand: "thin", height: 1.9 }];
    expect(codes(planOf({ kit: { ...kit, stands }, cameras, slides: [] }))).toEqual(
      expect.arrayContaining(["kit.stand-overloaded", "kit.stand-height"]),
    );
  });
  it("cautions of what is there and of nothing else, and defers to local codes each time", () => {
    const { cautions } = kitFigures(planOf());
    expect(cautions.map(({ code }) => code)).toEqual([
      "kit.caution-mains",
      "kit.caution-stands",
      "kit.caution-cables",
      "kit.caution-lithium",
      "kit.caution-boom",
    ]);
    for (const { says } of cautions) expect(says).toMatch(/Local codes and licensed practice decide\.$/);
    expect(kitFigures(planSchema.parse({ ...roomPlan, lights: [], microphones: [] })).cautions).toEqual([]);
  });
});

describe("kit by size and figure", () => {
  it("is a whole kit, each thing once, that a plan may name", () => {
    const ids = Object.values(genericKit)
      .filter(Array.isArray)
      .flatMap((list: { id: string }[]) => list.map(({ id }) => id));
    expect(new Set(ids).size).toBe(ids.length);
    expect(kitSchema.parse(genericKit)).toEqual(genericKit);
    for (const battery of genericKit.batteries) for (const id of battery.fits) expect(ids).toContain(id);
  });
  it("has sensors with the recorded shape, 16 to 9", () => {
    for (const { sensor } of genericKit.bodies) expect(sensor[0] / sensor[1]).toBeCloseTo(16 / 9, 1);
  });
});
