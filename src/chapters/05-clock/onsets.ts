import type { FftMaker, RealFft } from "#science/signal/fft";
import { hann } from "#science/signal/hann";
import { sharedFloats } from "#science/signal/shared-arrays";
import { kernels, placeForFloats, placeOf, placeOfIntegers } from "#science/signal/simd/kernels";
import { quantileOf } from "#science/speech/power-meter";
import { listeningRateHz, onsetHopSamples } from "./constants.ts";

const windowSamples = 2 * onsetHopSamples;
/** Of sound gathered before its frames are looked at. */
const gatheredSamples = 64 * onsetHopSamples;
/** The mean power of a recording is taken from one frame of so many: speech is long, and every third overlaps none. */
const framesToMean = 3;
/** Edges of the bands, Hz: about a third of the way from pitch to hiss in equal steps of hearing. */
const bandEdgesHz = [150, 350, 600, 1000, 1600, 2500, 3800, 5500, 7500];
/** Frequency at which each band begins, in steps of the transform; the last is where the highest ends. */
const firstBins = bandEdgesHz.map((hz) => Math.round((hz / listeningRateHz) * windowSamples));
const firstVoiceBand = bandEdgesHz.indexOf(350);
const endVoiceBand = bandEdgesHz.indexOf(5500);
export const onsetBands: number = bandEdgesHz.length - 1;
export const framesPerSecond: number = listeningRateHz / onsetHopSamples;

/** What is kept of a whole recording for the search: who was loud when, in bands; on memory that threads share. */
export interface Onsets {
  readonly frames: number;
  /** One array a band: rises of level, evened out to mean 0 and deviation about 1. */
  readonly bands: readonly Float32Array[];
  /** Level of each frame, dBFS (root mean square, whole band). */
  readonly levelDb: Float32Array;
  /** A tenth of the frames lie below this, dBFS. */
  readonly quietDb: number;
  /** Level as above of what lies between 350 and 5500 Hz alone: rumble and a room's lowest tones tell nothing of who speaks. */
  readonly voiceDb: Float32Array;
  /** Mean power at each frequency k / 512 of the rate, k from 0 to 255, of a Hann-windowed frame of 512 samples. */
  readonly meanPower: Float32Array;
}

/**
 * Band-wise spectral flux of a stream of sound: frame i looks at samples [i, i + 2) x 256.
 *
 * Rises of the logarithmic level are what a distant microphone and a near one have in common; each band is
 * whitened by its own running mean and deviation, so that neither loud speech nor a steady noise rules the sum.
 */
export class OnsetListener {
  readonly #fft: RealFft;
  /** Samples gathered for whole frames, and how many. */
  #held = 0;
  readonly #gathered = new Float32Array(gatheredSamples);
  #levels: Float32Array[] = Array.from({ length: onsetBands + 2 }, () => new Float32Array(4096));
  #frames = 0;
  /** Sum of the squares of the second half of the last frame. */
  #late = 0;
  readonly #powers = new Float64Array(windowSamples / 2);

  constructor(makeFft: FftMaker) {
    this.#fft = makeFft(windowSamples);
  }

  append(block: Float32Array): void {
    for (let at = 0; at < block.length; ) {
      const n = Math.min(gatheredSamples - this.#held, block.length - at);
      this.#gathered.set(block.subarray(at, at + n), this.#held);
      this.#held += n;
      at += n;
      if (this.#held === gatheredSamples) this.#framesOf();
    }
  }

  /** All frames that lie in what is gathered; the rest stays. */
  #framesOf(): void {
    const { sound } = (desk ??= makeDesk());
    const frames = Math.floor(this.#held / onsetHopSamples) - 1;
    if (frames < 1) return;
    sound.values.set(this.#gathered);
    // The views are asked for once: each time costs as much as a transform's tenth.
    const views = {
      windowed: desk.windowed.values,
      spectrum: desk.spectrum.values,
      squares: desk.squares.values,
      sums: desk.sums.values,
    };
    for (let i = 0; i < frames; i++) this.#frame(desk, views, i * onsetHopSamples);
    this.#gathered.copyWithin(0, frames * onsetHopSamples, this.#held);
    this.#held -= frames * onsetHopSamples;
  }

  #frame(desk: Desk, views: Views, first: number): void {
    const frame = this.#frames++;
    if (frame === this.#levels[0]!.length)
      this.#levels = this.#levels.map((old) => {
        const longer = new Float32Array(old.length * 2);
        longer.set(old);
        return longer;
      });
    const levels = this.#levels;
    const { multiply, powers, sumOfSquares, sumsBetween } = kernels();
    const at = desk.sound.at + 4 * first;
    const halfBytes = 4 * onsetHopSamples;
    // The first half of a frame is the second of the one before.
    const early = frame === 0 ? sumOfSquares(at, onsetHopSamples) : this.#late;
    this.#late = sumOfSquares(at + halfBytes, onsetHopSamples);
    multiply(at, desk.window.at, desk.windowed.at, windowSamples);
    views.spectrum.set(this.#fft.spectrumOf((samples) => samples.set(views.windowed)));
    powers(desk.spectrum.at, desk.squares.at, windowSamples / 2);
    sumsBetween(desk.squares.at, desk.edges.at, onsetBands, desk.sums.at);
    let voice = 0;
    for (let band = 0; band < onsetBands; band++) {
      const sum = views.sums[band]!;
      levels[band]![frame] = sum;
      if (band >= firstVoiceBand && band < endVoiceBand) voice += sum;
    }
    if (frame % framesToMean === 0) addTo(this.#powers, views.squares);
    levels[onsetBands]![frame] = early + this.#late;
    levels[onsetBands + 1]![frame] = voice;
  }

  finish(): Onsets {
    this.#framesOf();
    const frames = this.#frames;
    const bands = this.#levels.slice(0, onsetBands).map((power) => whitenedRises(power.subarray(0, frames)));
    const counted = Math.max(1, Math.ceil(frames / framesToMean));
    const meanPower = Float32Array.from(this.#powers, (power) => power / counted);
    const levelDb = decibelsOf(this.#levels[onsetBands]!.subarray(0, frames), 1 / windowSamples);
    // Parseval: twice the sum over half the spectrum, by the mean square of the window, 3/8.
    const voiceDb = decibelsOf(
      this.#levels[onsetBands + 1]!.subarray(0, frames),
      16 / (3 * windowSamples ** 2),
    );
    return {
      frames,
      bands,
      levelDb,
      quietDb: quantileOf(levelDb, 0.1),
      voiceDb,
      meanPower,
    };
  }
}

/** Of one frame after the other: whoever listens in this thread uses the same. */
const makeDesk = () => ({
  sound: placeForFloats(gatheredSamples),
  window: placeOf(hann(windowSamples)),
  windowed: placeForFloats(windowSamples),
  spectrum: placeForFloats(windowSamples),
  squares: placeForFloats(windowSamples / 2),
  edges: placeOfIntegers(firstBins),
  sums: placeForFloats(onsetBands),
});
type Desk = ReturnType<typeof makeDesk>;
type Views = Readonly<Record<"windowed" | "spectrum" | "squares" | "sums", Float32Array>>;
let desk: Desk | undefined;

function sumOf(x: Float32Array): number {
  let sum = 0;
  for (let k = 0; k < x.length; k++) sum += x[k]!;
  return sum;
}

/** A function of nothing but its arguments, as those below: the compiler then keeps all of it in registers. */
function addTo(sums: Float64Array, x: Float32Array): void {
  for (let k = 0; k < sums.length; k++) sums[k]! += x[k]!;
}

/** Decibels of powers times `scale`, on shared memory. */
function decibelsOf(powers: Float32Array, scale: number): Float32Array {
  const out = sharedFloats(powers.length);
  for (let i = 0; i < powers.length; i++) out[i] = 10 * Math.log10(powers[i]! * scale + 1e-12);
  return out;
}

function whitenedRises(power: Float32Array): Float32Array {
  const frames = power.length;
  // 40 dB under the mean: what is softer is not heard as a rise, so that digital silence has no onsets.
  const floor = (1e-4 * sumOf(power)) / Math.max(1, frames) + 1e-12;
  const rises = new Float32Array(frames);
  risesOf(power, floor, rises);
  const out = sharedFloats(frames);
  evened(rises, Math.round(2 * framesPerSecond), out);
  return out;
}

/** By how much the level of each lies above the mean of the two before it, as natural logarithms; 0 where it does not. */
function risesOf(power: Float32Array, floor: number, out: Float32Array): void {
  let first = Math.log((power[0] ?? 0) + floor);
  let second = Math.log((power[1] ?? 0) + floor);
  for (let i = 2; i < power.length; i++) {
    const level = Math.log(power[i]! + floor);
    const rise = level - 0.5 * (first + second);
    out[i] = Math.max(0, rise);
    first = second;
    second = level;
  }
}

/** Running mean and deviation over 2 x reach + 1 frames brought to 0 and 1; rare giants held at 4. */
function evened(x: Float32Array, reach: number, out: Float32Array): void {
  const n = x.length;
  let whole = 0;
  for (let i = 0; i < n; i++) whole += x[i]! * x[i]!;
  const least = (0.05 * whole) / Math.max(1, n) + 1e-12;
  let sum = 0;
  let squares = 0;
  for (let i = 0; i < Math.min(n, reach); i++) {
    sum += x[i]!;
    squares += x[i]! * x[i]!;
  }
  for (let i = 0; i < n; i++) {
    if (i + reach < n) {
      const enter = x[i + reach]!;
      sum += enter;
      squares += enter * enter;
    }
    if (i > reach) {
      const leave = x[i - reach - 1]!;
      sum -= leave;
      squares -= leave * leave;
    }
    const count = Math.min(n, i + reach + 1) - Math.max(0, i - reach);
    const mean = sum / count;
    const variance = Math.max(0, squares / count - mean * mean);
    out[i] = Math.min(4, (x[i]! - mean) / Math.sqrt(variance + least));
  }
}
