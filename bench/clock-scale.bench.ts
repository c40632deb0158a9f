import { clock } from "#clock/clock";
import { listeningRateHz } from "#clock/constants";
import { lcgNoise } from "#science/signal/lcg-noise";
import { sampleAt } from "#science/signal/sample-at";
import { chanceOf } from "./clock-case.ts";
import { type BenchRecording, benchContext, benchRecording, type Samples } from "./clock-media.ts";
import { phrasesOf, say } from "./clock-speech.ts";
import type { Bench } from "./row.ts";

const hours = Number(process.env.HOURS ?? 2);
const blockSeconds = 20;
const block = blockSeconds * listeningRateHz;

/** Processor milliseconds of this process: what others do on the machine changes them little. */
function processorMs(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e3;
}

/** Four recordings of two hours that are never held: made where they are asked for, from the number of the block. */
const clockScaleBench: Bench = async function* () {
  const phrases = await phrasesOf(9, 240, chanceOf(1));
  const blocks = new Map<number, Float32Array>();
  const voice = (k: number): Float32Array => {
    let sound = blocks.get(k);
    if (!sound) {
      sound = new Float32Array(block);
      say(sound, phrases, 0, block - listeningRateHz, chanceOf(1000 + k));
      blocks.set(k, sound);
      if (blocks.size > 12) blocks.delete(blocks.keys().next().value!);
    }
    return sound;
  };
  const stretch = (first: number, length: number): Float32Array => {
    const out = new Float32Array(length);
    for (let at = Math.max(0, first); at < first + length; ) {
      const k = Math.floor(at / block);
      const inside = at - k * block;
      const n = Math.min(block - inside, first + length - at);
      out.set(voice(k).subarray(inside, inside + n), at - first);
      at += n;
    }
    return out;
  };
  let making = 0;
  /** Heard with some reflections and noise by a clock of its own. */
  const heard = (start: number, ppm: number, seed: number): Samples => {
    const echoes = lcgNoise(24, seed).map((v) => Math.round((0.02 + 0.018 * v) * listeningRateHz));
    return (first, end) => {
      const began = processorMs();
      const out = new Float32Array(end - first);
      const from = start * listeningRateHz + first * (1 + ppm * 1e-6);
      const spare = 700;
      const whole = Math.floor(from) - spare;
      const dry = stretch(whole, Math.ceil(out.length * (1 + Math.abs(ppm) * 1e-6)) + 2 * spare);
      const wet = dry.map((v) => 0.5 * v);
      for (const [k, delay] of echoes.entries())
        for (let i = delay; i < dry.length; i++) wet[i]! += (k % 2 ? -0.08 : 0.08) * dry[i - delay]!;
      sampleAt(wet, from - whole, 1 + ppm * 1e-6, out);
      const noise = lcgNoise(out.length, seed + first);
      for (let i = 0; i < out.length; i++) out[i]! += 0.004 * noise[i]!;
      making += processorMs() - began;
      return out;
    };
  };
  const close: Samples = (first, end) => {
    const began = processorMs();
    const out = stretch(first, end - first);
    making += processorMs() - began;
    return out;
  };
  const seconds = hours * 3600;
  const clocks = [
    { start: 4, ppm: 37 },
    { start: 11.3, ppm: -62 },
    { start: 2.7, ppm: 18 },
  ];
  const held: BenchRecording[] = [
    benchRecording("A", "A.wav", seconds, close, "lav"),
    ...clocks.map(({ start, ppm }, i) =>
      benchRecording("BCD"[i]!, `${"BCD"[i]}.wav`, seconds - 20, heard(start, ppm, 70 + i)),
    ),
  ];
  let most = 0;
  const watching = setInterval(() => {
    most = Math.max(most, process.memoryUsage().rss);
  }, 200);
  let listened = 0;
  const began = processorMs();
  let madeWhileListening = 0;
  const context = benchContext(held);
  const result = await clock.measure(
    { recordings: held.map((h) => h.recording), master: null },
    {
      ...context,
      progress: (_share, doing) => {
        most = Math.max(most, process.memoryUsage().rss);
        if (doing?.startsWith("listening")) {
          listened = processorMs();
          madeWhileListening = making;
        }
      },
    },
  );
  const ended = processorMs();
  clearInterval(watching);
  const row = (what: string, unit: string, ours: number, reference: string, theirs: number) => ({
    chapter: "clock",
    what: `${hours} h x 4: ${what}`,
    unit,
    ours,
    reference,
    theirs,
  });
  const whole = 4 * seconds;
  yield row(
    "listening, processor time",
    "s",
    (listened - began - madeWhileListening) / 1e3,
    "real time",
    whole,
  );
  yield row(
    "solving, processor time",
    "s",
    (ended - listened - (making - madeWhileListening)) / 1e3,
    "goal",
    10,
  );
  yield row("resident memory, most", "MB", most / 1e6, "goal", 600);
  const errors = clocks.map(({ start, ppm }, i) => {
    const { offset, ratePpm } = result.recordings[i + 1]!;
    const off = (t: number) => Math.abs((offset ?? Number.NaN) - start + t * ((ratePpm ?? 0) - ppm) * 1e-6);
    return Math.max(off(0), off(seconds));
  });
  yield row("worst error at any moment", "ms", 1e3 * Math.max(...errors), "goal", 0.05);
};
export default clockScaleBench;
