import { gaussianFrom, randomFrom } from "../random.ts";
import type { Speaker } from "../script.ts";
import { atRate } from "./windowed-sinc.ts";

/** Rate of everything the demo records. */
export const sampleRateHz = 48_000;

interface Synthesiser {
  set_voice(name: string): void;
  set_rate(wordsPerMinute: number): void;
  set_pitch(pitch: number): void;
  set_range(range: number): void;
  get_samplerate(): number;
  synthesize(text: string, hear: (sound: Int16Array | null) => number): void;
}

/** Speaks lines, each only once. */
export interface Voices {
  /**
   * The line as dry sound at 48 kHz, silence at both ends removed, peak about 0.5.
   *
   * @param variant - Any whole number; chooses one of three slightly different manners.
   */
  say(who: Speaker, text: string, variant: number): Float32Array;
}

/** How each of the two sounds: the synthesiser's voice, words a minute, pitch and its range (0 to 99). */
const manner: Record<Speaker, { voice: string; rate: number; pitch: number; range: number }> = {
  sitter: { voice: "en-gb+f3", rate: 137, pitch: 42, range: 62 },
  interviewer: { voice: "en-gb-scotland+m3", rate: 158, pitch: 36, range: 55 },
};

/** Starts the speech synthesiser (eSpeak NG, which makes its voices from formants). */
export async function openVoices(): Promise<Voices> {
  const { default: load } = (await import("@echogarden/espeak-ng-emscripten")) as unknown as {
    default: () => Promise<{ eSpeakNGWorker: new () => Synthesiser }>;
  };
  const library = await load();
  const synthesiser = await new library.eSpeakNGWorker();
  const spoken = new Map<string, Float32Array>();
  return {
    say(who, text, variant) {
      const manners = variant % 3;
      const key = `${who} ${manners} ${text}`;
      const known = spoken.get(key);
      if (known) return known;
      const { voice, rate, pitch, range } = manner[who];
      synthesiser.set_voice(voice);
      synthesiser.set_rate(rate + [0, 7, -8][manners]!);
      synthesiser.set_pitch(pitch + [0, -3, 4][manners]!);
      synthesiser.set_range(range);
      const parts: Int16Array[] = [];
      synthesiser.synthesize(text, (sound) => {
        if (sound?.length) parts.push(sound);
        return 0;
      });
      const raw = new Float32Array(parts.reduce((sum, part) => sum + part.length, 0));
      let at = 0;
      for (const part of parts) for (const s of part) raw[at++] = s / 32768;
      const made = shaped(atRate(raw, synthesiser.get_samplerate(), sampleRateHz), who, key);
      spoken.set(key, made);
      return made;
    },
  };
}

/**
 * Makes the synthesiser's buzz a little more like a throat in a chest: softens the edge, adds body and breath
 * that follows the voice, trims the silence, levels the peak.
 */
function shaped(sound: Float32Array, who: Speaker, key: string): Float32Array {
  const random = randomFrom([...key].reduce((sum, c) => (sum * 31 + c.charCodeAt(0)) | 0, 7));
  const gaussian = gaussianFrom(random);
  const out = new Float32Array(sound.length);
  // one-pole pieces: a high cut, a low lift, and the envelope that breath follows
  const cut = Math.exp((-2 * Math.PI * (who === "sitter" ? 6800 : 5600)) / sampleRateHz);
  const body = Math.exp((-2 * Math.PI * (who === "sitter" ? 260 : 190)) / sampleRateHz);
  const follow = Math.exp(-1 / (0.012 * sampleRateHz));
  const hiss = Math.exp((-2 * Math.PI * 1800) / sampleRateHz);
  let soft = 0;
  let low = 0;
  let envelope = 0;
  let noiseLow = 0;
  for (let n = 0; n < sound.length; n++) {
    const s = sound[n]!;
    soft += (1 - cut) * (s - soft);
    low += (1 - body) * (s - low);
    envelope = Math.max(Math.abs(s), envelope * follow + (1 - follow) * Math.abs(s));
    const noise = gaussian();
    noiseLow += (1 - hiss) * (noise - noiseLow);
    out[n] = soft + 0.35 * low + 0.016 * envelope * (noise - noiseLow);
  }
  let peak = 0;
  for (const s of out) peak = Math.max(peak, Math.abs(s));
  let first = 0;
  let last = out.length;
  while (first < last && Math.abs(out[first]!) < 0.012 * peak) first++;
  while (last > first && Math.abs(out[last - 1]!) < 0.012 * peak) last--;
  const kept = out.slice(Math.max(0, first - 240), Math.min(out.length, last + 480));
  const gain = 0.5 / (peak || 1);
  for (let n = 0; n < kept.length; n++)
    kept[n]! *= gain * Math.min(1, (n + 1) / 200, (kept.length - n) / 400);
  return kept;
}
