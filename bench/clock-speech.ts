import { listeningRateHz } from "#clock/constants";
import { sampleAt } from "#science/signal/sample-at";

/** Numbers in [0, 1). */
export type Chance = () => number;

interface Synthesiser {
  set_voice(name: string): void;
  set_rate(wordsPerMinute: number): void;
  set_pitch(pitch: number): void;
  set_range(range: number): void;
  get_samplerate(): number;
  synthesize(text: string, hear: (sound: Int16Array | null) => number): void;
}

/** One person's phrases, dry, at the listening rate. */
export type Phrases = readonly Float32Array[];

const words = (
  "water stone wheel tide gate flour morning evening summer winter daughter miller lamp furrow sluice pond rope " +
  "nobody somebody always never before after because although between under over again already perhaps " +
  "listen grind carry hold turn open close wait remember forget build mend clean sharpen measure follow " +
  "heavy slow quiet early narrow deep yellow broken honest careful thirty eleven seven half twice"
).split(" ");

const accents = ["en-gb", "en-us", "en-gb-scotland", "en-gb-x-rp"];
const throats = ["f1", "f2", "f3", "f4", "f5", "m1", "m2", "m3", "m4", "m5", "m6", "m7", "m8"];

let starting: Promise<Synthesiser> | undefined;

/** Starts the speech synthesiser (eSpeak NG) once. */
function synthesiser(): Promise<Synthesiser> {
  starting ??= (async () => {
    const { default: load } = (await import("@echogarden/espeak-ng-emscripten")) as unknown as {
      default: () => Promise<{ eSpeakNGWorker: new () => Synthesiser }>;
    };
    const library = await load();
    return new library.eSpeakNGWorker();
  })();
  return starting;
}

/**
 * Forgets the synthesiser, so that what follows is the same whatever was spoken before: it keeps a state from phrase
 * to phrase.
 */
export function startSpeechAnew(): void {
  starting = undefined;
}

/** How many different people there are. */
export const talkers: number = accents.length * throats.length;

/**
 * Phrases of two to nine words put together by chance, spoken by one of the synthesiser's voices.
 *
 * @param talker - 0 to `talkers` - 1: accent, throat, pace and pitch.
 */
export async function phrasesOf(talker: number, seconds: number, chance: Chance): Promise<Phrases> {
  const voice = await synthesiser();
  voice.set_voice(
    `${accents[talker % accents.length]}+${throats[Math.floor(talker / accents.length) % throats.length]}`,
  );
  voice.set_rate(125 + ((talker * 37) % 60));
  voice.set_pitch(25 + ((talker * 23) % 50));
  voice.set_range(35 + ((talker * 11) % 45));
  const rate = voice.get_samplerate();
  const phrases: Float32Array[] = [];
  for (let sum = 0; sum < seconds; ) {
    const text = Array.from(
      { length: 2 + Math.floor(8 * chance()) },
      () => words[Math.floor(words.length * chance())]!,
    ).join(" ");
    const parts: Int16Array[] = [];
    voice.synthesize(`${text}.`, (sound) => {
      if (sound?.length) parts.push(sound);
      return 0;
    });
    const raw = new Float32Array(parts.reduce((n, part) => n + part.length, 0));
    let at = 0;
    for (const part of parts) for (const s of part) raw[at++] = s / 32_768;
    const phrase = trimmed(atListeningRate(raw, rate));
    if (phrase.length < listeningRateHz / 4) continue;
    sum += phrase.length / listeningRateHz;
    phrases.push(phrase);
  }
  return phrases;
}

/** What folds back from above 8 kHz only makes the voice another voice. */
function atListeningRate(sound: Float32Array, rateHz: number): Float32Array {
  const step = rateHz / listeningRateHz;
  const out = new Float32Array(Math.floor(sound.length / step));
  sampleAt(sound, 0, step, out);
  return out;
}

function trimmed(sound: Float32Array): Float32Array {
  let peak = 0;
  for (const v of sound) peak = Math.max(peak, Math.abs(v));
  let first = 0;
  let end = sound.length;
  while (first < end && Math.abs(sound[first]!) < 0.01 * peak) first++;
  while (end > first && Math.abs(sound[end - 1]!) < 0.01 * peak) end--;
  return sound.slice(first, end).map((v) => (0.4 / (peak || 1)) * v);
}

/**
 * Two people who take turns: answers of 10 to 40 s, questions of 2 to 7 s.
 *
 * A phrase that is said again is said faster or slower and louder or softer, as people do.
 */
export function conversation(
  seconds: number,
  sitter: Phrases,
  asker: Phrases,
  chance: Chance,
): { answers: Float32Array; questions: Float32Array } {
  const length = Math.round(seconds * listeningRateHz);
  const answers = new Float32Array(length);
  const questions = new Float32Array(length);
  let at = 0;
  let isAnswer = chance() < 0.75;
  while (at < length) {
    const turn = Math.round((isAnswer ? 10 + 30 * chance() : 2 + 5 * chance()) * listeningRateHz);
    at = say(
      isAnswer ? answers : questions,
      isAnswer ? sitter : asker,
      at,
      Math.min(length, at + turn),
      chance,
    );
    at += Math.round((0.2 + 0.8 * chance()) * listeningRateHz);
    isAnswer = !isAnswer;
  }
  return { answers, questions };
}

/** Speaks into `out` from `at` until at least `end`; returns where it stopped. */
export function say(out: Float32Array, phrases: Phrases, at: number, end: number, chance: Chance): number {
  while (at < end) {
    const phrase = phrases[Math.floor(phrases.length * chance())]!;
    const speed = 0.93 + 0.14 * chance();
    const loud = 10 ** ((-6 + 8 * chance()) / 20);
    const spoken = new Float32Array(Math.floor(phrase.length / speed));
    sampleAt(phrase, 0, speed, spoken);
    for (let i = 0; i < spoken.length && at + i < out.length; i++) out[at + i]! += loud * spoken[i]!;
    at += spoken.length + Math.round((0.15 + 0.7 * chance()) * listeningRateHz);
  }
  return at;
}
