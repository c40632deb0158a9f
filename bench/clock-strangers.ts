import { CompactSound } from "#clock/compact-sound";
import { listeningRateHz } from "#clock/constants";
import type { Listened } from "#clock/listened";
import { OnsetListener } from "#clock/onsets";
import { comparePair } from "#clock/pair";
import { loadFft } from "#science/signal/fft";
import { chanceOf, ownNoise } from "./clock-case.ts";
import { addConvolved, clickResponse } from "./clock-room.ts";
import { type Chance, conversation, phrasesOf, say, startSpeechAnew, talkers } from "./clock-speech.ts";

/** What is heard in a piece. */
export const kinds = ["one talker", "two talkers", "music", "noise", "talk over music"] as const;
export type Kind = (typeof kinds)[number];

export interface Piece {
  readonly kind: Kind;
  readonly listened: Listened;
}

/**
 * Pieces of 20 to 60 s that have nothing in common: synthetic voices (each of {@link talkers} several times over,
 * never with the same words), music-like notes on one scale and few tempos, swelling noise; each in a room of its
 * own, most with room noise, some with mains hum.
 */
export async function makePieces(count: number, seed: number): Promise<Piece[]> {
  const makeFft = await loadFft();
  const pieces: Piece[] = [];
  for (let p = 0; p < count; p++) {
    startSpeechAnew();
    const chance = chanceOf(seed + p);
    const kind = kinds[[0, 0, 0, 0, 1, 1, 1, 2, 3, 4][p % 10]!]!;
    const seconds = 20 + 40 * chance();
    const dry = await piece(kind, seconds, p, chance);
    const room = {
      size: [3.5 + 4 * chance(), 3 + 3 * chance(), 2.4 + chance()] as const,
      reverberationSeconds: 0.2 + chance(),
    };
    const wet = new Float32Array(dry.length);
    const metres = 0.2 + 2 * chance();
    const mouth = [1.2, 1.1, 1.2] as const;
    await addConvolved(
      wet,
      dry,
      clickResponse(room, mouth, [1.2, 1.1 + metres * 0.6, 1.2 + metres * 0.3], 1, chance),
    );
    const noise = ownNoise(wet.length, Math.floor(2 ** 32 * chance()));
    let power = 0;
    for (const v of wet) power += v * v;
    const level = Math.sqrt((3 * power) / wet.length) * 10 ** (-(40 * chance()) / 20);
    const hum = chance() < 0.2 ? 0.3 * Math.sqrt(power / wet.length) : 0;
    for (let i = 0; i < wet.length; i++) {
      wet[i]! += level * noise[i]!;
      if (hum > 0)
        for (const k of [1, 2, 3, 5, 7])
          wet[i]! += (hum / k) * Math.sin((2 * Math.PI * 50 * k * i) / listeningRateHz + k);
    }
    const sound = new CompactSound();
    const onsets = new OnsetListener(makeFft);
    sound.append(wet);
    sound.finish();
    onsets.append(wet);
    pieces.push({
      kind,
      listened: { sound, onsets: onsets.finish(), seconds: wet.length / listeningRateHz },
    });
  }
  return pieces;
}

async function piece(kind: Kind, seconds: number, p: number, chance: Chance): Promise<Float32Array> {
  const voice = (offset: number) => phrasesOf((p + offset) % talkers, seconds, chance);
  if (kind === "two talkers") {
    const { answers, questions } = conversation(seconds, await voice(0), await voice(17), chance);
    for (let i = 0; i < answers.length; i++) answers[i]! += questions[i]!;
    return answers;
  }
  const out = new Float32Array(Math.round(seconds * listeningRateHz));
  if (kind !== "music" && kind !== "noise") say(out, await voice(0), 0, out.length, chance);
  if (kind === "music" || kind === "talk over music") playNotes(out, kind === "music" ? 0.2 : 0.04, chance);
  if (kind === "noise") {
    const noise = ownNoise(out.length, Math.floor(2 ** 32 * chance()));
    const swells = 0.3 + 3 * chance();
    for (let i = 0; i < out.length; i++)
      out[i] = 0.2 * noise[i]! * (1 + Math.sin((2 * Math.PI * swells * i) / listeningRateHz)) ** 2;
  }
  return out;
}

/** Notes of one minor scale, each with harmonics and a sharp beginning, at one of four tempos. */
function playNotes(out: Float32Array, level: number, chance: Chance): void {
  const scale = [0, 2, 3, 5, 7, 8, 10, 12];
  const beat = Math.round((60 / [90, 100, 120, 132][Math.floor(4 * chance())]! / 2) * listeningRateHz);
  for (let at = 0; at < out.length; at += beat) {
    if (chance() < 0.2) continue;
    const hz = 110 * 2 ** (Math.floor(3 * chance()) + scale[Math.floor(8 * chance())]! / 12);
    const rings = Math.round((1 + chance()) * beat);
    for (let h = 1; h <= 6 && h * hz < 7500; h++) {
      const turn = (2 * Math.PI * h * hz) / listeningRateHz;
      for (let i = 0; i < rings && at + i < out.length; i++)
        out[at + i]! += (level / h) * Math.exp((-4 * i) / rings) * Math.sin(turn * i);
    }
  }
}

export interface StrangerScore {
  readonly kinds: readonly [Kind, Kind];
  readonly score: number;
  readonly isPlaced: boolean;
}

/** Compares every pair of pieces (first < second), those of one residue of the running number alone, but for the first few. */
export async function* strangerScores(
  pieces: readonly Piece[],
  residue: number,
  of: number,
  done = 0,
): AsyncGenerator<StrangerScore> {
  const makeFft = await loadFft();
  let number = 0;
  for (let i = 0; i < pieces.length; i++)
    for (let j = i + 1; j < pieces.length; j++) {
      if (number++ % of !== residue || Math.floor((number - 1) / of) < done) continue;
      const [a, b] = [pieces[i]!, pieces[j]!];
      const outcome = await comparePair(makeFft, a.listened, b.listened, async () => {});
      yield { kinds: [a.kind, b.kind], score: outcome.score, isPlaced: outcome.match !== null };
    }
}
