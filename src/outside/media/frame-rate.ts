import * as av from "node-av/constants";
import type { FormatContext, Stream } from "node-av/lib";
import type { FrameRate } from "#documents/recording";
import { type DurationRun, pictureDurations } from "./movie-boxes.ts";
import { newPacket, tickSeconds } from "./opened-media.ts";

/** Frames of another length than the rest that may be single faults and not a variable rate. */
const strayShare = 0.005;
/** Where there is no index, so many frames at so many places are looked at. */
const sampledFrames = 120;
const sampledPlaces = [0, 0.3, 0.6, 0.9] as const;

/** The average frame rate, exact where it is constant, and whether it is. */
export async function frameRateOf(
  path: string,
  container: FormatContext,
  stream: Stream,
): Promise<{ frameRate: FrameRate; isVariable: boolean }> {
  const average = positive(stream.avgFrameRate) ?? positive(stream.rFrameRate) ?? { num: 25, den: 1 };
  const runs = /^mov/.test(container.iformat?.name ?? "")
    ? await pictureDurations(path).catch(() => null)
    : null;
  if (runs && runs.length > 0) {
    const isVariable = isUneven(runs, 1);
    const main = longest(runs);
    if (isVariable || main.delta === 0) return { frameRate: average, isVariable };
    const constant = reduced(stream.timeBase.den, stream.timeBase.num * main.delta);
    // A track may be stamped by a clock too coarse for its rate; then the average knows better.
    return { frameRate: nearTo(constant, average, 1e-4) ? constant : average, isVariable };
  }
  const sampled = await sampleDurations(container, stream);
  const isVariable = isUneven(sampled, 1.5);
  return { frameRate: (isVariable && meanRate(sampled, tickSeconds(stream))) || average, isVariable };
}

/** Whether more than a stray frame lasts other than the most common length, by more than rounding. */
function isUneven(runs: readonly DurationRun[], roundingTicks: number): boolean {
  const main = longest(runs);
  // The last frame's length is often written as it comes.
  const counted = runs.filter((run, i) => !(i === runs.length - 1 && run.count === 1));
  const total = counted.reduce((sum, run) => sum + run.count, 0);
  const allowed = Math.max(roundingTicks, 0.02 * main.delta);
  const odd = counted
    .filter((run) => Math.abs(run.delta - main.delta) > allowed)
    .reduce((sum, run) => sum + run.count, 0);
  return total > 0 && odd > strayShare * total;
}

/** Frames by the time they take, to a thousandth of a frame a second; null where there are none. */
function meanRate(runs: readonly DurationRun[], tick: number): FrameRate | null {
  const frames = runs.reduce((sum, run) => sum + run.count, 0);
  const ticks = runs.reduce((sum, run) => sum + run.count * run.delta, 0);
  return ticks > 0 ? reduced(Math.max(1, Math.round((1000 * frames) / (ticks * tick))), 1000) : null;
}

function longest(runs: readonly DurationRun[]): DurationRun {
  const byDelta = new Map<number, number>();
  for (const run of runs) byDelta.set(run.delta, (byDelta.get(run.delta) ?? 0) + run.count);
  let best: DurationRun = { count: 0, delta: 0 };
  for (const [delta, count] of byDelta) if (count > best.count) best = { count, delta };
  return best;
}

/** Differences of time stamps at a few places of the file, in ticks. Moves the demuxer. */
async function sampleDurations(container: FormatContext, stream: Stream): Promise<DurationRun[]> {
  const packet = newPacket();
  const runs: DurationRun[] = [];
  const durationTicks = Number(container.duration) / 1e6 / tickSeconds(stream);
  const startTicks = stream.startTime === av.AV_NOPTS_VALUE ? 0 : Number(stream.startTime);
  try {
    for (const place of sampledPlaces) {
      if (place > 0) {
        if (!(durationTicks > 0)) break;
        const target = BigInt(Math.round(startTicks + place * durationTicks));
        if ((await container.seekFrame(stream.index, target, av.AVSEEK_FLAG_BACKWARD)) < 0) break;
      }
      const stamps: number[] = [];
      for (let n = 0; n < 20 * sampledFrames && stamps.length < sampledFrames; n++) {
        if ((await container.readFrame(packet)) < 0) break;
        if (packet.streamIndex === stream.index && packet.pts !== av.AV_NOPTS_VALUE)
          stamps.push(Number(packet.pts));
        packet.unref();
      }
      stamps.sort((a, b) => a - b);
      // Pictures are stored out of order: near the edges of what was read, some are missing.
      const edge = stamps.length > 40 ? 8 : 0;
      for (let i = 1 + edge; i < stamps.length - edge; i++)
        runs.push({ count: 1, delta: stamps[i]! - stamps[i - 1]! });
    }
  } finally {
    packet.free();
  }
  return runs;
}

function positive(rate: { readonly num: number; readonly den: number }): FrameRate | null {
  return rate.num > 0 && rate.den > 0 ? { num: rate.num, den: rate.den } : null;
}

function nearTo(a: FrameRate, b: FrameRate, share: number): boolean {
  return Math.abs((a.num * b.den) / (a.den * b.num) - 1) <= share;
}

function reduced(num: number, den: number): FrameRate {
  const divisor = (a: number, b: number): number => (b === 0 ? a : divisor(b, a % b));
  const shared = divisor(num, den);
  return { num: num / shared, den: den / shared };
}
