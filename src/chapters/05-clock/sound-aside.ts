import type { Scratch } from "#documents/chapter";
import type { Part } from "./compact-sound.ts";
import { listeningRateHz } from "./constants.ts";
import type { ChunkFiller } from "./reread-sound.ts";

const bytesASecond = 2 * listeningRateHz;
/** Samples of a chunk that is read back: reading costs little, so that not much more is read than is looked at. */
export const asideChunkSamples: number = 3 * listeningRateHz;

/** Where sound was put aside, minute by minute, as it is packed in memory. */
export interface LaidSound {
  /** Of the scratch. */
  readonly key: number;
  /** One a second. */
  readonly scales: ArrayLike<number>;
}

export interface SoundAside {
  lay(part: Part): Promise<void>;
  readonly laid: LaidSound;
  /** Reads it back by chunks of `asideChunkSamples`. */
  readonly fill: ChunkFiller;
}

export function soundAside(scratch: Scratch): SoundAside {
  const scales: number[] = [];
  return {
    laid: { key: scratch.key, scales },
    async lay({ values, scales: own }) {
      scales.push(...own);
      await scratch.append(bytesOf(values));
    },
    fill: fillerOf(scales, (at, out) => scratch.read(at, out)),
  };
}

/** Gives chunks of `asideChunkSamples` of what `read` has the bytes of. */
export function fillerOf(
  scales: ArrayLike<number>,
  read: (at: number, out: Uint8Array) => Promise<void> | void,
): ChunkFiller {
  // As many as are read at once; each is used again.
  const spare: Int16Array[] = [];
  return async (k, out) => {
    const values = spare.pop() ?? new Int16Array(asideChunkSamples);
    const second = (k * asideChunkSamples) / listeningRateHz;
    await read(second * bytesASecond, bytesOf(values));
    unpack(values, scales, second, out);
    spare.push(values);
  };
}

const bytesOf = ({ buffer, byteOffset, byteLength }: Int16Array) =>
  new Uint8Array(buffer, byteOffset, byteLength);

/** A function of its own, for in one that waits the compiler does less. */
function unpack(values: Int16Array, scales: ArrayLike<number>, second: number, out: Float32Array): void {
  for (let from = 0; from < values.length; from += listeningRateHz) {
    const scale = scales[second + from / listeningRateHz] ?? 0;
    for (let i = from; i < from + listeningRateHz; i++) out[i] = values[i]! * scale;
  }
}
