import type { DeviceClock } from "../device-clock.ts";
import { mouthPoint } from "../picture/miller-shape.ts";
import { gaussianFrom, hash32, randomFrom } from "../random.ts";
import type { SittingPlan } from "../sitting-plan.ts";
import { drySound } from "./conversation.ts";
import { interviewerMouth, loftBox, microphones, slatePoint } from "./microphones.ts";
import { roomResponse } from "./room-response.ts";
import { blockSamples, twoByTwoConvolver } from "./two-by-two-convolver.ts";
import { sampleRateHz } from "./voices.ts";
import { sincTable, valueAt } from "./windowed-sinc.ts";

const responseSeconds = 0.55;

/** The slate's clap, dry: two boards meet, and ring shortly. */
function clapSound(seed: number): Float32Array {
  const random = randomFrom(seed ^ 0xc1a9);
  const out = new Float32Array(Math.round(0.05 * sampleRateHz));
  for (let n = 0; n < out.length; n++) {
    const t = n / sampleRateHz;
    const crack = (random() * 2 - 1) * Math.exp(-t / 0.0016);
    const wood =
      Math.sin(2 * Math.PI * 1180 * t) * Math.exp(-t / 0.006) +
      0.6 * Math.sin(2 * Math.PI * 2610 * t) * Math.exp(-t / 0.004);
    out[n] = 1.1 * (crack + 0.45 * wood) * Math.min(1, n / 6);
  }
  return out;
}

/** Sound of the room as its microphones get it, on the sitting's clock, block after block from `firstSample`. */
function* inTheRoom(
  plan: SittingPlan,
  names: readonly (keyof typeof microphones)[],
  firstSample: number,
): Generator<Float32Array[]> {
  const responses = names.map(
    (name) =>
      [
        roomResponse(loftBox, mouthPoint, microphones[name], sampleRateHz, responseSeconds),
        roomResponse(loftBox, interviewerMouth, microphones[name], sampleRateHz, responseSeconds),
      ] as const,
  );
  const clap = clapSound(plan.wish.seed);
  const clapAt = Math.round(plan.talk.clapAt * sampleRateHz);
  const clapHeard = names.map((name) => {
    const response = roomResponse(loftBox, slatePoint, microphones[name], sampleRateHz, responseSeconds);
    const out = new Float32Array(response.length + clap.length);
    for (let k = 0; k < clap.length; k++)
      for (let n = 0; n < response.length; n++) out[n + k]! += clap[k]! * response[n]!;
    return out;
  });
  const convolve = twoByTwoConvolver(responses);
  // start one response early, so that what was said just before is still in the air
  const early = blockSamples;
  for (let at = firstSample - early; ; at += blockSamples) {
    const heard = convolve(
      drySound(plan.talk, "sitter", at, blockSamples),
      drySound(plan.talk, "interviewer", at, blockSamples),
    ).slice(0, names.length);
    heard.forEach((sound, m) => {
      const own = clapHeard[m]!;
      const from = Math.max(0, at - clapAt);
      const until = Math.min(own.length, at + blockSamples - clapAt);
      for (let n = from; n < until; n++) sound[n + clapAt - at]! += own[n]!;
    });
    if (at >= firstSample) yield heard;
  }
}

/** Gain after each microphone, so that her voice peaks near -12 dBFS on the lav. */
const gains = { lav: 0.078, boom: 0.36, scratch: 0.62 } as const;

/** The mill's own sound, which never stops: water under the boards, air, and each microphone's hiss. */
function roomTone(seed: number, rumble: number, hiss: number, hum: number): (n: number) => number {
  const gaussian = gaussianFrom(randomFrom(seed));
  let deep = 0;
  let mid = 0;
  let slow = 0;
  return (n) => {
    const white = gaussian();
    deep += 0.006 * (white - deep);
    mid += 0.09 * (white - mid);
    slow += 0.00002 * (white - slow);
    const swell = 1 + 40 * slow;
    const t = n / sampleRateHz;
    const mains =
      hum === 0
        ? 0
        : hum *
          (Math.sin(2 * Math.PI * 50 * t) +
            0.55 * Math.sin(2 * Math.PI * 100 * t + 1) +
            0.4 * Math.sin(2 * Math.PI * 150 * t + 2));
    return rumble * (7 * deep + 1.1 * (mid - deep)) * swell + hiss * white + mains;
  };
}

/** Cloth over the lav: grains of band noise that come thick and fast, some into the stops. */
function rustleAt(seed: number, length: number): Float32Array {
  const random = randomFrom(seed ^ 0xc107);
  const gaussian = gaussianFrom(random);
  const out = new Float32Array(length);
  let low = 0;
  let band = 0;
  let level = 0;
  let aim = 0;
  for (let n = 0; n < length; n++) {
    if (n % 480 === 0) aim = random() < 0.55 ? random() ** 2 * 1.5 : 0.05;
    level += (aim - level) * (aim > level ? 0.01 : 0.0015);
    const white = gaussian();
    low += 0.035 * (white - low);
    band += 0.32 * (low - band);
    const ends = Math.min(1, n / 4000, (length - n) / 6000);
    out[n] = ends * level * (2.6 * band + 0.12 * white);
  }
  return out;
}

/** One file's sound as it is written: consecutive blocks, one array per channel. */
export type SoundBlocks = Generator<Float32Array[]>;

/** Camera A's two channels, lav and boom. A's clock is the sitting's. */
export function* soundOfCameraA(plan: SittingPlan): SoundBlocks {
  const total = Math.round(plan.wish.seconds * sampleRateHz);
  const toneLav = roomTone(hash32(plan.wish.seed, 11), 0.0009, 0.00022, 0);
  const toneBoom = roomTone(hash32(plan.wish.seed, 12), 0.0016, 0.0003, 0);
  const rustleFrom = Math.round(plan.rustle.start * sampleRateHz);
  const rustle = rustleAt(plan.wish.seed, Math.round((plan.rustle.end - plan.rustle.start) * sampleRateHz));
  let at = 0;
  for (const [lav, boom] of inTheRoom(plan, ["lav", "boom"], 0) as Generator<[Float32Array, Float32Array]>) {
    const count = Math.min(blockSamples, total - at);
    if (count <= 0) return;
    const a = new Float32Array(count);
    const b = new Float32Array(count);
    for (let n = 0; n < count; n++) {
      a[n] = stopped(gains.lav * lav[n]! + toneLav(at + n) + (rustle[at + n - rustleFrom] ?? 0));
      b[n] = stopped(gains.boom * boom[n]! + toneBoom(at + n));
    }
    yield [a, b];
    at += count;
  }
}

/** Full scale is where a recorder stops. */
function stopped(v: number): number {
  return v > 0.985 ? 0.985 : Math.max(v, -0.985);
}

/** The gain that camera B's own circuit sets: quick to duck, slow to come back, within 10 dB. */
function levelKeeper(): (v: number) => number {
  let loud = 0.02;
  let gain = 1;
  return (v) => {
    const size = Math.abs(v);
    loud += (size - loud) * (size > loud ? 0.0008 : 0.000012);
    const wanted = Math.min(1.9, Math.max(0.6, 0.045 / (loud + 1e-4)));
    gain += (wanted - gain) * (wanted < gain ? 0.0006 : 0.000015);
    return v * gain;
  };
}

/**
 * One take's scratch sound on camera B's own clock: the room is read between its samples, band-limited, at the
 * moments at which B's converter looked.
 */
export function* scratchSound(plan: SittingPlan, clock: DeviceClock, seconds: number): SoundBlocks {
  const total = Math.round(seconds * sampleRateHz);
  const table = sincTable(0.985, 32, 1024, 9);
  const step = 1 + clock.ratePpm * 1e-6;
  const start = clock.offset * sampleRateHz;
  const tone = roomTone(hash32(plan.wish.seed, 13, Math.round(clock.offset * 1000)), 0.003, 0.0011, 0.0011);
  const keep = levelKeeper();
  let first = Math.floor(start) - table.reach;
  const source = inTheRoom(plan, ["scratch"], first);
  let held = new Float32Array(0);
  let out = new Float32Array(blockSamples);
  let filled = 0;
  for (let n = 0; n < total; n++) {
    const position = start + n * step;
    while (position + table.reach + 1 >= first + held.length) {
      const [next] = source.next().value as Float32Array[];
      const keepFrom = Math.max(0, Math.min(held.length, Math.floor(position) - table.reach - first));
      const joined = new Float32Array(held.length - keepFrom + next!.length);
      joined.set(held.subarray(keepFrom));
      joined.set(next!, held.length - keepFrom);
      first += keepFrom;
      held = joined;
    }
    out[filled++] = stopped(keep(gains.scratch * valueAt(table, held, first, position) + tone(n)));
    if (filled === out.length) {
      yield [out];
      out = new Float32Array(blockSamples);
      filled = 0;
    }
  }
  if (filled > 0) yield [out.slice(0, filled)];
}
