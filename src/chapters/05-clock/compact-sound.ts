import { sharedDoubles, sharedShorts } from "#science/signal/shared-arrays";
import { listeningRateHz } from "./constants.ts";

/** Sound of one channel at the listening rate, read by sample numbers; silence outside. */
export interface SoundStretch {
  readonly samples: number;
  /** Fills `out` with samples firstSample, firstSample + 1, ... */
  read(firstSample: number, out: Float32Array): Promise<void>;
}

const secondsAPart = 60;

/** A minute of sound, each second with the size of its step. */
export interface Part {
  readonly values: Int16Array;
  readonly scales: Float64Array;
}

/** What is held of a sound, as plain data on memory that threads share. */
export interface HeldSound {
  readonly samples: number;
  readonly parts: readonly Part[];
}

/**
 * Sound held in two bytes a sample: each second has its own scale, so that the rounding lies 98 dB under that
 * second's peak and quiet speech keeps its high frequencies.
 */
export class CompactSound implements SoundStretch {
  samples = 0;
  readonly #parts: Part[] = [];
  #gathering = new Float32Array(listeningRateHz);
  #gathered = 0;
  #packed = 0;
  #isWhole = false;
  readonly #spare: Part[] = [];

  /** The same sound as {@link held} told of, on the same memory. */
  static of({ samples, parts }: HeldSound): CompactSound {
    const sound = new CompactSound();
    sound.samples = samples;
    sound.#parts.push(...parts);
    sound.#gathering = new Float32Array(0);
    return sound;
  }

  held(): HeldSound {
    return { samples: this.samples, parts: this.#parts };
  }

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
    this.#isWhole = true;
  }

  /** Takes out the minutes that are full, after {@link finish} the last one too: they are no more to be read here. */
  takeFull(): Part[] {
    const isLastFull = this.#isWhole || this.#packed % secondsAPart === 0;
    return this.#parts.splice(0, isLastFull ? this.#parts.length : Math.max(0, this.#parts.length - 1));
  }

  /** Gives back what was taken out, to be overwritten. */
  giveBack(part: Part): void {
    this.#spare.push(part);
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
      const { values, scales } = this.#parts[Math.floor(second / secondsAPart)]!;
      const scale = scales[second % secondsAPart]!;
      const start = (second % secondsAPart) * listeningRateHz + inside;
      const to = at - firstSample;
      for (let i = 0; i < n; i++) out[to + i] = values[start + i]! * scale;
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
    const second = this.#packed % secondsAPart;
    if (second === 0)
      this.#parts.push(
        this.#spare.pop() ?? {
          values: sharedShorts(secondsAPart * listeningRateHz),
          scales: sharedDoubles(secondsAPart),
        },
      );
    const { values, scales } = this.#parts.at(-1)!;
    const scale = peak > 0 ? peak / 32_767 : 1;
    scales[second] = scale;
    const inverse = 1 / scale;
    const start = second * listeningRateHz;
    // To the nearest, halves up: what is stored is cut off towards 0, so it is made positive first.
    for (let i = 0; i < count; i++) values[start + i] = ((gathering[i]! * inverse + 32_768.5) | 0) - 32_768;
    this.#packed++;
    this.#gathered = 0;
  }
}
