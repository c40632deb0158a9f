import { fork } from "node:child_process";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { listeningRateHz } from "#clock/constants";
import { openMovieWriter } from "#outside/media/movie-writer";
import { writeSoundFile } from "#outside/media/sound-file";
import { sampleAt } from "#science/signal/sample-at";
import type { ScaleOutcome, ScaleRecording } from "./clock-scale-run.ts";
import { type DeviceClock, rawSamples, writeHeard, writeVoice } from "./clock-scale-sound.ts";
import type { Bench, BenchRow } from "./row.ts";

/** Of the four long recordings; `HOURS=0.1` is quick. The one with clips is half as long again. */
const hours = Number(process.env.HOURS ?? 2);
/** Of each file that is decoded. */
const decodedMinutes = Math.min(30, 30 * hours);

/** Each run in a process of its own, as Clock runs in the application, so that the memory told is its alone. */
const clockScaleBench: Bench = async function* () {
  const folder = await mkdtemp(join(tmpdir(), "gemel-bench-scale-"));
  try {
    const seconds = 1.5 * hours * 3600;
    const voice = join(folder, "A.raw");
    await writeVoice(voice, seconds);
    yield* fourLong(folder, voice);
    yield* longWithClips(folder, voice, seconds);
    yield* decoded(folder, voice);
  } finally {
    await rm(folder, { recursive: true });
  }
};
export default clockScaleBench;

async function* fourLong(folder: string, voice: string): AsyncGenerator<BenchRow> {
  const seconds = hours * 3600;
  const clocks = new Map<string, DeviceClock>([
    ["B", { start: 4, ppm: 37 }],
    ["C", { start: 11.3, ppm: -62 }],
    ["D", { start: 2.7, ppm: 18 }],
  ]);
  const recordings: ScaleRecording[] = [{ device: "A", path: voice, seconds, role: "lav" }];
  const truth = new Map<string, DeviceClock>();
  for (const [device, clock] of clocks) {
    const path = join(folder, `${device}.raw`);
    writeHeard(voice, path, seconds - 20, clock, 70 + recordings.length);
    recordings.push({ device, path, seconds: seconds - 20, role: null });
    truth.set(path, clock);
  }
  const outcome = await run(recordings);
  const row = rowOf(`${hours} h x 4`);
  const { listening, comparing, rest, reading } = outcome;
  yield row("listening", "s", listening, "real time", 4 * seconds);
  yield row("comparing the pairs", "s", comparing, "real time", 4 * seconds);
  yield row("loops, solution, claps", "s", rest, "real time", 4 * seconds);
  yield row("all of it, reading the sound too", "s", listening + comparing + rest, "goal", 10);
  yield row(
    "reading the sound from disk, most of it beside the rest",
    "s",
    reading,
    "real time",
    4 * seconds,
  );
  yield row("processor time of it all", "s", outcome.processor, "real time", 4 * seconds);
  yield row("resident memory, most", "MB", outcome.most, "goal", 600);
  yield row("of that before anything was heard", "MB", outcome.before, "goal", 600);
  yield row("worst error at any moment", "ms", 1e3 * worstError(outcome, truth, seconds), "goal", 0.05);
}

async function* longWithClips(folder: string, voice: string, seconds: number): AsyncGenerator<BenchRow> {
  const recordings: ScaleRecording[] = [{ device: "A", path: voice, seconds, role: "lav" }];
  const truth = new Map<string, DeviceClock>();
  const lengths = [40, 90, 240, 600, 45, 1200].map((length) => Math.min(length, seconds / 8));
  for (const [k, length] of lengths.entries()) {
    const device = k % 2 ? "C" : "B";
    const clock = { start: ((k + 0.37) / (lengths.length + 0.5)) * seconds * 0.98, ppm: k % 2 ? -62 : 37 };
    const path = join(folder, `clip-${k}.raw`);
    writeHeard(voice, path, length, clock, 80 + k);
    recordings.push({ device, path, seconds: length, role: null });
    truth.set(path, clock);
  }
  const outcome = await run(recordings);
  const row = rowOf(`${1.5 * hours} h and ${lengths.length} clips`);
  const { listening, comparing, rest } = outcome;
  yield row("clips placed", "", outcome.placed.filter((p) => p.offset !== null).length - 1, "all", 6);
  yield row("all of it, reading the sound too", "s", listening + comparing + rest, "real time", seconds);
  yield row("resident memory, most", "MB", outcome.most, "goal", 600);
  yield row("worst error at any moment", "ms", 1e3 * worstError(outcome, truth, 1200), "goal", 0.05);
}

/** Two sound-only files as devices write them: 24-bit WAV, and AAC in MP4, both 48 kHz stereo. */
async function* decoded(folder: string, voice: string): AsyncGenerator<BenchRow> {
  const seconds = decodedMinutes * 60;
  const heard = join(folder, "decoded.raw");
  const clock = { start: 4, ppm: 37 };
  writeHeard(voice, heard, seconds - 20, clock, 71);
  const [wav, aac] = [join(folder, "A.wav"), join(folder, "B.m4a.mp4")];
  await writeSoundFile(wav, { sampleRateHz: 48_000, channels: 2, bits: 24 }, stereo(voice, seconds));
  const writer = await openMovieWriter(aac, { sound: { codec: "aac", sampleRateHz: 48_000, channels: 2 } });
  for (const { channels } of stereo(heard, seconds - 20)) await writer.sound(channels);
  await writer.close();
  const outcome = await run([
    { device: "A", path: wav, seconds: null, role: "lav" },
    { device: "B", path: aac, seconds: null, role: null },
  ]);
  const { listening, comparing, rest, reading } = outcome;
  const row = rowOf(`${decodedMinutes} min WAV and AAC, with decoding`);
  yield row("sound a second of processor time", "x real time", (2 * seconds) / outcome.processor, "goal", 60);
  yield row(
    "sitting a second by the clock",
    "x real time",
    seconds / (listening + comparing + rest),
    "goal",
    60,
  );
  yield row("decoding, most of it beside the rest", "s", reading, "real time", 2 * seconds);
  yield row("resident memory, most", "MB", outcome.most, "goal", 600);
  yield row(
    "worst error at any moment",
    "ms",
    1e3 * worstError(outcome, new Map([[aac, clock]]), seconds),
    "goal",
    0.05,
  );
}

function* stereo(
  path: string,
  seconds: number,
): Generator<{ firstSample: number; channels: Float32Array[] }> {
  const samples = rawSamples(path);
  const step = 4 * listeningRateHz;
  for (let first = 0; first < seconds * listeningRateHz; first += step) {
    const block = samples(first - 32, Math.min(seconds * listeningRateHz, first + step) + 32);
    const out = new Float32Array(3 * (block.length - 64));
    sampleAt(block, 32, 1 / 3, out);
    yield { firstSample: 3 * first, channels: [out, out] };
  }
}

function run(recordings: readonly ScaleRecording[]): Promise<ScaleOutcome> {
  return new Promise((resolve, reject) => {
    const child = fork(new URL("./clock-scale-run.js", import.meta.url), {
      execArgv: process.env.PROFILE ? ["--cpu-prof", `--cpu-prof-dir=${process.env.PROFILE}`] : [],
    });
    child.once("message", (outcome) => resolve(outcome as ScaleOutcome));
    child.once("error", reject);
    child.once("exit", () => reject(new Error("the run ended without an outcome")));
    child.send(recordings);
  });
}

const rowOf =
  (which: string) =>
  (what: string, unit: string, ours: number, reference: string, theirs: number): BenchRow => ({
    chapter: "clock",
    what: `${which}: ${what}`,
    unit,
    ours,
    reference,
    theirs,
  });

/** Of those in `truth`, at the first moment or after `seconds`; NaN where one was not placed. */
function worstError(outcome: ScaleOutcome, truth: ReadonlyMap<string, DeviceClock>, seconds: number): number {
  return Math.max(
    ...[...truth].map(([path, { start, ppm }]) => {
      const { offset, ratePpm } = outcome.placed.find((p) => p.path === path)!;
      const off = (t: number) => Math.abs((offset ?? Number.NaN) - start + t * ((ratePpm ?? 0) - ppm) * 1e-6);
      return Math.max(off(0), off(seconds));
    }),
  );
}
