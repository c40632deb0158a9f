/** Peaks of a 48 kHz stream, so many a second, for drawing. */
export class Envelope {
  readonly peaks: number[] = [];
  readonly #step: number;
  #count = 0;
  #peak = 0;

  constructor(perSecond: number, sampleRateHz = 48_000) {
    this.#step = Math.round(sampleRateHz / perSecond);
  }

  push(samples: Float32Array): void {
    for (const x of samples) {
      this.#peak = Math.max(this.#peak, Math.abs(x));
      if (++this.#count === this.#step) this.finish();
    }
  }

  /** Closes the last, shorter step. */
  finish(): void {
    if (this.#count === 0) return;
    this.peaks.push(Math.min(1, Math.round(this.#peak * 1e4) / 1e4));
    this.#count = 0;
    this.#peak = 0;
  }
}

/** Passes a stream on unchanged while its envelope is drawn. */
export async function* drawn(
  blocks: AsyncIterable<Float32Array>,
  envelope: Envelope,
): AsyncGenerator<Float32Array> {
  for await (const samples of blocks) {
    envelope.push(samples);
    yield samples;
  }
  envelope.finish();
}
