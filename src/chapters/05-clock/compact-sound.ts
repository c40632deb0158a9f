import { listeningRateHz } from "./constants.ts";

/** Sound of one channel at the listening rate, read by sample numbers; silence outside. */
export interface SoundStretch {
  readonly samples: number;
  /** Fills `out` with samples firstSample, firstSample + 1, ... */
  read(firstSample: number, out: Float32Array): Promise<void>;
}

/**
 * Sound held in two bytes a sample: each second has its own scale, so that the rounding lies 98 dB under that
 * second's peak and quiet speech keeps its high frequencies.
 */
export class CompactSound implements SoundStretch {
  samples = 0;
  readonly #seconds: { scale: number; values: Int16Array }[] = [];
  #gathering = new Float32Array(listeningRateHz);
  #gathered = 0;

  append(block: Float32Array): void {
    for (let at = 0; at < block.length; ) {
      const n = Math.min(block.length - at, listeningRateHz - this.#gathered);
      this.#gathering.set(block.subarray(at, at + n), this.#gathered);
      this.#gathered += n;
      this.samples += n;
      at += n;
      if (this.#gathered === listeningRateHz) this.#pack();
    }
  }

  /** Call once, after the last block. */
  finish(): void {
    if (this.#gathered > 0) this.#pack();
    this.#gathering = new Float32Array(0);
  }

  async read(firstSample: number, out: Float32Array): Promise<void> {
    this.readNow(firstSample, out);
  }

  readNow(firstSample: number, out: Float32Array): void {
    out.fill(0);
    const from = Math.max(0, firstSample);
    const end = Math.min(this.samples, firstSample + out.length);
    for (let at = from; at < end; ) {
      const second = Math.floor(at / listeningRateHz);
      const inside = at - second * listeningRateHz;
      const n = Math.min(listeningRateHz - inside, end - at);
      const { scale, values } = this.#seconds[second]!;
      const to = at - firstSample;
      for (let i = 0; i < n; i++) out[to + i] = values[inside + i]! * scale;
      at += n;
    }
  }

  #pack(): void {
    const count = this.#gathered;
    const gathering = this.#gathering;
    let peak = 0;
    for (let i = 0; i < count; i++) {
      const size = Math.abs(gathering[i]!);
      if (size > peak) peak = size;
    }
    const scale = peak > 0 ? peak / 32_767 : 1;
    const inverse = 1 / scale;
    const values = new Int16Array(count);
    // To the nearest, halves up: what is stored is cut off towards 0, so it is made positive first.
    for (let i = 0; i < count; i++) values[i] = ((gathering[i]! * inverse + 32_768.5) | 0) - 32_768;
    this.#seconds.push({ scale, values });
    this.#gathered = 0;
  }
}
