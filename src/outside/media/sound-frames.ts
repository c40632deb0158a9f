import * as av from "node-av/constants";
import type { Frame } from "node-av/lib";

/**
 * Copies channels of a decoded frame out of the library's memory as Float32, full scale ±1.
 *
 * @param wanted - Channel indices from 0; one that the frame lacks comes as silence.
 */
export function samplesOf(frame: Frame, wanted: readonly number[]): Float32Array[] {
  const count = frame.nbSamples;
  const spread = frame.channels;
  const planes = frame.extendedData!;
  const read = readers[frame.format];
  if (!read) throw new Error(`sound samples of kind ${frame.format} are not known`);
  return wanted.map((channel) => {
    const target = new Float32Array(count);
    if (channel >= spread) return target;
    if (read.isPlanar) read.copy(planes[channel]!, target, 0, 1);
    else read.copy(planes[0]!, target, channel, spread);
    return target;
  });
}

interface Reader {
  readonly isPlanar: boolean;
  copy(plane: Uint8Array, target: Float32Array, from: number, step: number): void;
}

function scaled(
  view: (plane: Uint8Array, length: number) => ArrayLike<number>,
  scale: number,
  middle: number,
  isPlanar: boolean,
): Reader {
  return {
    isPlanar,
    copy(plane, target, from, step) {
      const values = view(plane, target.length * step);
      for (let i = 0, k = from; i < target.length; i++, k += step) target[i] = (values[k]! - middle) * scale;
    },
  };
}

const bytes = (p: Uint8Array): ArrayLike<number> => p;
const words = (p: Uint8Array, n: number): ArrayLike<number> => new Int16Array(p.buffer, p.byteOffset, n);
const longs = (p: Uint8Array, n: number): ArrayLike<number> => new Int32Array(p.buffer, p.byteOffset, n);
const floats = (p: Uint8Array, n: number): ArrayLike<number> => new Float32Array(p.buffer, p.byteOffset, n);
const doubles = (p: Uint8Array, n: number): ArrayLike<number> => new Float64Array(p.buffer, p.byteOffset, n);

const readers: Readonly<Record<number, Reader>> = {
  [av.AV_SAMPLE_FMT_U8]: scaled(bytes, 2 ** -7, 128, false),
  [av.AV_SAMPLE_FMT_U8P]: scaled(bytes, 2 ** -7, 128, true),
  [av.AV_SAMPLE_FMT_S16]: scaled(words, 2 ** -15, 0, false),
  [av.AV_SAMPLE_FMT_S16P]: scaled(words, 2 ** -15, 0, true),
  [av.AV_SAMPLE_FMT_S32]: scaled(longs, 2 ** -31, 0, false),
  [av.AV_SAMPLE_FMT_S32P]: scaled(longs, 2 ** -31, 0, true),
  [av.AV_SAMPLE_FMT_FLT]: scaled(floats, 1, 0, false),
  [av.AV_SAMPLE_FMT_FLTP]: scaled(floats, 1, 0, true),
  [av.AV_SAMPLE_FMT_DBL]: scaled(doubles, 1, 0, false),
  [av.AV_SAMPLE_FMT_DBLP]: scaled(doubles, 1, 0, true),
};
