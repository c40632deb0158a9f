import { CompactSound } from "#clock/compact-sound";
import { listeningRateHz } from "#clock/constants";
import type { Listened } from "#clock/listened";
import { OnsetListener } from "#clock/onsets";
import { comparePair } from "#clock/pair";
import { solveClocks } from "#clock/solve";
import { type FftMaker, loadFft } from "#science/signal/fft";
import { lcgNoise } from "#science/signal/lcg-noise";
import { sampleAt } from "#science/signal/sample-at";
import { scipyCorrelation } from "./clock-scipy.ts";
import type { Bench } from "./row.ts";

/** Clock: what listening, comparing and transforming cost, and how near the truth a long pair comes. */
const clockBench: Bench = async function* () {
  const makeFft = await loadFft();
  yield await transformRow(makeFft);
  yield await correlationRow(makeFft);

  const minutes = 20;
  const seconds = minutes * 60;
  const ratePpm = -80;
  const start = 2.5;
  const near = syllables(seconds);
  const far = heardInRoom(near);
  const device = new Float32Array((seconds - 4) * listeningRateHz);
  sampleAt(far, start * listeningRateHz, 1 + ratePpm * 1e-6, device);

  const began = performance.now();
  const master = listenTo(makeFft, near);
  const other = listenTo(makeFft, device);
  const listened = performance.now();
  const { match } = await comparePair(makeFft, master, other, async () => {});
  if (!match) throw new Error("the bench's own recordings were not placed");
  const pair = { reference: 0, other: 1, windows: match.windows };
  const solved = solveClocks(2, 0, ["A", "B"], [master.seconds, other.seconds], [pair]).lines[1]!;
  const ended = performance.now();
  const error = (t: number) => solved.line.offset - start + t * (solved.line.ratePpm - ratePpm) * 1e-6;
  const worst = Math.max(Math.abs(error(0)), Math.abs(error(other.seconds)));
  const row = (what: string, unit: string, ours: number, reference: string, theirs: number) => ({
    chapter: "clock",
    what,
    unit,
    ours,
    reference,
    theirs,
  });
  yield row(
    `listening to ${minutes} min twice, decoded`,
    "s",
    (listened - began) / 1e3,
    "real time",
    2 * seconds,
  );
  yield row(
    `offset and rate of ${minutes} min against ${minutes} min`,
    "s",
    (ended - listened) / 1e3,
    "real time",
    seconds,
  );
  yield row(
    "worst error of that placement at any moment",
    "ms",
    worst * 1e3,
    "one sample at 48 kHz",
    1e3 / 48_000,
  );
  const scipy = scipyCorrelation(near, device, 1);
  if (scipy) {
    const reference = `signal.correlate of scipy ${scipy.version}`;
    yield row(`the same pair, every sample's lag`, "s", (ended - listened) / 1e3, reference, scipy.seconds);
    yield row("the same, with listening", "s", (ended - began) / 1e3, reference, scipy.seconds);
    // One lag for all: what a clock that drifts leaves at the ends counts against it, as it does against us.
    const lag = scipy.lag / listeningRateHz;
    const off = (t: number) => lag - start - t * ratePpm * 1e-6;
    const theirs = Math.max(Math.abs(off(0)), Math.abs(off(other.seconds)));
    yield row("worst error of that, at any moment", "ms", worst * 1e3, reference, theirs * 1e3);
  }
  yield* scipyRows(makeFft);
  yield row("error of that rate", "ppm", Math.abs(solved.line.ratePpm - ratePpm), "goal from 10 min on", 0.1);
};
export default clockBench;

function listenTo(makeFft: FftMaker, sound: Float32Array): Listened {
  const kept = new CompactSound();
  const onsets = new OnsetListener(makeFft);
  for (let at = 0; at < sound.length; at += 65_536) {
    kept.append(sound.subarray(at, at + 65_536));
    onsets.append(sound.subarray(at, at + 65_536));
  }
  kept.finish();
  return { sound: kept, onsets: onsets.finish(), seconds: sound.length / listeningRateHz };
}

/** Bursts of noise of a tenth to a third of a second, duller and brighter in turn. */
function syllables(seconds: number): Float32Array {
  const sound = lcgNoise(seconds * listeningRateHz, 5);
  const chance = lcgNoise(seconds * 12, 6);
  let at = 0;
  for (let k = 0; at < sound.length; k++) {
    const length = Math.round((0.1 + 0.12 * (1 + chance[3 * k]!)) * listeningRateHz);
    const bright = 0.2 + 0.35 * (1 + chance[3 * k + 1]!);
    const loud = k % 9 === 8 ? 0.003 : 0.2 + 0.1 * chance[3 * k + 2]!;
    let held = 0;
    for (let i = at; i < Math.min(sound.length, at + length); i++) {
      held += bright * (sound[i]! - held);
      sound[i] = held * loud * Math.sin((Math.PI * (i - at)) / length);
    }
    at += length;
  }
  return sound;
}

/** The direct sound, reflections 2 to 40 ms later, and noise 10 dB under. */
function heardInRoom(dry: Float32Array): Float32Array {
  const wet = lcgNoise(dry.length, 8);
  const delays = lcgNoise(60, 9).map((v) => Math.round((0.021 + 0.019 * v) * listeningRateHz));
  for (let i = 0; i < dry.length; i++) {
    let v = 0.3 * dry[i]! + 0.003 * wet[i]!;
    for (let k = 0; k < delays.length; k++) v += (k % 2 ? -0.06 : 0.06) * (dry[i - delays[k]!] ?? 0);
    wet[i] = v;
  }
  return wet;
}

async function transformRow(makeFft: FftMaker) {
  const size = 2 ** 18;
  const fft = makeFft(size);
  const x = lcgNoise(size);
  const spectrum = new Float32Array(size);
  fft.forward(x, spectrum);
  const ours = timed(20, () => fft.forward(x, spectrum));
  const re = Float64Array.from(x);
  const im = new Float64Array(size);
  return {
    chapter: "clock",
    what: "Fourier transform of 262 144 samples",
    unit: "ms",
    ours,
    reference: "radix 2 as in textbooks, this language",
    theirs: timed(3, () => radix2(re, im)),
  };
}

async function correlationRow(makeFft: FftMaker) {
  const size = 8192;
  const fft = makeFft(2 * size);
  const [a, b] = [new Float32Array(2 * size), new Float32Array(2 * size)];
  a.set(lcgNoise(size, 1));
  b.set(lcgNoise(size, 2));
  const [x, y] = [new Float32Array(2 * size), new Float32Array(2 * size)];
  const ours = timed(20, () => {
    fft.forward(a, x);
    fft.forward(b, y);
    for (let k = 2; k < x.length; k += 2) {
      const re = x[k]! * y[k]! + x[k + 1]! * y[k + 1]!;
      x[k + 1] = x[k]! * y[k + 1]! - x[k + 1]! * y[k]!;
      x[k] = re;
    }
    fft.inverse(x, x);
  });
  const direct = new Float64Array(2 * size);
  const theirs = timed(1, () => {
    for (let lag = -size + 1; lag < size; lag++) {
      let sum = 0;
      for (let i = Math.max(0, -lag); i < Math.min(size, size - lag); i++) sum += a[i]! * b[i + lag]!;
      direct[lag + size] = sum;
    }
  });
  return {
    chapter: "clock",
    what: "correlation of 8192 samples at every lag",
    unit: "ms",
    ours,
    reference: "its definition",
    theirs,
  };
}

/** One correlation of 2^20 samples at every lag beside scipy's of the same numbers; nothing without scipy. */
async function* scipyRows(makeFft: FftMaker) {
  const n = 2 ** 20;
  const first = lcgNoise(n, 3);
  const second = lcgNoise(n, 4);
  for (let i = 0; i + 777 < n; i++) second[i]! += 0.1 * first[i + 777]!;
  const lags = [-400_000, -3, 0, 777, 5000, 300_001];
  const scipy = scipyCorrelation(first, second, 5, lags);
  if (!scipy) return;
  const fft = makeFft(2 * n);
  const a = new Float32Array(2 * n);
  const correlate = () => {
    const bank = fft.correlations([first]);
    bank.sum([second], a);
    bank.free();
  };
  correlate();
  const ours = Math.min(...Array.from({ length: 5 }, () => timed(1, correlate)));
  const reference = `signal.correlate of scipy ${scipy.version}`;
  const what = "correlation of 2^20 samples at every lag";
  yield { chapter: "clock", what, unit: "ms", ours, reference, theirs: 1e3 * scipy.seconds };
  const exact = lags.map((lag) => {
    let sum = 0;
    for (let i = Math.max(0, -lag); i < Math.min(n, n - lag); i++) sum += first[i + lag]! * second[i]!;
    return sum;
  });
  const off = (values: readonly number[]) => Math.max(...values.map((v, k) => Math.abs(v - exact[k]!)));
  yield {
    chapter: "clock",
    what: "its largest error against the definition",
    unit: "",
    ours: off(lags.map((lag) => a[(lag + 2 * n) % (2 * n)]!)),
    reference,
    theirs: off(scipy.values),
  };
}

function timed(times: number, work: () => void): number {
  const from = performance.now();
  for (let i = 0; i < times; i++) work();
  return (performance.now() - from) / times;
}

/** Cooley & Tukey (1965), in place. */
function radix2(re: Float64Array, im: Float64Array): void {
  const n = re.length;
  for (let i = 1, j = 0; i < n; i++) {
    let bit = n >> 1;
    for (; j & bit; bit >>= 1) j ^= bit;
    j ^= bit;
    if (i < j) [re[i], re[j], im[i], im[j]] = [re[j]!, re[i]!, im[j]!, im[i]!];
  }
  for (let size = 2; size <= n; size *= 2) {
    const step = (-2 * Math.PI) / size;
    for (let first = 0; first < n; first += size)
      for (let k = 0; k < size / 2; k++) {
        const [c, s] = [Math.cos(step * k), Math.sin(step * k)];
        const [p, q] = [first + k, first + k + size / 2];
        const [qr, qi] = [re[q]! * c - im[q]! * s, re[q]! * s + im[q]! * c];
        [re[q], im[q]] = [re[p]! - qr, im[p]! - qi];
        [re[p], im[p]] = [re[p]! + qr, im[p]! + qi];
      }
  }
}
