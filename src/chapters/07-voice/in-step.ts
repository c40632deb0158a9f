/** Holds what a stream gave beyond what was asked for. */
class Reader {
  readonly #source: AsyncIterator<Float32Array>;
  #rest = new Float32Array(0);
  constructor(source: AsyncIterable<Float32Array>) {
    this.#source = source[Symbol.asyncIterator]();
  }
  /** The next `count` samples; fewer only at the end. */
  async take(count: number): Promise<Float32Array> {
    const out = new Float32Array(count);
    let filled = 0;
    while (filled < count) {
      if (this.#rest.length === 0) {
        const next = await this.#source.next();
        if (next.done) return out.slice(0, filled);
        this.#rest = next.value as Float32Array<ArrayBuffer>;
        continue;
      }
      const part = this.#rest.subarray(0, count - filled);
      out.set(part, filled);
      filled += part.length;
      this.#rest = this.#rest.subarray(part.length);
    }
    return out;
  }
  async close(): Promise<void> {
    await this.#source.return?.();
  }
}

/**
 * Two streams of samples cut into blocks of one length, side by side. Ends with the longer; the shorter is
 * followed by silence. `null` stands for a stream that is not there and stays `null`.
 */
export async function* inStep(
  first: AsyncIterable<Float32Array> | null,
  second: AsyncIterable<Float32Array> | null,
  blockSamples: number,
): AsyncGenerator<[Float32Array | null, Float32Array | null]> {
  const readers = [first, second].map((source) => (source ? new Reader(source) : null));
  try {
    for (;;) {
      const blocks = await Promise.all(readers.map((reader) => reader?.take(blockSamples) ?? null));
      const length = Math.max(...blocks.map((block) => block?.length ?? 0));
      if (length === 0) return;
      const [a, b] = blocks.map((block) => (block ? padded(block, length) : null));
      yield [a ?? null, b ?? null];
    }
  } finally {
    await Promise.all(readers.map((reader) => reader?.close()));
  }
}

function padded(block: Float32Array, length: number): Float32Array {
  if (block.length === length) return block;
  const out = new Float32Array(length);
  out.set(block);
  return out;
}
