import { beforeAll, describe, expect, it } from "vitest";
import { type DemoWish, planSitting, type SittingPlan } from "./sitting-plan.ts";
import { drySound } from "./sound/conversation.ts";
import { scratchSound, soundOfCameraA } from "./sound/recorded-sound.ts";
import { openVoices, sampleRateHz, type Voices } from "./sound/voices.ts";
import { truthOfPlan } from "./truth-of-plan.ts";

const wish: DemoWish = { seconds: 75, seed: 1, soundOnly: true, width: 1280, height: 720 };
let voices: Voices;
let plan: SittingPlan;
beforeAll(async () => {
  voices = await openVoices();
  plan = planSitting(voices, wish);
});

describe("planSitting", () => {
  it("fits three questions and answers into the default, with a false start and a pause of more than 3 s", () => {
    const truth = truthOfPlan(plan);
    expect(truth.exchanges).toHaveLength(3);
    expect(truth.falseStarts).toHaveLength(1);
    expect(truth.longPauses[0]!.end - truth.longPauses[0]!.start).toBeGreaterThan(3);
    expect(truth.speech.at(-1)!.end).toBeLessThan(74);
    expect(truth.speech.at(-1)!.end).toBeGreaterThan(62);
  });
  it("stops B between two of its frames' times and starts it again about 3 s later on the same clock", () => {
    const [one, two] = plan.takes;
    const gap = two.clock.offset - (one.clock.offset + one.seconds * (1 + one.clock.ratePpm * 1e-6));
    expect(gap).toBeGreaterThan(2.8);
    expect(gap).toBeLessThan(3.3);
    expect(two.clock.ratePpm).toBe(one.clock.ratePpm);
    expect((one.seconds * 25) % 1).toBeCloseTo(0, 9);
  });
  it("puts the soft stretch whole into one of B's takes and into an answer", () => {
    const truth = truthOfPlan({ ...plan, wish: { ...wish, soundOnly: false } });
    const file = truth.files.find((f) => f.path === truth.soft!.path)!;
    expect(truth.soft!.local.start).toBeGreaterThan(0);
    expect(truth.soft!.local.end).toBeLessThan(file.seconds);
    expect(plan.soft.end).toBeLessThan(plan.talk.exchanges[2]!.answer.end);
  });
  it("shows the chart to both cameras for more than two seconds", () => {
    const truth = truthOfPlan({ ...plan, wish: { ...wish, soundOnly: false } });
    for (const chart of truth.charts) {
      expect(chart.shownLocal.end - chart.shownLocal.start).toBeGreaterThan(2);
      const [a, b, c, d] = chart.corners[0]!.corners as [
        [number, number],
        [number, number],
        [number, number],
        [number, number],
      ];
      expect(Math.hypot(b[0] - a[0], b[1] - a[1])).toBeGreaterThan(
        1280 * (chart.camera === "A" ? 0.15 : 0.2),
      );
      for (const [x, y] of [a, b, c, d]) {
        expect(x).toBeGreaterThan(10);
        expect(y).toBeLessThan(710);
      }
    }
  });
  it("is the same for the same seed and another for another", () => {
    expect(planSitting(voices, wish).takes).toEqual(plan.takes);
    expect(planSitting(voices, { ...wish, seed: 2 }).takes).not.toEqual(plan.takes);
  });
  it("fills an hour with the same few lines said over, so that memory does not grow", () => {
    const few = new Map<string, Float32Array>();
    const counted: Voices = {
      say(who, text, variant) {
        const key = `${who} ${text} ${variant % 3}`;
        const sound = few.get(key) ?? new Float32Array(3 * sampleRateHz);
        few.set(key, sound);
        return sound;
      },
    };
    const long = planSitting(counted, { ...wish, seconds: 3600 });
    expect(long.talk.exchanges.length).toBeGreaterThan(100);
    expect(new Set(long.talk.spoken.map((line) => line.sound)).size).toBeLessThan(100);
    expect(voices.say("sitter", "The sluice still jams.", 3)).toBe(
      voices.say("sitter", "The sluice still jams.", 0),
    );
  });
});

/** Delay of b behind a in samples, by the peak of their correlation, to a fraction by a parabola. */
function delayBetween(a: Float32Array, b: Float32Array, reach: number): number {
  const at = (lag: number): number => {
    let sum = 0;
    for (let n = reach; n < a.length - reach; n++) sum += a[n]! * b[n + lag]!;
    return sum;
  };
  let best = -reach;
  let most = -Infinity;
  for (let lag = -reach; lag <= reach; lag++) {
    const c = at(lag);
    if (c > most) {
      most = c;
      best = lag;
    }
  }
  const [l, m, r] = [at(best - 1), most, at(best + 1)];
  return best + (0.5 * (l - r)) / (l - 2 * m + r);
}

describe("what is recorded agrees with the truth", () => {
  const firstBlocks = (blocks: Generator<Float32Array[]>, count: number): Float32Array[] => {
    const out: Float32Array[] = [];
    let at = 0;
    for (const block of blocks) {
      block.forEach((sound, channel) => {
        out[channel] ??= new Float32Array(count);
        out[channel].set(sound.subarray(0, Math.min(sound.length, count - at)), at);
      });
      at += block[0]!.length;
      if (at >= count) break;
    }
    return out;
  };

  it("the lav and the boom hear her voice when geometry says", () => {
    const truth = truthOfPlan(plan);
    const line = plan.talk.spoken.find((s) => s.who === "sitter")!;
    const from = line.firstSample - 2_000;
    const count = Math.min(line.sound.length, 24_000) + 4_000;
    const dry = drySound(plan.talk, "sitter", from, count);
    const [lav, boom] = firstBlocks(soundOfCameraA(plan), from + count).map((sound) => sound.subarray(from));
    const [toLav, toBoom] = [lav!, boom!].map((s) => delayBetween(dry, s, 200) / sampleRateHz);
    expect(Math.abs(toLav! - truth.files[0]!.channels[0]!.voiceTravel)).toBeLessThan(30e-6);
    expect(Math.abs(toBoom! - toLav! - truth.boomDelay)).toBeLessThan(60e-6);
  });

  it("B's scratch lies where its clock and the voice's way put it", () => {
    const truth = truthOfPlan(plan).files[1]!;
    const line = plan.talk.spoken.filter((s) => s.who === "sitter")[2]!;
    const local = (line.start - truth.offset) / (1 + truth.ratePpm * 1e-6);
    const from = Math.round(local * sampleRateHz);
    const count = 40_000;
    const scratch = firstBlocks(
      scratchSound(plan, plan.takes[0].clock, plan.takes[0].seconds),
      from + count,
    )[0]!.subarray(from);
    const dry = drySound(plan.talk, "sitter", line.firstSample, count);
    // the truth places the sound as the lav hears it: one lav's way after it was said
    const lavWay = truthOfPlan(plan).files[0]!.channels[0]!.voiceTravel;
    const expected = lavWay * sampleRateHz + (local * sampleRateHz - from);
    expect(Math.abs(delayBetween(dry, scratch, 400) - expected) / sampleRateHz).toBeLessThan(150e-6);
  });

  it("is the same sound twice over", () => {
    const once = firstBlocks(scratchSound(plan, plan.takes[1].clock, 1), 48_000);
    expect(firstBlocks(scratchSound(plan, plan.takes[1].clock, 1), 48_000)).toEqual(once);
  });
});
