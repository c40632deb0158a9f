import type { MeasureContext } from "#documents/chapter";
import { localFromSitting, sittingFromLocal } from "#science/placement/placement";
import { cepstra } from "#science/speech/cepstra";
import { decibels, PowerMeter, quantileOf } from "#science/speech/power-meter";
import { speechStretches, stretchesWithout, type TimeStretch } from "#science/speech/speech-stretches";
import { splitTalkers, type TalkerStretch } from "#science/speech/two-talkers";
import { findFalseStarts, mayBeFalseStart, openingSeconds } from "./false-starts.ts";
import { type Ear, listeningPlaces } from "./listening-places.ts";
import { splitAtSilence } from "./split-at-silence.ts";
import type { StoryInputs } from "./story-inputs.ts";
import type { FalseStart, StoryMaterial } from "./story-material.ts";

const rateHz = 16_000;
/** Levels for cut points, every 10 ms; levels for telling voices, every 32 ms as the speech model has them. */
const fineHop = 160;
const coarseHop = 512;
const fineSeconds = fineHop / rateHz;
const coarseSeconds = coarseHop / rateHz;
/** A clap rings for less than this, and no word is within reach of it; seconds. */
const clapRings = 0.5;
const aloneSeconds = 0.6;

/** Listens to the sitter's microphone and, for comparison, to one that stands free. */
export async function listen(inputs: StoryInputs, context: MeasureContext): Promise<StoryMaterial> {
  const places = listeningPlaces(inputs);
  const heard: HeardPlace[] = [];
  for (const [i, place] of places.entries()) {
    context.progress((0.6 * i) / places.length, `listening to ${place.voice.recording.path}`);
    heard.push(await listenToOne(place, inputs, context));
  }
  return joinPlaces(heard);
}

interface HeardPlace {
  readonly from: number;
  readonly to: number;
  readonly phrases: readonly TalkerStretch[];
  readonly falseStarts: readonly FalseStart[];
  readonly claps: readonly number[];
  readonly levelDb: Float32Array;
  readonly twoTalkers: boolean;
  readonly separationDb: number;
}

async function listenToOne(
  { voice, others }: { voice: Ear; others: Ear[] },
  inputs: StoryInputs,
  context: MeasureContext,
): Promise<HeardPlace> {
  const activity = await context.speech(voice.recording, voice.channel);
  const inVoice = speechStretches(activity.probability, activity.windowSeconds);
  const powers = await powersOf(voice, others, context);
  const levelDb = Float32Array.from(powers.fine, decibels);

  // A voice that the sitter's own microphone hardly hears may still be plain to the other.
  const beside: TimeStretch[] = [];
  const freeEar = others[0];
  if (freeEar && freeEar.recording.hash === voice.recording.hash) {
    const free = await context.speech(freeEar.recording, freeEar.channel);
    const inFree = speechStretches(free.probability, free.windowSeconds);
    const around = inVoice.map(({ start, end }) => ({ start: start - 0.1, end: end + 0.3 }));
    beside.push(...stretchesWithout(inFree, around, 0.4));
  }
  const spoken = splitAtSilence(inVoice, levelDb, fineSeconds)
    .concat(beside)
    .sort((a, b) => a.start - b.start);
  const heardClaps = inputs.claps.map((at) => localFromSitting(voice.placement, at));
  const { stretches, claps } = partClaps(spoken, heardClaps);

  const {
    stretches: local,
    twoTalkers,
    separationDb,
  } = splitTalkers(talkerMeasure(powers.voice, powers.other, stretches), coarseSeconds, stretches);
  const openings = await readOpenings(voice, local, context);
  const onClock = (t: number): number => sittingFromLocal(voice.placement, t);
  return {
    from: onClock(0),
    to: onClock(powers.fine.length * fineSeconds),
    phrases: local.map(({ start, end, who }) => ({ start: onClock(start), end: onClock(end), who })),
    falseStarts: findFalseStarts(local, openings),
    claps: claps.map(onClock),
    levelDb,
    twoTalkers,
    separationDb,
  };
}

/**
 * Tells claps from words: what rings shortly, alone, at a moment that all recordings share as a sharp onset, is a
 * clap and no speech; an onset within a phrase is a consonant and no clap.
 */
export function partClaps(
  spoken: readonly TimeStretch[],
  onsets: readonly number[],
): { stretches: TimeStretch[]; claps: number[] } {
  const holds = ({ start, end }: TimeStretch, at: number): boolean => at > start - 0.1 && at < end + 0.1;
  const isAlone = (i: number): boolean =>
    spoken[i]!.start - (spoken[i - 1]?.end ?? Number.NEGATIVE_INFINITY) > aloneSeconds &&
    (spoken[i + 1]?.start ?? Number.POSITIVE_INFINITY) - spoken[i]!.end > aloneSeconds;
  const stretches = spoken.filter(
    (stretch, i) =>
      !(stretch.end - stretch.start < clapRings && isAlone(i) && onsets.some((at) => holds(stretch, at))),
  );
  return { stretches, claps: onsets.filter((at) => !stretches.some((stretch) => holds(stretch, at))) };
}

/** Levels of the voice's channel, and of the other ear on the voice's own windows; NaN where it was not running. */
async function powersOf(
  voice: Ear,
  others: readonly Ear[],
  context: MeasureContext,
): Promise<{ fine: Float32Array; voice: Float32Array; other: Float32Array | null }> {
  const same = others.find(({ recording }) => recording.hash === voice.recording.hash);
  const fine = new PowerMeter(fineHop);
  const coarse = new PowerMeter(coarseHop);
  const beside = new PowerMeter(coarseHop);
  const channels = same ? [voice.channel, same.channel] : [voice.channel];
  for await (const block of context.media.sound(voice.recording, { sampleRateHz: rateHz, channels })) {
    context.signal.throwIfAborted();
    fine.push(block.channels[0]!);
    coarse.push(block.channels[0]!);
    if (same) beside.push(block.channels[1]!);
  }
  const voicePowers = coarse.powers();
  if (same) return { fine: fine.powers(), voice: voicePowers, other: beside.powers() };
  if (others.length === 0) return { fine: fine.powers(), voice: voicePowers, other: null };
  const other = new Float32Array(voicePowers.length).fill(Number.NaN);
  for (const ear of others) {
    const meter = new PowerMeter(coarseHop);
    const wish = { sampleRateHz: rateHz, channels: [ear.channel] };
    for await (const block of context.media.sound(ear.recording, wish)) meter.push(block.channels[0]!);
    const powers = meter.powers();
    for (let i = 0; i < other.length; i++) {
      const sitting = sittingFromLocal(voice.placement, (i + 0.5) * coarseSeconds);
      const k = Math.floor(localFromSitting(ear.placement, sitting) / coarseSeconds);
      if (k >= 0 && k < powers.length) other[i] = powers[k]!;
    }
  }
  return { fine: fine.powers(), voice: voicePowers, other };
}

/**
 * Decibels that are high for whoever wears the microphone: the level there, plus how much louder it is there
 * than at the other ear. Room noise is taken off both; the other ear counts only if it ran nearly all the time.
 */
export function talkerMeasure(
  voice: Float32Array,
  other: Float32Array | null,
  stretches: readonly TimeStretch[],
): Float32Array {
  const spoken: number[] = [];
  for (const { start, end } of stretches)
    for (
      let i = Math.round(start / coarseSeconds);
      i < Math.min(voice.length, Math.round(end / coarseSeconds));
      i++
    )
      spoken.push(i);
  const covered = other ? spoken.filter((i) => Number.isFinite(other[i])).length : 0;
  const useOther = other !== null && covered >= 0.9 * spoken.length;
  const voiceDb = smoothedDb(voice);
  if (!useOther) return voiceDb;
  const otherDb = smoothedDb(other);
  const usual = quantileOf(
    spoken.map((i) => voiceDb[i]! - otherDb[i]!),
    0.5,
  );
  return voiceDb.map((db, i) => db + (Number.isFinite(otherDb[i]) ? db - otherDb[i]! : usual));
}

/** Decibels above the room, from powers averaged over a fifth of a second. */
function smoothedDb(powers: Float32Array): Float32Array {
  const floor = Math.max(quantileOf(powers, 0.1), 1e-11);
  const reach = 3;
  return Float32Array.from(powers, (_, i) => {
    let sum = 0;
    let count = 0;
    for (let k = Math.max(0, i - reach); k <= Math.min(powers.length - 1, i + reach); k++) {
      if (!Number.isFinite(powers[k]!)) continue;
      sum += powers[k]!;
      count++;
    }
    return count === 0 ? Number.NaN : decibels(Math.max(sum / count - floor, floor * 0.25));
  });
}

/** Cepstra of the openings that may be compared: the candidates, and enough others to know what is usual. */
async function readOpenings(
  voice: Ear,
  phrases: readonly TalkerStretch[],
  context: MeasureContext,
): Promise<(readonly Float32Array[] | null)[]> {
  const wanted = phrases.map((_, i) => mayBeFalseStart(phrases, i) || mayBeFalseStart(phrases, i - 1));
  if (!wanted.includes(true)) return phrases.map(() => null);
  // Every n-th phrase is enough to know how far this voice's openings usually lie apart.
  const step = Math.max(1, Math.floor(phrases.length / 60));
  const take = phrases.map((p, i) => p.who === "sitter" && (wanted[i] || i % step === 0));
  const ranges = phrases.map(({ start, end }) => ({
    first: Math.round(start * rateHz),
    end: Math.round(Math.min(end, start + openingSeconds) * rateHz),
  }));
  const clips = ranges.map(({ first, end }, i) => (take[i] ? new Float32Array(end - first) : null));
  const openings: (readonly Float32Array[] | null)[] = phrases.map(() => null);
  let next = 0;
  const sound = context.media.sound(voice.recording, { sampleRateHz: rateHz, channels: [voice.channel] });
  for await (const { firstSample, channels } of sound) {
    context.signal.throwIfAborted();
    const samples = channels[0]!;
    const blockEnd = firstSample + samples.length;
    for (let i = next; i < ranges.length && ranges[i]!.first < blockEnd; i++) {
      const { first, end } = ranges[i]!;
      const clip = clips[i];
      if (clip) {
        const from = Math.max(first, firstSample);
        const to = Math.min(end, blockEnd);
        if (to > from) clip.set(samples.subarray(from - firstSample, to - firstSample), from - first);
      }
      if (end > blockEnd) continue;
      if (clip) openings[i] ??= cepstra(clip);
      clips[i] = null;
      if (i === next) next++;
    }
  }
  for (const [i, clip] of clips.entries()) if (clip) openings[i] ??= cepstra(clip);
  return openings;
}

/** Puts the places one after another on the sitting's time; where two overlap the earlier one is heard. */
function joinPlaces(heard: readonly HeardPlace[]): StoryMaterial {
  const from = Math.min(...heard.map((place) => place.from));
  const to = Math.max(...heard.map((place) => place.to));
  const empty = heard.length === 0;
  const db = new Float32Array(empty ? 0 : Math.round((to - from) / fineSeconds)).fill(-120);
  const phrases: TalkerStretch[] = [];
  const falseStarts: FalseStart[] = [];
  let reached = Number.NEGATIVE_INFINITY;
  for (const place of heard) {
    const at = Math.round((place.from - from) / fineSeconds);
    for (let i = 0; i < place.levelDb.length && at + i < db.length; i++) db[at + i] = place.levelDb[i]!;
    const newIndex = new Map<number, number>();
    for (const [i, phrase] of place.phrases.entries()) {
      if (phrase.start < reached) continue;
      newIndex.set(i, phrases.length);
      phrases.push(phrase);
    }
    for (const tried of place.falseStarts) {
      const index = newIndex.get(tried.phrase);
      if (index !== undefined && newIndex.has(tried.phrase + 1))
        falseStarts.push({ ...tried, phrase: index });
    }
    reached = Math.max(reached, place.to);
  }
  return {
    from: empty ? 0 : from,
    to: empty ? 0 : to,
    phrases,
    falseStarts,
    claps: heard.flatMap((place) => place.claps).sort((a, b) => a - b),
    level: { stepSeconds: fineSeconds, db },
    twoTalkers: heard.some((place) => place.twoTalkers),
    separationDb: Math.max(0, ...heard.map((place) => place.separationDb)),
  };
}
