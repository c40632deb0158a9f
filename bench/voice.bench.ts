import type { MeasureContext } from "#documents/chapter";
import { voiceResultSchema } from "#documents/chapter-results";
import type { MediaReader, SoundBlock } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import { defaultDecisions } from "#documents/sitting";
import { speechActivity } from "#outside/speech/speech-activity";
import { readEvenly, resample } from "#science/filters/resample";
import { lcgNoise } from "#science/signal/lcg-noise";
import { TruePeakLimiter } from "#science/sound-level/limiter";
import { voice } from "#voice/voice";
import type { BenchRow } from "./row.ts";

const rate = 48_000;
const seconds = 60;

const elapsed = async (work: () => unknown): Promise<number> => {
  const from = performance.now();
  await work();
  return (performance.now() - from) / 1000;
};

/** Noise that swells and fades like talk: what it says does not matter to a clock. */
function talk(): Float32Array {
  return lcgNoise(seconds * rate).map(
    (x, n) => 0.3 * x * Math.max(0, Math.sin((2 * Math.PI * 1.7 * n) / rate)) ** 2,
  );
}

async function* blocksOf(
  channels: readonly Float32Array[],
  from = 0,
  end = Number.POSITIVE_INFINITY,
): AsyncGenerator<SoundBlock> {
  const stop = Math.min(channels[0]!.length, end);
  for (let at = from; at < stop; at += 65_536) {
    yield { firstSample: at, channels: channels.map((c) => c.slice(at, Math.min(stop, at + 65_536))) };
  }
}

/** Speech activity, the dialogue track and its limiter, each against real time. */
export default async function* bench(): AsyncIterable<BenchRow> {
  const lav = talk();
  const boom = readEvenly(lav, -73.4, 1).map((x) => 0.3 * x);
  const row = (what: string, ours: number): BenchRow => ({
    chapter: "voice",
    what,
    unit: "s",
    ours,
    reference: "real time",
    theirs: seconds,
  });
  const low = resample(lav, rate, 16_000);
  await speechActivity(blocksOf([low.subarray(0, 16_000)]));
  yield row("speech activity of 1 min, one channel", await elapsed(() => speechActivity(blocksOf([low]))));
  yield row("true-peak limiter over 1 min", await elapsed(() => new TruePeakLimiter(-9).push(lav)));
  yield row("resampling 1 min by 20 ppm", await elapsed(() => readEvenly(lav, 0.25, 1 + 20e-6)));
  yield row(
    "two microphones of 1 min to a dialogue track, sound at hand",
    await elapsed(() => wholeChapter(lav, boom)),
  );
}

async function wholeChapter(lav: Float32Array, boom: Float32Array): Promise<void> {
  const made = new Map<string, Float32Array>();
  const recording: Recording = {
    hash: "xxh128:00",
    path: "A001.mov",
    device: "A",
    kind: "camera",
    roles: [],
    probe: {
      container: "mov",
      bytes: 1,
      durationSeconds: seconds,
      picture: null,
      sound: {
        streamIndex: 0,
        codec: "pcm_s24le",
        sampleRateHz: rate,
        channels: 2,
        startSeconds: 0,
        durationSeconds: seconds,
      },
      timecode: null,
      timeReferenceSamples: null,
      createdAt: null,
    },
  };
  const media: Pick<MediaReader, "sound"> = {
    sound: (_, wish) => {
      const both = [lav, boom];
      const chosen = Array.isArray(wish.channels) ? wish.channels.map((c: number) => both[c - 1]!) : both;
      return blocksOf(
        chosen,
        Math.round((wish.startSeconds ?? 0) * rate),
        Math.round((wish.endSeconds ?? seconds) * rate),
      );
    },
  };
  const context: Partial<MeasureContext> = {
    media: media as MediaReader,
    signal: new AbortController().signal,
    progress() {},
    async writeSound(name, _format, blocks) {
      const whole = new Float32Array(seconds * rate);
      for await (const block of blocks) whole.set(block.channels[0]!, block.firstSample);
      made.set(name, whole);
      return name;
    },
    madeSound: (path) => blocksOf([made.get(path)!]),
    // The library's meter is not ours to time; any steady figure will do.
    loudness: async () => ({ integrated: -18, truePeak: -1, range: 3 }),
  };
  const inputs = {
    recordings: [{ recording, placement: { offset: 0, ratePpm: 0 } }],
    unplaced: [],
    ...defaultDecisions,
  };
  voiceResultSchema.parse(await voice.measure(inputs, context as MeasureContext));
}
