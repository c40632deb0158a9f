import type { MediaReader } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import type { Clap } from "./claps.ts";
import { speedOfSound } from "./constants.ts";
import { type SeenMoment, seenAround } from "./seen-clap.ts";

/** What a slate that was both seen and heard says of one recording. */
export interface PictureBySlate {
  /** Claps that the picture shows. */
  readonly claps: number;
  /** Of the first of them: sitting time, local time heard, local time of the frame that shows it. */
  readonly at: number;
  readonly heardAt: number;
  readonly seenAt: number;
  readonly kind: SeenMoment["kind"];
  /** Seconds by which the picture comes later than the sound's way explains; half a frame on either side. */
  readonly late: number;
  readonly frameSeconds: number;
  /** Whether that is more than a frame can hide, and plain enough to move the picture by it. */
  readonly moves: boolean;
}

/** A picture further off than this is another event. */
const mostLateSeconds = 0.3;
const mostLooks = 4;

/**
 * Looks at the pictures around the claps that a camera heard. What is seen lies up to a frame after it happened;
 * what is heard, the sound's way after it. Where the two agree within a frame, the distance stays what it is known
 * or taken to be, which is finer than a frame; where they do not, picture and sound of the file itself are apart,
 * and the slate says by how much.
 *
 * @param metres - Way of the sound to the camera's microphone.
 */
export async function pictureBySlate(
  recording: Recording,
  claps: readonly Clap[],
  metres: number,
  media: MediaReader,
): Promise<PictureBySlate | null> {
  const seen: { clap: Clap; heardAt: number; moment: SeenMoment; late: number }[] = [];
  for (const clap of claps) {
    if (seen.length === mostLooks) break;
    const heardAt = clap.heardBy.find((h) => h.hash === recording.hash)?.localTime;
    if (heardAt === undefined) continue;
    const happened = heardAt - metres / speedOfSound;
    const moment = await seenAround(recording, media, happened);
    if (!moment) continue;
    // The first frame that shows it began somewhere from half a frame before it to half a frame after, as the
    // shutter is; the middle of that is the frame's own beginning.
    const late = moment.at - happened;
    if (Math.abs(late) < mostLateSeconds) seen.push({ clap, heardAt, moment, late });
  }
  const [first] = seen;
  if (!first) return null;
  const lates = seen.map((s) => s.late).sort((a, b) => a - b);
  const late = lates[lates.length >> 1]!;
  const { frameSeconds, kind } = first.moment;
  const isOne = lates.at(-1)! - lates[0]! <= 1.1 * frameSeconds;
  // A hand that stops by chance is not a slate; a flash of light with a clap is, and so are two that agree.
  const isPlain = isOne && (seen.length > 1 || kind === "flash");
  return {
    claps: seen.length,
    at: first.clap.at,
    heardAt: first.heardAt,
    seenAt: first.moment.at,
    kind,
    late,
    frameSeconds,
    moves: isPlain && Math.abs(late) > 1.1 * frameSeconds,
  };
}
