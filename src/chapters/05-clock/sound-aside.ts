import type { Scratch } from "#documents/chapter";
import { type Part, type SoundStretch, unpack } from "./compact-sound.ts";
import { listeningRateHz } from "./constants.ts";

/** Where sound was put aside, minute by minute, as it is packed in memory. */
export interface Laid {
  /** Of the scratch. */
  readonly key: number;
  /** One a second. */
  readonly scales: ArrayLike<number>;
}

/** Fills `out` with what a scratch has from byte `at` on, zeros after its end. */
export type ScratchReader = (at: number, out: Uint8Array) => Promise<void> | void;

export interface SoundAside {
  lay(part: Part): Promise<void>;
  readonly laid: Laid;
  readonly read: ScratchReader;
}

export function soundAside(scratch: Scratch): SoundAside {
  const scales: number[] = [];
  return {
    laid: { key: scratch.key, scales },
    async lay({ values, scales: own }) {
      scales.push(...own);
      await scratch.append(bytesOf(values));
    },
    read: (at, out) => scratch.read(at, out),
  };
}

/** Sound that was put aside, read again as it is needed: no more than that, for most is looked at once. */
export class LaidSound implements SoundStretch {
  readonly samples: number;
  readonly laid: Laid;
  readonly #read: ScratchReader;
  /** As many as are read at once; each is used again. */
  readonly #spare: Int16Array[] = [];

  constructor(samples: number, laid: Laid, read: ScratchReader) {
    this.samples = samples;
    this.laid = laid;
    this.#read = read;
  }

  async read(firstSample: number, out: Float32Array): Promise<void> {
    const from = Math.max(0, firstSample);
    const end = Math.min(this.samples, firstSample + out.length);
    const spare = this.#spare.pop();
    const packed = spare && spare.length >= out.length ? spare : new Int16Array(out.length);
    const values = packed.subarray(0, Math.max(0, end - from));
    if (end > from) await this.#read(2 * from, bytesOf(values));
    out.fill(0);
    for (let at = from; at < end; ) {
      const second = Math.floor(at / listeningRateHz);
      const n = Math.min((second + 1) * listeningRateHz, end) - at;
      const to = at - firstSample;
      unpack(
        values.subarray(at - from, at - from + n),
        this.laid.scales[second] ?? 0,
        out.subarray(to, to + n),
      );
      at += n;
    }
    this.#spare.push(packed);
  }
}

const bytesOf = ({ buffer, byteOffset, byteLength }: Int16Array) =>
  new Uint8Array(buffer, byteOffset, byteLength);
