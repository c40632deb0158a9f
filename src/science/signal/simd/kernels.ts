import { kernelBytes } from "./kernel-bytes.ts";

/**
 * Inner loops in WebAssembly with SIMD, on memory of their own: see kernels.wat for each. Pointers are in bytes, as in
 * {@link Place.at}; counts are of values.
 */
export interface Kernels {
  /** out[i] = a[i] b[i]; a multiple of 4. */
  multiply(a: number, b: number, out: number, count: number): void;
  /** Sum of x[i]^2; a multiple of 8. */
  sumOfSquares(x: number, count: number): number;
  /** out[k] = re[k]^2 + im[k]^2 of pairs (re, im); a multiple of 4. */
  powers(pairs: number, out: number, count: number): void;
  /** out[b] = sum of x[i] over [edges[b], edges[b + 1]), edges of 32-bit integers. */
  sumsBetween(x: number, edges: number, bands: number, out: number): void;
  /** The largest |x[i]|; a multiple of 8. */
  peak(x: number, count: number): number;
  /** out[i] = x[i] scale to the nearest 16-bit integer; a multiple of 8. */
  toShorts(x: number, scale: number, out: number, count: number): void;
  /** out[i] = x[i] scale, x of 16-bit integers; a multiple of 8. */
  fromShorts(x: number, scale: number, out: number, count: number): void;
  /**
   * With c = conj(a[k]) b[k], g = |c| and s = weight soft[k] / (1 + g soft[k]): adds s c, turned by the rotor, to re[k]
   * and im[k], and s g to counted[k]. Pairs (re, im) in a and b; a multiple of 4. The rotor's cosines and sines for the
   * first four are turned by (turnRe, turnIm) for every next four.
   */
  addCross(
    a: number,
    b: number,
    soft: number,
    re: number,
    im: number,
    counted: number,
    count: number,
    rotor: number,
    turnRe: number,
    turnIm: number,
    weight: number,
  ): void;
  /** out[n] = x at from + n step, by a table of 513 phases of 32 values; 15 values before and 16 after must be there. */
  between(x: number, from: number, step: number, table: number, out: number, count: number): void;
  /** out[i] += a[i] + b[i] + c[i] + d[i]. */
  addFour(a: number, b: number, c: number, d: number, out: number, count: number): void;
}

interface Memory {
  readonly buffer: ArrayBuffer;
  grow(pages: number): number;
}

/** What every runtime has, and the language's own types do not tell. */
interface Runtime {
  readonly WebAssembly: {
    readonly Module: new (bytes: Uint8Array) => object;
    readonly Instance: new (module: object) => { readonly exports: object };
  };
  atob(text: string): string;
}

interface Loaded {
  readonly kernels: Kernels;
  readonly memory: Memory;
  /** Bytes given away. */
  used: number;
}

let loaded: Loaded | undefined;

function load(): Loaded {
  if (loaded) return loaded;
  const { WebAssembly, atob } = globalThis as unknown as Runtime;
  const bytes = Uint8Array.from(atob(kernelBytes), (letter) => letter.charCodeAt(0));
  const { exports } = new WebAssembly.Instance(new WebAssembly.Module(bytes));
  const { memory, ...kernels } = exports as Kernels & { readonly memory: Memory };
  return (loaded = { kernels, memory, used: 16 });
}

/** The kernels of this thread. */
export const kernels = (): Kernels => load().kernels;

/** Values in the kernels' memory, which stay there for good: for scratch that is used over and over. */
export interface Place<Values> {
  /** Of the first, bytes; a multiple of 16. */
  readonly at: number;
  /** A view, good until the next place is taken. */
  readonly values: Values;
}

const pageBytes = 65_536;

function take<Values extends { readonly buffer: ArrayBufferLike }>(
  bytes: number,
  view: (buffer: ArrayBuffer, at: number) => Values,
): Place<Values> {
  const held = load();
  const at = held.used;
  held.used = Math.ceil((at + bytes) / 16) * 16;
  const missing = held.used - held.memory.buffer.byteLength;
  if (missing > 0) held.memory.grow(Math.ceil(missing / pageBytes));
  let values = view(held.memory.buffer, at);
  return {
    at,
    get values() {
      // Memory that grew is another buffer.
      if (values.buffer !== held.memory.buffer) values = view(held.memory.buffer, at);
      return values;
    },
  };
}

/** Room for `count` values, zeros. */
export const placeForFloats = (count: number): Place<Float32Array> =>
  take(4 * count, (buffer, at) => new Float32Array(buffer, at, count));

/** Room for `count` 16-bit integers, zeros. */
export const placeForShorts = (count: number): Place<Int16Array> =>
  take(2 * count, (buffer, at) => new Int16Array(buffer, at, count));

/** Values that do not change. */
export function placeOf(values: Float32Array): Place<Float32Array> {
  const place = placeForFloats(values.length);
  place.values.set(values);
  return place;
}

/** Whole numbers that do not change, 32 bits each. */
export function placeOfIntegers(numbers: readonly number[]): Place<Int32Array> {
  const place = take(4 * numbers.length, (buffer, at) => new Int32Array(buffer, at, numbers.length));
  place.values.set(numbers);
  return place;
}

/** Values somewhere in the kernels' memory. */
export interface Row {
  /** Of the first, bytes. */
  readonly at: number;
  readonly length: number;
}

/** Rows that are taken, and let go all at once; their memory stays, to be used again. */
export class RowDesk {
  readonly #blocks: Place<Float32Array>[] = [];
  #block = 0;
  #used = 0;

  /** All that is taken from now on can be let go by {@link back}. */
  mark(): readonly [block: number, used: number] {
    return [this.#block, this.#used];
  }

  /** Lets go of all that was taken since a {@link mark}. */
  back([block, used]: readonly [block: number, used: number]): void {
    this.#block = block;
    this.#used = used;
  }

  /** Room for `length` values, whatever was there before, and up to seven more to fill the last eight. */
  take(length: number): Row {
    const whole = Math.ceil(length / 8) * 8;
    for (;;) {
      const place = (this.#blocks[this.#block] ??= placeForFloats(Math.max(rowsTogether, whole)));
      if (this.#used + whole <= place.values.length) {
        const at = place.at + 4 * this.#used;
        this.#used += whole;
        return { at, length };
      }
      this.#block++;
      this.#used = 0;
    }
  }
}

const rowsTogether = 262_144;

/** The values of a row, good until the next place is taken. */
export const valuesOf = ({ at, length }: Row): Float32Array =>
  new Float32Array(load().memory.buffer, at, length);
