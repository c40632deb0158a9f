/** A stretch of one channel, seconds, [start, end). */
export interface Stretch {
  readonly start: number;
  readonly end: number;
}

/** Joins stretches closer than `gapSeconds` and widens each by `padSeconds`. */
export function joined(stretches: readonly Stretch[], gapSeconds: number, padSeconds = 0): Stretch[] {
  const out: { start: number; end: number }[] = [];
  for (const { start, end } of [...stretches].sort((a, b) => a.start - b.start)) {
    const last = out.at(-1);
    if (last && start - last.end <= gapSeconds + 2 * padSeconds)
      last.end = Math.max(last.end, end + padSeconds);
    else out.push({ start: Math.max(0, start - padSeconds), end: end + padSeconds });
  }
  return out;
}

/** Full scale less half a decibel's hundredth: the highest code of 16 and 24 bit, and what a lossy coder leaves of it. */
const fullScale = 0.997;
/** Under this a flat top is a quiet square wave, not an overload. */
const flatTopLeast = 0.25;
const clipRun = 3;
const flatRun = 5;
const zeroRunSeconds = 0.005;

/**
 * Watches one channel sample by sample for damage that no average shows: tops cut off, and holes.
 *
 * Clipping: three samples or more in a row at full scale, or five that stand still at the height of a wave
 * which came up steeply (an overload before the converter). Dropout: 5 ms or more of exact zeros inside sound.
 */
export class DamageWatch {
  readonly #rate: number;
  #at = 0;
  #fullRun = 0;
  #stillRun = 0;
  #zeroRun = 0;
  #steep = false;
  #a = 0;
  #b = 0;
  #c = 0;
  #heard = false;
  #zeros = 0;
  readonly clipped: Stretch[] = [];
  readonly #holes: Stretch[] = [];

  constructor(sampleRateHz: number) {
    this.#rate = sampleRateHz;
  }

  push(samples: Float32Array): void {
    for (let i = 0; i < samples.length; i++) this.#look(samples[i]!);
  }

  #look(x: number): void {
    const at = this.#at++;
    const size = Math.abs(x);
    const rate = this.#rate;
    this.#fullRun = size >= fullScale ? this.#fullRun + 1 : 0;
    if (this.#fullRun >= clipRun) this.#mark(this.clipped, at + 1 - this.#fullRun, at + 1);
    // A top that stands still: hardly any change, after a rise that was steep just before.
    const still = size >= flatTopLeast && Math.abs(x - this.#a) < 4e-4 * size;
    if (still) {
      if (this.#stillRun === 0)
        this.#steep = Math.abs(this.#a - this.#c) > 0.02 * size && Math.abs(this.#a) > Math.abs(this.#c);
      this.#stillRun++;
      if (this.#steep && this.#stillRun + 1 >= flatRun) this.#mark(this.clipped, at - this.#stillRun, at + 1);
    } else this.#stillRun = 0;
    this.#c = this.#b;
    this.#b = this.#a;
    this.#a = x;
    if (x === 0) {
      this.#zeroRun++;
      this.#zeros++;
      return;
    }
    // A hole is only known to be one when sound comes back.
    if (this.#heard && this.#zeroRun >= zeroRunSeconds * rate) {
      this.#holes.push({ start: (at - this.#zeroRun) / rate, end: at / rate });
    }
    this.#zeroRun = 0;
    this.#heard = true;
  }

  #mark(list: Stretch[], from: number, end: number): void {
    const last = list.at(-1);
    const stretch = { start: from / this.#rate, end: end / this.#rate };
    if (last && stretch.start <= last.end + 0.02)
      list[list.length - 1] = { start: last.start, end: stretch.end };
    else list.push(stretch);
  }

  /** Holes, unless so much of the channel is exact zero that silence is simply written that way. */
  get holes(): Stretch[] {
    return this.#zeros > 0.05 * this.#at ? [] : this.#holes;
  }
}
