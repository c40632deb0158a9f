import load, { type PffftModule } from "@echogarden/pffft-wasm/simd";

/**
 * Fourier transforms of real signals of one size, single precision, in the library's own memory.
 *
 * A spectrum of size n is n numbers: re0, re(n/2), re1, im1, re2, im2 ... (DC and the highest frequency have
 * no imaginary part and share the first two places).
 */
export interface RealFft {
  /** Samples in, n: a multiple of 32 whose only prime factors are 2, 3 and 5. */
  readonly size: number;
  /** X[k] = sum of x[i] e^(-2 pi i k / n). Reads and writes whole arrays of `size`; they may be the same array. */
  forward(signal: Float32Array, spectrum: Float32Array): void;
  /** x[i] = (1/n) sum of X[k] e^(+2 pi i k / n), so that `inverse(forward(x))` is x. */
  inverse(spectrum: Float32Array, signal: Float32Array): void;
  /**
   * Transforms what `fill` writes (all `size` samples of it), without copying.
   *
   * @returns the spectrum in the library's own memory: good until the next transform of this size.
   */
  spectrumOf(fill: (samples: Float32Array) => void): Float32Array;
  /**
   * `size` times the inverse of what `fill` writes (all `size` values of it), without copying.
   *
   * @returns the signal in the library's own memory: good until the next transform of this size.
   */
  signalOf(fill: (spectrum: Float32Array) => void): Float32Array;
  /** Keeps signals, each at most `size` long, to be correlated with others at every lag; free it when done. */
  correlations(firsts: readonly Float32Array[]): CorrelationBank;
  /** Keeps signals of any one length, to be correlated with much shorter ones piece by piece; free it when done. */
  longCorrelations(firsts: readonly Float32Array[], mostSamples: number): LongCorrelationBank;
}

/** Signals whose spectra are kept in the library's own memory and order, where products cost next to nothing. */
export interface CorrelationBank {
  /**
   * Circular correlation at every lag, summed over the signals kept:
   * out[lag] = sum over b and i of first_b[i + lag] second_b[i], negative lags counted from the end.
   *
   * @param seconds - One for each signal kept, at most `size` long; zeros follow. Where the lengths of both add up to
   *   `size` at most, nothing wraps round.
   * @param out - `size` values.
   */
  sum(seconds: readonly Float32Array[], out: Float32Array): void;
  /** Gives its memory back; it answers no more. */
  free(): void;
}

/** As {@link CorrelationBank}, for signals longer than a transform: cut into pieces that overlap by the shorter ones' length. */
export interface LongCorrelationBank {
  /** Index of lag 0 in what {@link sum} gives. */
  readonly zero: number;
  /** How many lags there are: all at which the signals touch, and some more. */
  readonly lags: number;
  /**
   * out[zero + lag] = sum over b and i of first_b[i + lag] second_b[i].
   *
   * @param seconds - One for each signal kept, at most `mostSamples` long; zeros follow.
   * @param out - `lags` values.
   */
  sum(seconds: readonly Float32Array[], out: Float32Array): void;
  /** Gives its memory back; it answers no more. */
  free(): void;
}

/** Makes transforms; one of each size is kept. */
export type FftMaker = (size: number) => RealFft;

let loaded: Promise<FftMaker> | undefined;

/** Loads the FFT library (WebAssembly with SIMD) once; everything after is synchronous. */
export function loadFft(): Promise<FftMaker> {
  loaded ??= load().then((library) => {
    const made = new Map<number, RealFft>();
    return (size) => {
      let fft = made.get(size);
      if (!fft) made.set(size, (fft = makeFft(library, size)));
      return fft;
    };
  });
  return loaded;
}

/** The smallest power of two that is at least `length`, and at least 32 (what the library asks for). */
export function fftSizeFor(length: number): number {
  return Math.max(32, 2 ** Math.ceil(Math.log2(length)));
}

function isPossibleSize(size: number): boolean {
  if (size < 32 || size % 32 !== 0) return false;
  let rest = size;
  for (const factor of [2, 3, 5]) while (rest % factor === 0) rest /= factor;
  return rest === 1;
}

function makeFft(library: PffftModule, size: number): RealFft {
  if (!isPossibleSize(size))
    throw new TypeError(`no FFT of size ${size}: a multiple of 32 made of 2, 3 and 5 is needed`);
  const setup = library._pffft_new_setup(size, 0);
  const buffer = library._pffft_aligned_malloc(size * 4);
  const work = library._pffft_aligned_malloc(size * 4);
  if (buffer === 0 || work === 0) throw new TypeError(`no memory for an FFT of size ${size}`);
  const at = buffer >> 2;
  const run = (from: Float32Array, direction: 0 | 1) => {
    // The view is asked for each time: it is replaced when the library's memory grows.
    const heap = library.HEAPF32;
    heap.set(from, at);
    library._pffft_transform_ordered(setup, buffer, buffer, work, direction);
    return heap.subarray(at, at + size);
  };
  let heap = library.HEAPF32;
  let view = heap.subarray(at, at + size);
  const filled = (fill: (values: Float32Array) => void, direction: 0 | 1) => {
    if (heap !== library.HEAPF32) {
      heap = library.HEAPF32;
      view = heap.subarray(at, at + size);
    }
    fill(view);
    library._pffft_transform_ordered(setup, buffer, buffer, work, direction);
    return view;
  };
  return {
    size,
    spectrumOf: (fill) => filled(fill, 0),
    signalOf: (fill) => filled(fill, 1),
    forward(signal, spectrum) {
      if (signal.length !== size || spectrum.length !== size)
        throw new TypeError(`FFT of ${size} got another length`);
      spectrum.set(run(signal, 0));
    },
    inverse(spectrum, signal) {
      if (signal.length !== size || spectrum.length !== size)
        throw new TypeError(`FFT of ${size} got another length`);
      const scaled = run(spectrum, 1);
      const scale = 1 / size;
      for (let i = 0; i < size; i++) signal[i] = scaled[i]! * scale;
    },
    correlations: (firsts) => {
      const bank = makeBank(library, setup, size, work, [firsts]);
      return {
        sum(seconds, out) {
          bank.hold(seconds);
          out.set(bank.sum(0));
        },
        free: bank.free,
      };
    },
    longCorrelations(firsts, mostSamples) {
      const length = firsts[0]?.length ?? 0;
      const step = size - mostSamples;
      const zero = mostSamples;
      const pieces = Math.ceil((length + mostSamples) / step);
      // Piece p begins at sample p * step - zero; the zeros before the first are lags below 0.
      const cut = Array.from({ length: pieces }, (_, p) =>
        firsts.map((first) => {
          const from = p * step - zero;
          if (from >= 0) return first.subarray(from, from + size);
          const piece = new Float32Array(size);
          const part = first.subarray(0, Math.max(0, from + size));
          piece.set(part, -from);
          return piece;
        }),
      );
      const bank = makeBank(library, setup, size, work, cut);
      return {
        zero,
        lags: pieces * step,
        sum(seconds, out) {
          bank.hold(seconds);
          for (let p = 0; p < pieces; p++) out.set(bank.sum(p).subarray(0, step), p * step);
        },
        free: bank.free,
      };
    },
  };
}

/** Spectra of several pieces of several signals, and of what they are to be correlated with. */
interface PieceBank {
  hold(seconds: readonly Float32Array[]): void;
  /** A view of the library's memory, good until the next call. */
  sum(piece: number): Float32Array;
  free(): void;
}

function makeBank(
  library: PffftModule,
  setup: number,
  size: number,
  work: number,
  pieces: readonly (readonly Float32Array[])[],
): PieceBank {
  const allocate = () => {
    const pointer = library._pffft_aligned_malloc(size * 4);
    if (pointer === 0) throw new TypeError(`no memory for correlations of size ${size}`);
    return pointer;
  };
  const transform = (pointer: number, fill: (samples: Float32Array) => void) => {
    fill(library.HEAPF32.subarray(pointer >> 2, (pointer >> 2) + size));
    library._pffft_transform(setup, pointer, pointer, work, 0);
  };
  const held = pieces.map((firsts) =>
    firsts.map((first) => {
      const pointer = allocate();
      transform(pointer, (samples) => {
        samples.set(first);
        samples.fill(0, first.length);
      });
      return pointer;
    }),
  );
  const others = (pieces[0] ?? []).map(allocate);
  const product = allocate();
  return {
    hold(seconds) {
      others.forEach((pointer, b) => {
        transform(pointer, (samples) => reverse(samples, seconds[b]!));
      });
    },
    sum(piece) {
      const at = product >> 2;
      library.HEAPF32.fill(0, at, at + size);
      held[piece]!.forEach((pointer, b) => {
        library._pffft_zconvolve_accumulate(setup, pointer, others[b]!, product, 1 / size);
      });
      library._pffft_transform(setup, product, product, work, 1);
      return library.HEAPF32.subarray(at, at + size);
    },
    free() {
      for (const pointer of [...held.flat(), ...others, product]) library._pffft_aligned_free(pointer);
    },
  };
}

/** Back in time round the circle: a convolution with it is a correlation. */
function reverse(out: Float32Array, signal: Float32Array): void {
  const later = out.length - signal.length + 1;
  out[0] = signal[0] ?? 0;
  out.fill(0, 1, later);
  const rest = out.subarray(later);
  rest.set(signal.subarray(1));
  rest.reverse();
}
