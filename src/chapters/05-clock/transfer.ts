import type { FftMaker } from "#science/signal/fft";
import { hann } from "#science/signal/hann";
import { sampleAt } from "#science/signal/sample-at";
import type { SoundStretch } from "./compact-sound.ts";
import { listeningRateHz } from "./constants.ts";

/** One stretch in which both heard the same talker. */
export interface SharedStretch {
  /** Its middle in the near recording, local seconds. */
  readonly at: number;
  /** Local seconds of the far recording that belong to a moment of the near one. */
  readonly farAt: (nearSeconds: number) => number;
}

/** What the far microphone hears of a click that the near one hears. */
export interface Transfer {
  /** The answer to the click, `upsample` values a sample, lag 0 in the middle. */
  readonly response: Float32Array;
  /** Root mean square of the answer before anything can have arrived. */
  readonly noise: number;
  /** What one arrival of height 1 looks like in `response`: as long, its top in the middle. */
  readonly kernel: Float32Array;
}

/** Samples of a stretch: two seconds hold a room's whole answer. */
const stretchSamples = 32_768;
/** Lags known on either side: one second. */
const lagSamples = stretchSamples / 2;
/** Speech has nothing under this, and little above; edges and their widths, Hz. */
const bandHz = { low: 100, lowWidth: 200, high: 6800, highWidth: 800 } as const;
/** Where the near microphone heard next to nothing at a frequency, this share of its neighbours is taken, so as not to divide by nothing. */
const leastPowerShare = 0.02;
/** Nothing arrives this long before what was followed; what stands there is noise. */
const silentBeforeSeconds = 0.08;

/**
 * How sound gets from one microphone to another, by least squares over many stretches: the cross-spectrum over the
 * near microphone's own (the estimator H1), damped where noise would rule. Correlations keep the near microphone's
 * reflections and the talker's pitch, which stand before the direct sound as well as after it; a division takes them
 * off, so that before the direct sound there is nothing but noise, and the less of it the longer both listened.
 *
 * @param upsample - Values a sample in the response: a power of two.
 * @param reach - Values of the response on either side of lag 0.
 * @returns null where nothing was heard.
 *
 * Source: Bendat & Piersol, Random Data (4th ed. 2010), chapter 6, frequency response of a system with noise at its
 * output; the damping is Wiener's. From memory.
 */
export async function transferBetween(
  makeFft: FftMaker,
  near: SoundStretch,
  far: SoundStretch,
  stretches: readonly SharedStretch[],
  upsample: number,
  reach: number,
  pause: () => Promise<void>,
): Promise<Transfer | null> {
  const size = 2 * stretchSamples;
  const fft = makeFft(size);
  const window = hann(stretchSamples);
  const around = new Float32Array(size);
  const source = new Float32Array(size);
  const heard = new Float32Array(size);
  const spare = 64;
  const raw = new Float32Array(stretchSamples + 2 * spare);
  const half = new Float32Array(stretchSamples / 2);
  const cross = new Float32Array(size);
  const own = new Float32Array(size);
  const theirs = new Float64Array(lagSamples + 1);
  for (const { at, farAt } of stretches) {
    await pause();
    const first = Math.round(at * listeningRateHz) - stretchSamples / 2;
    await near.read(first - lagSamples, around);
    // The far sound at the near one's moments, in two straight pieces.
    const places = [0, 1, 2].map(
      (k) => farAt((first + (k * stretchSamples) / 2) / listeningRateHz) * listeningRateHz,
    );
    const farFirst = Math.floor(places[0]!) - spare;
    await far.read(farFirst, raw);
    heard.fill(0);
    source.fill(0);
    for (let piece = 0; piece < 2; piece++) {
      const from = places[piece]! - farFirst;
      sampleAt(raw, from, (places[piece + 1]! - places[piece]!) / half.length, half);
      heard.set(half, lagSamples + piece * half.length);
    }
    underWindow(heard, heard, window);
    underWindow(around, source, window);
    fft.forward(around, around);
    fft.forward(source, source);
    fft.forward(heard, heard);
    gather(around, source, heard, { cross, own, theirs });
  }
  if (stretches.length === 0) return null;
  return divided(
    makeFft,
    tapered(makeFft, cross),
    tapered(makeFft, own),
    theirs,
    stretches.length,
    upsample,
    reach,
  );
}

/** out = values under the window where the stretch lies; the rest of `out` stays. */
function underWindow(values: Float32Array, out: Float32Array, window: Float32Array): void {
  for (let i = 0; i < window.length; i++) out[lagSamples + i] = values[lagSamples + i]! * window[i]!;
}

/** Adds one stretch's spectra; a function of its own, for in one that waits the compiler does less. */
function gather(
  around: Float32Array,
  source: Float32Array,
  heard: Float32Array,
  sums: { readonly cross: Float32Array; readonly own: Float32Array; readonly theirs: Float64Array },
): void {
  const { cross, own, theirs } = sums;
  const bins = around.length / 2;
  for (let k = 1; k < bins; k++) {
    const aRe = around[2 * k]!;
    const aIm = around[2 * k + 1]!;
    const hRe = heard[2 * k]!;
    const hIm = heard[2 * k + 1]!;
    cross[2 * k]! += aRe * hRe + aIm * hIm;
    cross[2 * k + 1]! += aRe * hIm - aIm * hRe;
    own[2 * k]! += aRe * source[2 * k]! + aIm * source[2 * k + 1]!;
    // Mean of the window over the mean of its square: 4/3.
    theirs[k >> 1]! += ((hRe * hRe + hIm * hIm) * 4) / 6;
  }
}

/** The spectrum of the lags that are known without wrapping round, fading out towards the longest. */
function tapered(makeFft: FftMaker, spectrum: Float32Array): Float32Array {
  const lags = new Float32Array(spectrum.length);
  makeFft(spectrum.length).inverse(spectrum, lags);
  const out = new Float32Array(2 * lagSamples);
  for (let lag = -lagSamples; lag < lagSamples; lag++) {
    const fade = Math.cos((Math.PI * lag) / (2 * lagSamples)) ** 2;
    out[(lag + out.length) % out.length] = fade * lags[(lag + lags.length) % lags.length]!;
  }
  makeFft(out.length).forward(out, out);
  return out;
}

function divided(
  makeFft: FftMaker,
  cross: Float32Array,
  own: Float32Array,
  theirs: Float64Array,
  stretches: number,
  upsample: number,
  reach: number,
): Transfer | null {
  const bins = cross.length / 2;
  const power = (k: number) => cross[2 * k]! ** 2 + cross[2 * k + 1]! ** 2;
  const ownPower = Float64Array.from({ length: bins }, (_, k) => Math.max(0, own[2 * k]!));
  const ownSmooth = smoothed(ownPower, 8);
  const crossSmooth = new Float64Array(bins);
  const explained = new Float64Array(bins);
  for (let k = 1; k < bins; k++) {
    const x = Math.max(ownPower[k]!, 0.1 * ownSmooth[k]!, 1e-30);
    explained[k] = power(k) / x;
    crossSmooth[k] = power(k) / (x * x);
  }
  const gain2 = smoothed(crossSmooth, 16);
  const noise = smoothed(
    Float64Array.from({ length: bins }, (_, k) => theirs[k]! - explained[k]!),
    16,
  );
  const theirSmooth = smoothed(theirs, 8);
  // Of a stretch, half counts under its window; so many values were heard for each frequency.
  const heardFor = stretches / 2;
  const spectrum = new Float32Array(cross.length * upsample);
  const share = new Float64Array(bins);
  for (let k = 1; k < bins; k++) {
    const damping =
      Math.max(noise[k]!, 1e-3 * theirSmooth[k]!) / Math.max(gain2[k]!, 1e-30) / Math.max(1, heardFor);
    const hz = (k * listeningRateHz) / cross.length;
    const w = edge((hz - bandHz.low) / bandHz.lowWidth) * edge((bandHz.high - hz) / bandHz.highWidth);
    const whole = Math.max(ownPower[k]!, leastPowerShare * ownSmooth[k]!) + damping;
    if (!(whole > 0)) continue;
    share[k] = (w * ownPower[k]!) / whole;
    spectrum[2 * k] = (w * cross[2 * k]!) / whole;
    spectrum[2 * k + 1] = (w * cross[2 * k + 1]!) / whole;
  }
  const long = makeFft(spectrum.length);
  const out = new Float32Array(spectrum.length);
  long.inverse(spectrum, out);
  const response = middle(out, reach);
  const from = Math.round(0.25 * listeningRateHz * upsample);
  const end = Math.round(silentBeforeSeconds * listeningRateHz * upsample);
  let squares = 0;
  for (let i = end; i < from; i++) squares += out[out.length - i]! ** 2;
  spectrum.fill(0);
  let all = 0;
  for (let k = 1; k < bins; k++) all += spectrum[2 * k] = share[k]!;
  if (all === 0) return null;
  long.inverse(spectrum, out);
  const kernel = middle(out, reach);
  const top = kernel[reach]!;
  return {
    response,
    noise: Math.sqrt(squares / (from - end)),
    kernel: kernel.map((v) => v / top),
  };
}

/** 0 to 1, rising over [0, 1]. */
function edge(x: number): number {
  return Math.sin((Math.PI / 2) * Math.min(1, Math.max(0, x))) ** 2;
}

function middle(circular: Float32Array, reach: number): Float32Array {
  return Float32Array.from(
    { length: 2 * reach + 1 },
    (_, i) => circular[(i - reach + circular.length) % circular.length]!,
  );
}

/** Mean over 2 x reach + 1 neighbours. */
function smoothed(x: Float64Array, reach: number): Float64Array {
  const sums = new Float64Array(x.length + 1);
  for (let i = 0; i < x.length; i++) sums[i + 1] = sums[i]! + x[i]!;
  return x.map((_, i) => {
    const from = Math.max(0, i - reach);
    const end = Math.min(x.length, i + reach + 1);
    return (sums[end]! - sums[from]!) / (end - from);
  });
}
