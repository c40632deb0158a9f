import type { MeasureContext } from "#documents/chapter";
import type { Recording } from "#documents/recording";
import type { Triple } from "#science/colour/matrix3";
import { type CardCandidate, findCardCandidates } from "#science/vision/neutral-card";
import { toPlanes } from "#science/vision/planes";
import type { Camera } from "./colour-inputs.ts";

/** A grey or white card that was held up, as far as pictures can tell: good for gains alone, and to be told as weak. */
export interface CardSighting {
  readonly recording: Recording;
  readonly at: number;
  /** Middle, pixels of the picture as displayed, 0 at the corner of the first. */
  readonly centre: readonly [number, number];
  /** Root of its area, pixels. */
  readonly side: number;
  /** Mean code values, 0 and 1 black and white of the stream's own range. */
  readonly code: Triple;
  /** How long it was seen, seconds. */
  readonly seconds: number;
}

const seekWidth = 320;
const lookSeconds = 240;
const leastStepSeconds = 0.45;
/** A card is shown for so long at least, in so many looks, and is away in more than half of them. */
const leastShownSeconds = 0.9;
const leastLooks = 2;
const mostPresent = 0.5;
const framesRead = 3;

/**
 * Looks for a large even neutral area that comes into the picture, stays still and leaves again: the grey or white
 * side, where no chart was filmed.
 *
 * @returns The one shown longest, its code values from exact frames; null where there is none.
 */
export async function seekNeutralCard(camera: Camera, context: MeasureContext): Promise<CardSighting | null> {
  for (const recording of camera.recordings) {
    const duration = recording.readableSeconds ?? recording.probe.durationSeconds;
    const looks: { at: number; width: number; cards: readonly CardCandidate[] }[] = [];
    let looked = Number.NEGATIVE_INFINITY;
    const wish = { maxWidth: seekWidth, startSeconds: 0, endSeconds: Math.min(duration, lookSeconds) };
    for await (const picture of context.media.keyPictures(recording, wish)) {
      context.signal.throwIfAborted();
      if (picture.atSeconds - looked < leastStepSeconds) continue;
      looked = picture.atSeconds;
      const shrink = Math.max(1, Math.floor(picture.width / seekWidth));
      const planes = toPlanes(picture, shrink);
      looks.push({ at: picture.atSeconds, width: planes.width, cards: findCardCandidates(planes) });
    }
    const shown = longestShown(looks);
    const read = shown ? await readCard(recording, shown, context) : null;
    if (read) return read;
  }
  return null;
}

interface Shown {
  readonly at: number;
  readonly width: number;
  readonly seconds: number;
  readonly card: CardCandidate;
}

/** The run of looks that show the same card, of those that are not there all the time. */
function longestShown(
  looks: readonly { readonly at: number; readonly width: number; readonly cards: readonly CardCandidate[] }[],
): Shown | null {
  let best: Shown | null = null;
  for (const [k, look] of looks.entries()) {
    for (const card of look.cards) {
      let end = k;
      while (end + 1 < looks.length && looks[end + 1]!.cards.some((other) => isSame(card, other))) end++;
      const seconds = looks[end]!.at - look.at;
      if (end - k + 1 < leastLooks || seconds < leastShownSeconds || seconds <= (best?.seconds ?? 0))
        continue;
      const present = looks.filter(({ cards }) => cards.some((other) => isSame(card, other))).length;
      if (present > mostPresent * looks.length) continue;
      const middle = looks[(k + end) >> 1]!;
      const there = middle.cards.find((other) => isSame(card, other))!;
      best = { at: middle.at, width: middle.width, seconds, card: there };
    }
  }
  return best;
}

function isSame(a: CardCandidate, b: CardCandidate): boolean {
  return (
    Math.hypot(a.x - b.x, a.y - b.y) < 0.35 * Math.sqrt(a.pixels) &&
    a.pixels < 1.4 * b.pixels &&
    b.pixels < 1.4 * a.pixels &&
    a.code.every((v, c) => Math.abs(v - b.code[c]!) < 0.05)
  );
}

async function readCard(
  recording: Recording,
  { at, width, seconds, card }: Shown,
  context: MeasureContext,
): Promise<CardSighting | null> {
  const { num, den } = recording.probe.picture!.frameRate;
  const end = recording.readableSeconds ?? recording.probe.durationSeconds;
  const times = Array.from({ length: framesRead }, (_, k) => at + ((k + 0.5) * den) / num).filter(
    (time, k) => k === 0 || time < end,
  );
  const sum = [0, 0, 0];
  let n = 0;
  let scale = 1;
  for await (const frame of context.media.framesAt(recording, times)) {
    scale = frame.width / width;
    const half = 0.3 * Math.sqrt(card.pixels) * scale;
    const [cx, cy] = [(card.x + 0.5) * scale, (card.y + 0.5) * scale];
    for (let y = Math.round(cy - half); y < cy + half; y += 2) {
      for (let x = Math.round(cx - half); x < cx + half; x += 2) {
        const i = (y * frame.width + x) * 3;
        for (let c = 0; c < 3; c++) sum[c] = sum[c]! + frame.rgb[i + c]! / 65_535;
        n++;
      }
    }
  }
  if (n === 0) return null;
  return {
    recording,
    at: times[0]!,
    centre: [(card.x + 0.5) * scale, (card.y + 0.5) * scale],
    side: Math.sqrt(card.pixels) * scale,
    code: [sum[0]! / n, sum[1]! / n, sum[2]! / n],
    seconds,
  };
}
