import type { MeasureContext } from "#documents/chapter";
import { TruePeakLimiter } from "#science/sound-level/limiter";
import { inStep } from "./in-step.ts";
import { type Match, Mixer } from "./mix.ts";
import type { Segment } from "./segments.ts";
import { asSoundBlocks, trackRateHz } from "./track.ts";

export interface LoudnessFigures {
  readonly integrated: number;
  readonly truePeak: number;
  readonly range: number;
}

const blockSamples = 32_768;
/** Meters of true peak differ by this much; the ceiling is a promise. */
const ceilingGuardDb = 0.25;
const nearEnoughLu = 0.2;
const mostRounds = 3;
/** Lifting a voice farther than this lifts the room with it: something else is wrong. */
const mostGainDb = 40;

async function* madeBlocks(context: MeasureContext, path: string): AsyncGenerator<Float32Array> {
  for await (const block of context.madeSound(path, {})) {
    context.signal.throwIfAborted();
    yield block.channels[0]!;
  }
}

async function* mixed(
  context: MeasureContext,
  paths: { readonly lav: string | null; readonly boom: string | null },
  segments: readonly Segment[],
  match: Match,
): AsyncGenerator<Float32Array> {
  const mixer = new Mixer(segments, match);
  const open = (path: string | null): AsyncIterable<Float32Array> | null =>
    path ? madeBlocks(context, path) : null;
  for await (const [lav, boom] of inStep(open(paths.lav), open(paths.boom), blockSamples))
    yield mixer.push(lav, boom);
}

async function* levelled(
  blocks: AsyncIterable<Float32Array>,
  gainDb: number,
  limiter: TruePeakLimiter,
): AsyncGenerator<Float32Array> {
  const gain = 10 ** (gainDb / 20);
  for await (const samples of blocks) {
    const out = limiter.push(samples.map((x) => x * gain));
    if (out.length > 0) yield out;
  }
  const rest = limiter.finish();
  if (rest.length > 0) yield rest;
}

/**
 * Writes `dialogue.wav` at the wanted loudness with its true peak held, and measures the file itself.
 *
 * First the mix as it is, measured; then the same with one constant gain and a limiter for the few peaks that
 * would pass the ceiling; once more if limiting has moved the loudness. No compression. The name is written
 * again each round: the last one stays.
 */
export async function writeDialogue(
  context: MeasureContext,
  paths: { readonly lav: string | null; readonly boom: string | null },
  segments: readonly Segment[],
  match: Match,
  wish: { readonly loudnessTarget: number; readonly truePeakCeiling: number },
  progress: (done: number) => void,
): Promise<{ path: string; loudness: LoudnessFigures; gainDb: number; deepestDb: number }> {
  const write = (blocks: AsyncIterable<Float32Array>, bits: 24 | 32, description: string): Promise<string> =>
    context.writeSound(
      "dialogue.wav",
      { sampleRateHz: trackRateHz, channels: 1, bits, description },
      asSoundBlocks(blocks),
    );
  let path = await write(mixed(context, paths, segments, match), 32, "Dialogue before its level was set");
  let loudness = await context.loudness(path);
  progress(0.4);
  let gainDb = 0;
  let deepestDb = 0;
  for (let round = 0; round < mostRounds; round++) {
    const missing = wish.loudnessTarget - loudness.integrated;
    // Silence has no loudness; there is nothing to lift.
    if (!Number.isFinite(missing) || loudness.integrated <= -69) break;
    if (round > 0 && Math.abs(missing) <= nearEnoughLu) break;
    const next = Math.min(mostGainDb, gainDb + missing);
    if (round > 0 && Math.abs(next - gainDb) < 0.05) break;
    gainDb = next;
    const limiter = new TruePeakLimiter(wish.truePeakCeiling - ceilingGuardDb);
    path = await write(levelled(mixed(context, paths, segments, match), gainDb, limiter), 24, "Dialogue");
    deepestDb = limiter.deepestDb;
    loudness = await context.loudness(path);
    progress(0.4 + (0.6 * (round + 1)) / mostRounds);
  }
  return { path, loudness, gainDb, deepestDb };
}
