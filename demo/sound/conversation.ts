import { randomFrom } from "../random.ts";
import { exchanges, type Speaker } from "../script.ts";
import { sampleRateHz, type Voices } from "./voices.ts";

/** A spoken line in sitting time. */
export interface Spoken {
  readonly who: Speaker;
  readonly text: string;
  readonly exchange: number;
  readonly start: number;
  readonly end: number;
  readonly mark?: "falseStart" | "longPause";
  /** First sample on the sitting's clock, and the sound. */
  readonly firstSample: number;
  readonly sound: Float32Array;
}

export interface Turn {
  readonly start: number;
  readonly end: number;
}

/** The whole talk, placed in sitting time; the sound of a line that is said again is kept once. */
export interface Conversation {
  readonly seconds: number;
  readonly spoken: readonly Spoken[];
  readonly exchanges: readonly { readonly question: Turn; readonly answer: Turn }[];
  readonly clapAt: number;
  /** When the chart is fully shown, sitting time. */
  readonly chart: Turn;
}

/** Before this moment the chart is shown and the slate clapped. */
const firstWordAt = 11.2;
/** The least that one exchange and the room's own sound take. */
export const leastSeconds = 36;

/** Places lines until `seconds` are full. Times fall on whole samples of the sitting's clock. */
export function planConversation(voices: Voices, seconds: number, seed: number): Conversation {
  if (!(seconds >= leastSeconds))
    throw new RangeError(`A demo sitting lasts at least ${leastSeconds} seconds.`);
  const random = randomFrom(seed ^ 0x7a1c);
  const spoken: Spoken[] = [];
  const turns: { question: Turn; answer: Turn }[] = [];
  let at = firstWordAt + 0.3 * random();
  for (let n = 0; ; n++) {
    const exchange = exchanges[n % exchanges.length]!;
    const variant = Math.floor(n / exchanges.length);
    const placed: Spoken[] = [];
    let t = at;
    for (const [who, lines] of [
      ["interviewer", exchange.question],
      ["sitter", exchange.answer],
    ] as const) {
      if (who === "sitter") t += 0.75 + 0.25 * random();
      for (const line of lines) {
        t += line.pauseBefore * (1 + 0.08 * (random() - 0.5));
        const sound = voices.say(who, line.text, variant);
        const firstSample = Math.round(t * sampleRateHz);
        const start = firstSample / sampleRateHz;
        const end = (firstSample + sound.length) / sampleRateHz;
        placed.push({
          who,
          text: line.text,
          exchange: n,
          start,
          end,
          ...(line.mark && { mark: line.mark }),
          firstSample,
          sound,
        });
        t = end;
      }
    }
    if (n > 0 && t > seconds - 1.6) break;
    spoken.push(...placed);
    const answer = placed.filter((s) => s.who === "sitter");
    turns.push({
      question: { start: placed[0]!.start, end: placed[exchange.question.length - 1]!.end },
      answer: { start: answer[0]!.start, end: answer.at(-1)!.end },
    });
    at = t + 1.0 + 0.35 * random();
  }
  return {
    seconds,
    spoken,
    exchanges: turns,
    clapAt: 9.4 + 0.02 * Math.floor(random() * 10),
    chart: { start: 3.2, end: 7.6 },
  };
}

/** The dry sound of one speaker over `count` samples from `first`, on the sitting's clock. */
export function drySound(talk: Conversation, who: Speaker, first: number, count: number): Float32Array {
  const out = new Float32Array(count);
  for (const line of talk.spoken) {
    if (
      line.who !== who ||
      line.firstSample >= first + count ||
      line.firstSample + line.sound.length <= first
    )
      continue;
    const from = Math.max(0, first - line.firstSample);
    const until = Math.min(line.sound.length, first + count - line.firstSample);
    const shift = line.firstSample - first;
    for (let n = from; n < until; n++) out[n + shift]! += line.sound[n]!;
  }
  return out;
}

/** How loud a speaker is, 0 to 1, smoothed over a syllable, at a moment of the sitting. */
export function loudnessAt(talk: Conversation, who: Speaker, seconds: number): number {
  const half = 0.022;
  const first = Math.round((seconds - half) * sampleRateHz);
  const count = Math.round(2 * half * sampleRateHz);
  for (const line of talk.spoken) {
    if (line.who !== who || seconds < line.start - 0.05 || seconds > line.end + 0.05) continue;
    let sum = 0;
    for (let n = 0; n < count; n++) {
      const s = line.sound[first + n - line.firstSample] ?? 0;
      sum += s * s;
    }
    return Math.min(1, Math.sqrt(sum / count) / 0.17);
  }
  return 0;
}
