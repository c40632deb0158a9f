import type { MeasureContext } from "#documents/chapter";

const rateHz = 48_000;
/** A breath is left around words; what lies between must still be this long to serve, seconds. */
const aside = 0.15;
const least = 0.4;
const most = 3;

/**
 * The quietest stretch of the dialogue track in which nobody speaks, to lie under holes: the room as it sounded.
 *
 * @param speech - Who speaks when, sitting time, in order.
 * @returns Samples at 48 kHz; `null` where there is no pause long enough, or only digital silence.
 */
export async function findRoomTone(
  context: MeasureContext,
  dialogue: { readonly path: string; readonly start: number },
  speech: readonly { readonly start: number; readonly end: number }[],
): Promise<Float32Array | null> {
  const pauses = speech
    .slice(1)
    .map((next, i) => ({ start: speech[i]!.end + aside, end: next.start - aside }))
    .filter(({ start, end }) => end - start >= least)
    .sort((a, b) => b.end - b.start - (a.end - a.start))
    .slice(0, 12);
  let best: { samples: Float32Array; power: number } | null = null;
  for (const { start, end } of pauses) {
    const wish = {
      startSeconds: start - dialogue.start,
      endSeconds: Math.min(end, start + most) - dialogue.start,
    };
    if (wish.startSeconds < 0) continue;
    const parts: Float32Array[] = [];
    for await (const { channels } of context.madeSound(dialogue.path, wish)) parts.push(channels[0]!);
    const samples = new Float32Array(parts.reduce((sum, { length }) => sum + length, 0));
    let at = 0;
    for (const part of parts) {
      samples.set(part, at);
      at += part.length;
    }
    // The loudest tenth of a second decides: a rustle in a quiet pause would be heard again at every turn.
    const power = loudestTenth(samples);
    if (power > 0 && samples.length >= least * rateHz * 0.9 && (best === null || power < best.power))
      best = { samples, power };
  }
  return best?.samples ?? null;
}

function loudestTenth(samples: Float32Array): number {
  const hop = rateHz / 10;
  let loudest = 0;
  for (let start = 0; start + hop <= samples.length; start += hop) {
    let sum = 0;
    for (let i = start; i < start + hop; i++) sum += samples[i]! ** 2;
    loudest = Math.max(loudest, sum / hop);
  }
  return loudest;
}

/**
 * Room tone without end: the stretch forwards and backwards in turn, so that no seam clicks.
 *
 * @param index - Any whole number, counted from the start of the hole.
 */
export function roomToneAt(tone: Float32Array, index: number): number {
  const turn = 2 * (tone.length - 1);
  if (turn <= 0) return tone[0] ?? 0;
  const k = index % turn;
  return tone[k < tone.length ? k : turn - k]!;
}
