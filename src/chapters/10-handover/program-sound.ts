import type { MeasureContext } from "#documents/chapter";
import type { SoundBlock } from "#documents/media-reader";
import { TruePeakLimiter } from "#science/sound-level/limiter";
import { assembleSound, type SoundPiece } from "./assemble-sound.ts";
import type { HandoverInputs } from "./handover-inputs.ts";
import type { Program } from "./program.ts";
import { findRoomTone } from "./room-tone.ts";

const rateHz = 48_000;
/** Nearer to the target than this is left alone, LU; the promise is half a unit. */
const nearEnoughLu = 0.15;
const mostRounds = 3;
/** Meters of true peak differ by this much; a lossy copy overshoots a little more. */
const ceilingGuardDb = 0.5;
const silence = -69;

export interface ProgramSound {
  readonly path: string;
  readonly loudness: { readonly integrated: number; readonly truePeak: number; readonly range: number };
}

/**
 * Writes the sound of the cut: the dialogue track over its runs, then one constant gain to the target and a
 * limiter for peaks that would pass the ceiling.
 *
 * Both channels carry the same: a player sends it to both loudspeakers, and the loudness is that of what is heard.
 * The name is written again each round: the last one stays.
 */
export async function writeProgramSound(
  program: Program,
  inputs: HandoverInputs,
  context: MeasureContext,
  progress: (done: number) => void,
): Promise<ProgramSound> {
  const dialogue = { path: inputs.voice.files[0]!, start: inputs.voice.dialogueStart };
  const pieces = soundPieces(program, dialogue.start);
  const tone = await findRoomTone(context, dialogue, inputs.story.speech);
  const read = (first: number, end: number) => trackSamples(context, dialogue.path, first, end);
  const timeReferenceSamples = Math.round(
    (program.firstFrame * program.rate.den * rateHz) / program.rate.num,
  );
  const write = (gainDb: number): Promise<string> =>
    context.writeSound(
      "sound/program-mix.wav",
      {
        sampleRateHz: rateHz,
        channels: 2,
        bits: 24,
        timeReferenceSamples,
        description: `${program.title}: sound of the first cut`,
      },
      bothChannels(
        levelled(assembleSound(pieces, read, tone), gainDb, inputs.truePeakCeiling - ceilingGuardDb),
      ),
    );
  let gainDb = 0;
  let path = await write(gainDb);
  let loudness = await context.loudness(path);
  for (let round = 0; round < mostRounds; round++) {
    progress((round + 1) / (mostRounds + 1));
    const missing = inputs.loudnessTarget - loudness.integrated;
    if (!Number.isFinite(missing) || loudness.integrated <= silence || Math.abs(missing) <= nearEnoughLu)
      break;
    gainDb += missing;
    path = await write(gainDb);
    loudness = await context.loudness(path);
  }
  return { path, loudness };
}

/** The runs of a program as pieces of the dialogue track; touching, so that rounding never opens a hole. */
export function soundPieces({ rate, runs }: Program, dialogueStart: number): SoundPiece[] {
  const sample = (frame: number): number => Math.round((frame * rate.den * rateHz) / rate.num);
  return runs.map(({ startFrame, frames, sittingStart }) => ({
    at: sample(startFrame),
    from: Math.round((sittingStart - dialogueStart) * rateHz),
    length: sample(startFrame + frames) - sample(startFrame),
  }));
}

async function* trackSamples(
  context: MeasureContext,
  path: string,
  first: number,
  end: number,
): AsyncGenerator<{ first: number; samples: Float32Array }> {
  if (end <= 0) return;
  const wish = { startSeconds: Math.max(0, first) / rateHz, endSeconds: end / rateHz };
  for await (const { firstSample, channels } of context.madeSound(path, wish)) {
    context.signal.throwIfAborted();
    const samples = channels[0]!;
    // A reader may round the range outwards by a sample.
    const early = Math.max(0, first - firstSample);
    if (early < samples.length) yield { first: firstSample + early, samples: samples.subarray(early) };
  }
}

async function* levelled(
  blocks: AsyncIterable<Float32Array>,
  gainDb: number,
  ceilingDbtp: number,
): AsyncGenerator<Float32Array> {
  const gain = 10 ** (gainDb / 20);
  const limiter = new TruePeakLimiter(ceilingDbtp);
  for await (const samples of blocks) {
    const out = limiter.push(samples.map((x) => x * gain));
    if (out.length > 0) yield out;
  }
  const rest = limiter.finish();
  if (rest.length > 0) yield rest;
}

async function* bothChannels(blocks: AsyncIterable<Float32Array>): AsyncGenerator<SoundBlock> {
  let firstSample = 0;
  for await (const samples of blocks) {
    yield { firstSample, channels: [samples, samples.slice()] };
    firstSample += samples.length;
  }
}
