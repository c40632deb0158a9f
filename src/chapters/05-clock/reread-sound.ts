import { sharedFloats } from "#science/signal/shared-arrays";
import type { SoundStretch } from "./compact-sound.ts";

const chunksKept = 6;

/** Fills `out` with chunk k, zeros after the end; chunk k begins at sample k times the length of `out`. */
export type ChunkFiller = (k: number, out: Float32Array) => Promise<void>;

/** Sound that is read from its recording again, in chunks of some seconds, the last few kept. */
export class RereadSound implements SoundStretch {
  readonly samples: number;
  readonly chunkSamples: number;
  readonly fill: ChunkFiller;
  readonly #kept = new Map<number, Float32Array>();

  constructor(samples: number, chunkSamples: number, fill: ChunkFiller) {
    this.samples = samples;
    this.chunkSamples = chunkSamples;
    this.fill = fill;
  }

  async read(firstSample: number, out: Float32Array): Promise<void> {
    const { chunkSamples } = this;
    out.fill(0);
    const end = Math.min(this.samples, firstSample + out.length);
    for (let at = Math.max(0, firstSample); at < end; ) {
      const k = Math.floor(at / chunkSamples);
      const sound = await this.#chunk(k);
      const inside = at - k * chunkSamples;
      const n = Math.min(chunkSamples - inside, end - at);
      out.set(sound.subarray(inside, inside + n), at - firstSample);
      at += n;
    }
  }

  /** On memory that another thread can fill, used again for the next chunk: much is read, and little stays. */
  async #chunk(k: number): Promise<Float32Array> {
    const kept = this.#kept.get(k);
    if (kept) return kept;
    let sound: Float32Array;
    if (this.#kept.size < chunksKept) sound = sharedFloats(this.chunkSamples);
    else {
      const [oldest, itsSound] = this.#kept.entries().next().value!;
      this.#kept.delete(oldest);
      sound = itsSound;
    }
    await this.fill(k, sound);
    this.#kept.set(k, sound);
    return sound;
  }
}
