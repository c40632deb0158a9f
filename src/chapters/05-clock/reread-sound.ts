import type { SoundStretch } from "./compact-sound.ts";
import { listeningRateHz } from "./constants.ts";

/** Samples of a chunk; chunk k begins at sample k times this. */
export const chunkSamples: number = 8 * listeningRateHz;
const chunksKept = 6;

/** Sound that is read from its file again, in chunks of some seconds, the last few kept. */
export class RereadSound implements SoundStretch {
  readonly samples: number;
  readonly #chunk: (k: number) => Promise<Float32Array>;
  readonly #kept = new Map<number, Float32Array>();

  /** @param chunk - Gives `chunkSamples` samples of chunk k; zeros after the end. */
  constructor(samples: number, chunk: (k: number) => Promise<Float32Array>) {
    this.samples = samples;
    this.#chunk = chunk;
  }

  async read(firstSample: number, out: Float32Array): Promise<void> {
    out.fill(0);
    const end = Math.min(this.samples, firstSample + out.length);
    for (let at = Math.max(0, firstSample); at < end; ) {
      const k = Math.floor(at / chunkSamples);
      const sound = await this.chunk(k);
      const inside = at - k * chunkSamples;
      const n = Math.min(chunkSamples - inside, end - at);
      out.set(sound.subarray(inside, inside + n), at - firstSample);
      at += n;
    }
  }

  async chunk(k: number): Promise<Float32Array> {
    const kept = this.#kept.get(k);
    if (kept) return kept;
    const sound = await this.#chunk(k);
    if (this.#kept.size >= chunksKept) this.#kept.delete(this.#kept.keys().next().value!);
    this.#kept.set(k, sound);
    return sound;
  }
}
