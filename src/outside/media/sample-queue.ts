/** A line of sound waiting to be taken: chunks of equal-length channels, and silence that costs no memory. */
export class SampleQueue {
  readonly #channels: number;
  #runs: (readonly Float32Array[] | number)[] = [];
  /** Samples of the first run that were taken already. */
  #taken = 0;
  #length = 0;

  constructor(channels: number) {
    this.#channels = channels;
  }

  /** Samples waiting. */
  get length(): number {
    return this.#length;
  }

  push(channels: readonly Float32Array[]): void {
    const count = channels[0]?.length ?? 0;
    if (count === 0) return;
    this.#runs.push(channels);
    this.#length += count;
  }

  pushSilence(count: number): void {
    if (count <= 0) return;
    this.#runs.push(count);
    this.#length += count;
  }

  /** The next `count` samples, in arrays of their own. `count` is at most {@link length}. */
  take(count: number): Float32Array[] {
    const out = Array.from({ length: this.#channels }, () => new Float32Array(count));
    for (let filled = 0; filled < count; ) {
      const run = this.#runs[0]!;
      const runLength = typeof run === "number" ? run : run[0]!.length;
      const n = Math.min(runLength - this.#taken, count - filled);
      if (typeof run !== "number") {
        for (let c = 0; c < this.#channels; c++) {
          out[c]!.set(run[c]!.subarray(this.#taken, this.#taken + n), filled);
        }
      }
      filled += n;
      this.#taken += n;
      if (this.#taken === runLength) {
        this.#runs.shift();
        this.#taken = 0;
      }
    }
    this.#length -= count;
    return out;
  }
}
