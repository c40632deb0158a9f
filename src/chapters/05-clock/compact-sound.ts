import { sharedDoubles, sharedShorts } from "#science/signal/shared-arrays";
import { kernels, placeForFloats, placeForShorts } from "#science/signal/simd/kernels";
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
      // Straight from the block where a whole second lies in it and nothing is left from the one before.
      if (this.#gathered === 0 && block.length - at >= listeningRateHz) {
        this.#pack(block.subarray(at, at + listeningRateHz));
        this.samples += listeningRateHz;
        at += listeningRateHz;
        continue;
      }
      const n = Math.min(block.length - at, listeningRateHz - this.#gathered);
      this.#gathering.set(block.subarray(at, at + n), this.#gathered);
      this.#gathered += n;
      this.samples += n;
      at += n;
      if (this.#gathered === listeningRateHz) this.#packGathered();
    }
  }

  /** Call once, after the last block. */
  finish(): void {
    if (this.#gathered > 0) this.#packGathered();
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
      const start = (second % secondsAPart) * listeningRateHz + inside;
      const to = at - firstSample;
      unpack(values.subarray(start, start + n), scales[second % secondsAPart]!, out.subarray(to, to + n));
      at += n;
    }
  }

  #packGathered(): void {
    this.#gathering.fill(0, this.#gathered);
    this.#pack(this.#gathering);
    this.#gathered = 0;
  }

  /** @param sound - A second of it, zeros after the end. */
  #pack(sound: Float32Array): void {
    const second = this.#packed++ % secondsAPart;
    if (second === 0)
      this.#parts.push(
        this.#spare.pop() ?? {
          values: sharedShorts(secondsAPart * listeningRateHz),
          scales: sharedDoubles(secondsAPart),
        },
      );
    const { values, scales } = this.#parts.at(-1)!;
    const { floats, shorts } = (desk ??= makeDesk());
    floats.values.set(sound);
    const peak = kernels().peak(floats.at, listeningRateHz);
    // As it is multiplied by when it is read.
    const scale = peak > 0 ? Math.fround(peak / 32_767) : 1;
    scales[second] = scale;
    kernels().toShorts(floats.at, 1 / scale, shorts.at, listeningRateHz);
    values.set(shorts.values, second * listeningRateHz);
  }
}

/**
 * Packed sound as it was: out[i] = values[i] scale.
 *
 * @param values - A second at most; `out` is as long.
 */
export function unpack(values: Int16Array, scale: number, out: Float32Array): void {
  const { floats, shorts } = (desk ??= makeDesk());
  shorts.values.set(values);
  kernels().fromShorts(shorts.at, scale, floats.at, Math.ceil(values.length / 8) * 8);
  out.set(floats.values.subarray(0, values.length));
}

/** A second of sound and of what it is packed to: whoever packs in this thread uses the same. */
const makeDesk = () => ({
  floats: placeForFloats(listeningRateHz),
  shorts: placeForShorts(listeningRateHz),
});
let desk: ReturnType<typeof makeDesk> | undefined;
