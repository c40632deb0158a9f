import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll } from "vitest";
import type { Recording } from "#documents/recording";
import type { MovieFormat } from "#outside/media/movie-format";
import { openMovieWriter } from "#outside/media/movie-writer";
import { probeRecording } from "#outside/media/probe";

/** A folder that lives as long as the test file. Call at the top; use the answer inside tests. */
export function scratchFolder(name: string): (file: string) => string {
  let folder = "";
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), `gemel-${name}-`));
  });
  afterAll(() => rm(folder, { recursive: true, force: true }));
  return (file) => join(folder, file);
}

export const bt709 = { primaries: 1, transfer: 1, matrix: 1, fullRange: false };

/** A small picture format that any test may start from. */
export const smallPicture = {
  codec: "h264",
  pixelFormat: "yuv420p",
  width: 64,
  height: 48,
  frameRate: { num: 25, den: 1 },
  colour: bt709,
  crf: 12,
} as const;

type Video = NonNullable<MovieFormat["video"]>;

/** Planes of one flat colour, by code values. */
export function flatPlanes(format: Video, y: number, u: number, v: number): (Uint8Array | Uint16Array)[] {
  const is8 = format.pixelFormat === "yuv420p";
  const chroma =
    (format.width / 2) * (format.pixelFormat === "yuv422p10le" ? format.height : format.height / 2);
  const plane = (length: number, value: number): Uint8Array | Uint16Array =>
    is8 ? new Uint8Array(length).fill(value) : new Uint16Array(length).fill(value);
  return [plane(format.width * format.height, y), plane(chroma, u), plane(chroma, v)];
}

/** A grey picture; `level` 0..1 from black to white of the range. */
export function greyPlanes(format: Video, level: number): (Uint8Array | Uint16Array)[] {
  const one = format.pixelFormat === "yuv420p" ? 1 : 4;
  const y = format.colour.fullRange ? (256 * one - 1) * level : one * (16 + 219 * level);
  return flatPlanes(format, Math.round(y), 128 * one, 128 * one);
}

/** Writes a whole movie: `level(n)` is the grey of frame n, `sound(t)` the value of every channel at t seconds. */
export async function writeMovie(
  path: string,
  format: MovieFormat,
  seconds: number,
  make: { readonly level?: (n: number) => number; readonly sound?: (t: number, channel: number) => number },
): Promise<void> {
  const writer = await openMovieWriter(path, format);
  const { video, sound } = format;
  if (video) {
    const frames = Math.round((seconds * video.frameRate.num) / video.frameRate.den);
    for (let n = 0; n < frames; n++) await writer.picture(greyPlanes(video, make.level?.(n) ?? 0.5));
  }
  if (sound) {
    const block = 5000;
    const total = Math.round(seconds * sound.sampleRateHz);
    for (let from = 0; from < total; from += block) {
      const count = Math.min(block, total - from);
      const channels = Array.from({ length: sound.channels }, (_, c) =>
        Float32Array.from({ length: count }, (_, i) => make.sound?.((from + i) / sound.sampleRateHz, c) ?? 0),
      );
      await writer.sound(channels);
    }
  }
  await writer.close();
}

/** A recording as the documents know it, probed from a file. */
export async function asRecording(path: string): Promise<Recording> {
  return {
    hash: `xxh128:${"0".repeat(32)}`,
    path,
    device: "A",
    kind: "camera",
    roles: [],
    probe: await probeRecording(path),
  };
}

/** A click without energy above `cutoffHz`, so that its place between samples is well defined: a Gaussian-windowed sinc. */
export function click(seconds: number, cutoffHz: number): number {
  const x = 2 * cutoffHz * seconds;
  const sinc = x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
  return sinc * Math.exp(-0.5 * ((seconds * cutoffHz) / 2) ** 2);
}

/**
 * Where a {@link click} lies in samples, to a small part of one: the shift at which the click correlates best.
 *
 * @returns Seconds from sample 0.
 */
export function findClick(samples: Float32Array, sampleRateHz: number, cutoffHz: number): number {
  let peak = 0;
  for (let i = 1; i < samples.length; i++) if (Math.abs(samples[i]!) > Math.abs(samples[peak]!)) peak = i;
  const reach = Math.ceil((6 / cutoffHz) * sampleRateHz);
  const matchAt = (at: number): number => {
    let sum = 0;
    for (let i = Math.max(0, peak - reach); i < Math.min(samples.length, peak + reach); i++) {
      sum += samples[i]! * click((i - at) / sampleRateHz, cutoffHz);
    }
    return sum;
  };
  const step = 1 / 64;
  let best = peak - 1;
  for (let at = peak - 1; at <= peak + 1; at += step) if (matchAt(at) > matchAt(best)) best = at;
  const [before, middle, after] = [matchAt(best - step), matchAt(best), matchAt(best + step)];
  const parabola = (0.5 * (before - after)) / (before - 2 * middle + after);
  return (best + step * parabola) / sampleRateHz;
}

/** All of a stream of items. */
export async function gather<Item>(items: AsyncIterable<Item>): Promise<Item[]> {
  const all: Item[] = [];
  for await (const item of items) all.push(item);
  return all;
}

/** Blocks of sound end to end, channel by channel. */
export function joined(blocks: readonly { readonly channels: readonly Float32Array[] }[]): Float32Array[] {
  const width = blocks[0]?.channels.length ?? 0;
  return Array.from({ length: width }, (_, c) => {
    const out = new Float32Array(blocks.reduce((sum, block) => sum + block.channels[c]!.length, 0));
    let at = 0;
    for (const block of blocks) {
      out.set(block.channels[c]!, at);
      at += block.channels[c]!.length;
    }
    return out;
  });
}
