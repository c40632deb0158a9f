import type { SoundBlock, SoundWish } from "#documents/media-reader";
import { ExplainedError } from "#errors/explained-error";
import { explainMissing } from "./media-errors.ts";
import { Resampler } from "./resampler.ts";
import { SampleQueue } from "./sample-queue.ts";
import { type DecodeCounts, nativeSound } from "./sound-source.ts";
import type { Timeline } from "./timeline.ts";

/** Input that the resampling filter leans on before its first good output, as samples of the slower rate. */
const settleSamples = 256;
const defaultBlockSamples = 65_536;

/** As {@link SoundWish}; a rate left out is the file's own. */
export type FileSoundWish = Partial<SoundWish>;

/**
 * Sound of a file in blocks, at a wished rate: sample n is at local time n / rate. Ends with the range or with
 * the sound, whichever is first; what lies before the sound's own start, and holes in it, come as silence.
 *
 * @param fileChannels - How many channels the file has.
 * @throws ExplainedError as {@link nativeSound}, and `USAGE` for a channel that the file does not have.
 */
export async function* readSound(
  path: string,
  timeline: Timeline,
  fileChannels: number,
  wish: FileSoundWish,
  counts?: DecodeCounts,
): AsyncGenerator<SoundBlock> {
  if (!timeline.sound) throw explainMissing(path, "sound");
  const nativeRate = timeline.sound.sampleRateHz;
  const rate = wish.sampleRateHz ?? nativeRate;
  const wanted = wantedChannels(path, wish.channels ?? "all", fileChannels);
  const isMix = wish.channels === "mix" && wanted.length > 1;
  const width = isMix ? 1 : wanted.length;
  const first = Math.max(0, Math.round((wish.startSeconds ?? 0) * rate));
  const end = wish.endSeconds === undefined ? Infinity : Math.round(wish.endSeconds * rate);
  if (end <= first) return;
  const blockSamples = wish.blockSamples ?? defaultBlockSamples;
  const queue = new SampleQueue(width);
  let next = first;
  const blocks = function* (isLast: boolean): Generator<SoundBlock> {
    while (queue.length >= blockSamples || (isLast && queue.length > 0)) {
      const channels = queue.take(Math.min(blockSamples, queue.length));
      yield { firstSample: next, channels };
      next += channels[0]!.length;
    }
  };
  const mixed = (channels: readonly Float32Array[]): readonly Float32Array[] =>
    isMix ? [meanOf(channels)] : channels;

  if (rate === nativeRate) {
    for await (const block of nativeSound(path, timeline, { from: first, until: end }, wanted, counts)) {
      queue.push(mixed(block.channels));
      yield* blocks(false);
    }
    yield* blocks(true);
    return;
  }

  // Both rates share an instant every `period` input and `outPeriod` output samples: starting on one keeps every
  // output sample where it would be had the file been read from its start.
  const shared = greatestCommonDivisor(nativeRate, rate);
  const period = nativeRate / shared;
  const outPeriod = rate / shared;
  const settle = Math.ceil((settleSamples * Math.max(1, nativeRate / rate)) / period);
  const startPeriod = Math.max(0, Math.floor(first / outPeriod) - settle);
  const from = startPeriod * period;
  const until = Number.isFinite(end) ? Math.ceil((end * nativeRate) / rate) + settle * period : Infinity;
  let outAt = startPeriod * outPeriod;
  let nativeEnd = from;
  const resampler = new Resampler(nativeRate, rate, width);
  const keep = (channels: readonly Float32Array[], limit: number): void => {
    const count = channels[0]!.length;
    const head = Math.max(0, first - outAt);
    const tail = Math.min(count, limit - outAt);
    if (tail > head) queue.push(channels.map((channel) => channel.subarray(head, tail)));
    outAt += count;
  };
  try {
    for await (const block of nativeSound(path, timeline, { from, until }, wanted, counts)) {
      keep(resampler.push(mixed(block.channels)), end);
      nativeEnd = block.firstSample + block.channels[0]!.length;
      yield* blocks(false);
      if (outAt >= end) break;
    }
    if (outAt < end) keep(resampler.flush(), Math.min(end, Math.ceil((nativeEnd * rate) / nativeRate)));
    yield* blocks(true);
  } finally {
    resampler.free();
  }
}

function wantedChannels(
  path: string,
  wish: NonNullable<SoundWish["channels"]>,
  fileChannels: number,
): readonly number[] {
  if (wish === "all" || wish === "mix") return Array.from({ length: fileChannels }, (_, c) => c);
  for (const number of wish) {
    if (!Number.isInteger(number) || number < 1 || number > fileChannels) {
      throw new ExplainedError(
        "USAGE",
        {
          happened: `${path} has no sound channel ${number}.`,
          means: `It has ${fileChannels}, counted from 1.`,
          doNext: `Name a channel from 1 to ${fileChannels}.`,
        },
        { path, channel: number, channels: fileChannels },
      );
    }
  }
  if (wish.length === 0) throw new TypeError("no channels asked for");
  return wish.map((number) => number - 1);
}

function meanOf(channels: readonly Float32Array[]): Float32Array {
  const mean = channels[0]!.slice();
  const share = 1 / channels.length;
  for (const channel of channels.slice(1)) for (let i = 0; i < mean.length; i++) mean[i]! += channel[i]!;
  for (let i = 0; i < mean.length; i++) mean[i]! *= share;
  return mean;
}

function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestCommonDivisor(b, a % b);
}
