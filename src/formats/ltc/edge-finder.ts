/** Swings smaller than this are silence, full scale 1. */
const leastSwing = 4e-4;
/** A crossing counts once the signal has gone this share of the way from the middle to its top. */
const hysteresis = 0.3;
/** Top and bottom are those of this time and of as long before: more than a cell of the slowest timecode. */
const lookSeconds = 0.003;

/**
 * Finds where a two-level signal changes sides, between the samples: half-way between its own running top and
 * bottom, so that neither its level nor a constant under it matters.
 */
export class EdgeFinder {
  readonly #lookSamples: number;
  readonly #found: (position: number) => void;
  #position = 0;
  /** Samples left of the present look. */
  #left: number;
  /** Extremes of the present look, and of it and the one before. */
  #lookTop = Number.NEGATIVE_INFINITY;
  #lookBottom = Number.POSITIVE_INFINITY;
  #top = Number.NEGATIVE_INFINITY;
  #bottom = Number.POSITIVE_INFINITY;
  #last = 0;
  #isHigh = false;
  #firstCrossing = -1;
  #lastCrossing = -1;

  /** @param found - Told each edge's place in samples from the first one appended. */
  constructor(sampleRateHz: number, found: (position: number) => void) {
    this.#lookSamples = Math.round(lookSeconds * sampleRateHz);
    this.#left = this.#lookSamples;
    this.#found = found;
  }

  /** Takes in a block of samples, any level. */
  append(block: Float32Array): void {
    const start = this.#position;
    for (let from = 0; from < block.length; ) {
      const end = Math.min(block.length, from + this.#left);
      this.#look(block, from, end, start);
      this.#left -= end - from;
      if (this.#left === 0) {
        this.#left = this.#lookSamples;
        [this.#top, this.#bottom] = [this.#lookTop, this.#lookBottom];
        this.#lookTop = Number.NEGATIVE_INFINITY;
        this.#lookBottom = Number.POSITIVE_INFINITY;
      }
      from = end;
    }
    this.#position += block.length;
  }

  #look(block: Float32Array, from: number, end: number, start: number): void {
    // Extremes first: they hold for the whole look, so that the middle stands still within it.
    let [lookTop, lookBottom] = [this.#lookTop, this.#lookBottom];
    for (let i = from; i < end; i++) {
      const v = block[i]!;
      if (v > lookTop) lookTop = v;
      if (v < lookBottom) lookBottom = v;
    }
    [this.#lookTop, this.#lookBottom] = [lookTop, lookBottom];
    const top = Math.max(this.#top, lookTop);
    const bottom = Math.min(this.#bottom, lookBottom);
    const middle = 0.5 * (top + bottom);
    const isLoud = top - bottom > leastSwing;
    const clear = hysteresis * (top - middle);
    let [last, isHigh, firstCrossing, lastCrossing] = [
      this.#last,
      this.#isHigh,
      this.#firstCrossing,
      this.#lastCrossing,
    ];
    for (let i = from; i < end; i++) {
      const v = block[i]!;
      const away = isHigh ? middle - v : v - middle;
      if (away <= 0) {
        // Still on the side that it was on; far enough from the middle, crossings before were noise.
        if (away < -clear) firstCrossing = -1;
      } else {
        if (isHigh ? last >= middle : last <= middle) {
          lastCrossing = start + i - 1 + (v === last ? 1 : (middle - last) / (v - last));
          if (firstCrossing < 0) firstCrossing = lastCrossing;
        }
        if (away > clear && isLoud) {
          isHigh = !isHigh;
          // Noise on a slow edge crosses more than once: the middle of the first and the last.
          if (firstCrossing >= 0) this.#found(0.5 * (firstCrossing + lastCrossing));
          firstCrossing = -1;
        }
      }
      last = v;
    }
    [this.#last, this.#isHigh, this.#firstCrossing, this.#lastCrossing] = [
      last,
      isHigh,
      firstCrossing,
      lastCrossing,
    ];
  }
}
