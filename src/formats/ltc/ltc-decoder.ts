import { EdgeFinder } from "./edge-finder.ts";
import { fitCells } from "./fit-cells.ts";
import { hasEvenZeros, type LtcLabel, ltcWordBits, readLtcBits } from "./ltc-word.ts";

/** One word of timecode that was heard. */
export interface LtcFrame {
  readonly label: LtcLabel;
  /** Place of the edge that begins bit 0, in samples from the first one appended, between the samples too. */
  readonly startSample: number;
  /** Place of the edge that ends bit 79; before `startSample` where the tape runs backwards. */
  readonly endSample: number;
  readonly reversed: boolean;
  /** Scatter of the word's edges about an even clock, samples (root mean square). */
  readonly jitterSamples: number;
  /** Whether the polarity correction is right; some generators leave it out, so it is no reason to refuse. */
  readonly hasEvenZeros: boolean;
}

/** Half a cell of the slowest and of the fastest timecode that is looked for, seconds: 24 at 0.45 to 30 at 2.2. */
const longestHalfCell = 1 / (2 * 80 * 24 * 0.45);
const shortestHalfCell = 1 / (2 * 80 * 30 * 2.2);
/** Edges remembered; two words have at most 320. */
const remembered = 1024;
const syncEdges = 28;
/** Edges that noise may swallow in one word. */
const mostMissing = 3;

/**
 * Reads longitudinal timecode from sound as it comes, at any rate, level, speed from 0.5 to 2 and direction.
 *
 * Each sync word is found by its shape alone (twelve ones between two zeros and a zero and a one, either way
 * round); it gives the length of a cell, with which the other 64 bits are read along the edges, forgiving ones too
 * many and a few too few. A straight line through all edges of the word gives its beginning and end to a small
 * part of a sample. Words with a digit that is none are left out; a label that does not follow the one before is
 * given all the same, see `LtcTally`.
 *
 * Source: SMPTE ST 12-1 (2014), linear timecode. [ST12-1]
 */
export class LtcDecoder {
  readonly #finder: EdgeFinder;
  readonly #sampleRateHz: number;
  readonly #word: (frame: LtcFrame) => void;
  readonly #edges = new Float64Array(remembered);
  #count = 0;
  /** A sync word heard backwards, whose other bits are still to come. */
  #pending: { edge: number; cell: number } | null = null;

  /** @param word - Told each word, in the order heard. */
  constructor(sampleRateHz: number, word: (frame: LtcFrame) => void) {
    this.#sampleRateHz = sampleRateHz;
    this.#word = word;
    this.#finder = new EdgeFinder(sampleRateHz, (position) => this.#edge(position));
  }

  /** Takes in a block of samples, any level. */
  append(block: Float32Array): void {
    this.#finder.append(block);
  }

  /** After the last block: a word heard backwards may end with the sound. */
  finish(): void {
    if (this.#pending) this.#read(this.#pending.edge, this.#pending.cell, true);
    this.#pending = null;
  }

  #at(edge: number): number {
    return this.#edges[edge & (remembered - 1)]!;
  }

  #edge(position: number): void {
    this.#edges[this.#count & (remembered - 1)] = position;
    const n = this.#count++;
    const pending = this.#pending;
    if (pending && position > this.#at(pending.edge) + 65.5 * pending.cell) {
      this.#pending = null;
      this.#read(pending.edge, pending.cell, true);
    }
    if (n < syncEdges) return;
    // Two intervals that are alike, or one half of the other, tell at once that this is no end of a sync word.
    const a = position - this.#at(n - 1);
    const b = this.#at(n - 1) - this.#at(n - 2);
    if (b > 1.3 * a) {
      // As sent: 0 0, twelve ones, 0 and the first half of a one.
      const cell = b < 3 * a ? this.#syncCell(n - 26, n - 28, n - 2, n - 1) : 0;
      if (cell > 0 && Math.abs(a - 0.5 * cell) < 0.25 * cell) this.#read(n - 28, cell, false);
    } else if (b > 0.77 * a) {
      // Backwards: the second half of a one, 0, twelve ones, 0 0.
      const cell = this.#syncCell(n - 26, n - 27, n - 2, n);
      if (cell > 0) this.#pending = { edge: n, cell };
    }
  }

  /**
   * Cell length of twelve ones from edge `first` on, in the zeros' company: [first - ..., last + ...) hold one zero on
   * the one side and two on the other. 0 where the shape is another.
   */
  #syncCell(first: number, lead: number, last: number, tail: number): number {
    const half = (this.#at(last) - this.#at(first)) / 24;
    if (half < shortestHalfCell * this.#sampleRateHz || half > longestHalfCell * this.#sampleRateHz) return 0;
    for (let e = first; e < last; e++)
      if (Math.abs(this.#at(e + 1) - this.#at(e) - half) > 0.45 * half) return 0;
    for (let e = lead; e < first; e++) if (!this.#isCell(e, half)) return 0;
    for (let e = last; e < tail; e++) if (!this.#isCell(e, half)) return 0;
    return 2 * half;
  }

  #isCell(edge: number, half: number): boolean {
    return Math.abs(this.#at(edge + 1) - this.#at(edge) - 2 * half) < 0.5 * half;
  }

  /**
   * Reads bits 63 to 0, walking away from the sync word: into the past, or where the tape runs backwards along
   * what came after it.
   *
   * @param edge - The edge between bits 63 and 64.
   */
  #read(edge: number, syncCell: number, reversed: boolean): void {
    const step = reversed ? 1 : -1;
    const oldest = Math.max(0, this.#count - remembered);
    const bits = new Uint8Array(ltcWordBits);
    const cells: number[] = [];
    const places: number[] = [];
    const keep = (cell: number, place: number) => {
      cells.push(cell);
      places.push(place);
    };
    // The sync word's own edges, from bit 64 on.
    let near = edge;
    for (const cell of syncEdgeCells) {
      keep(cell, this.#at(near));
      near -= step;
    }
    for (let i = 0; i < 16; i++) bits[64 + i] = i < 2 || i === 14 ? 0 : 1;
    let place = this.#at(edge);
    let cell = syncCell;
    let next = edge + step;
    let missing = 0;
    for (let bit = 63; bit >= 0; bit--) {
      const expected = place + step * cell;
      const middle = place + step * 0.5 * cell;
      let end: number | null = null;
      let half: number | null = null;
      for (; next >= oldest && next < this.#count; next += step) {
        const at = this.#at(next);
        if (step * (at - expected) > 0.25 * cell) break;
        if (Math.abs(at - middle) < 0.25 * cell) {
          if (half === null || Math.abs(at - middle) < Math.abs(half - middle)) half = at;
        } else if (Math.abs(at - expected) <= 0.25 * cell)
          if (end === null || Math.abs(at - expected) < Math.abs(end - expected)) end = at;
      }
      bits[bit] = half === null ? 0 : 1;
      if (half !== null) keep(bit + 0.5, half);
      if (end === null) {
        if (++missing > mostMissing) return;
        place = expected;
      } else {
        keep(bit, end);
        cell += 0.1 * (step * (end - place) - cell);
        place = expected + 0.6 * (end - expected);
      }
    }
    const framesPerSecond = this.#sampleRateHz / (ltcWordBits * cell);
    const label = readLtcBits(bits, Math.abs(framesPerSecond - 25) < 0.5 ? 25 : 30);
    if (!label) return;
    const fit = fitCells(cells, places);
    this.#word({
      label,
      startSample: fit.atZero,
      endSample: fit.atZero + ltcWordBits * fit.perCell,
      reversed,
      jitterSamples: fit.scatter,
      hasEvenZeros: hasEvenZeros(bits),
    });
  }
}

/** Edges of the sync word in cells of the word: 0 0, twelve ones, 0 and the middle of the 1. */
const syncEdgeCells: readonly number[] = [
  64,
  65,
  ...Array.from({ length: 25 }, (_, i) => 66 + i / 2),
  79,
  79.5,
];
