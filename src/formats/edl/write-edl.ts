import { timecodeFromFrame } from "#science/timecode/timecode-label";
import type { Rate } from "#science/timecode/timecode-rate";

/** One cut. Frames are of the program's rate; source frames count from the source's own 00:00:00:00. */
export interface EdlCut {
  readonly reel: string;
  /** `V` picture, `A` first sound channel, `AA` first and second. */
  readonly channel: "V" | "A" | "A2" | "AA" | "B";
  readonly sourceIn: number;
  readonly recordIn: number;
  readonly frames: number;
  /** Whether the source's labels skip; the program's are told once in the head. */
  readonly sourceDropFrame?: boolean;
  readonly clipName?: string;
  /** Lines of comment, without the star. */
  readonly comments?: readonly string[];
}

/** Events that one list can number. */
export const mostEdlEvents = 999;

/**
 * An edit decision list of cuts in the eight-column layout: fixed columns, out points exclusive, plain ASCII.
 *
 * The list itself holds no frame rate; say it beside the file. Events beyond {@link mostEdlEvents} do not fit.
 *
 * @throws TypeError where an event is longer than what the list can hold, has no frames or a reel name that does not fit.
 *
 * Source: general layout as in the samples of OpenTimelineIO's CMX 3600 adapter; SMPTE ST 258 covers the transfer.
 */
export function writeEdl(list: {
  readonly title: string;
  readonly rate: Rate;
  readonly dropFrame: boolean;
  readonly cuts: readonly EdlCut[];
}): string {
  const { rate, dropFrame, cuts } = list;
  if (cuts.length > mostEdlEvents)
    throw new TypeError(`one list numbers ${mostEdlEvents} events, not ${cuts.length}`);
  const lines = [
    `TITLE: ${plainAscii(list.title).slice(0, 70)}`,
    `FCM: ${dropFrame ? "DROP FRAME" : "NON-DROP FRAME"}`,
  ];
  for (const [i, cut] of cuts.entries()) {
    if (!/^[A-Z0-9]{1,8}$/.test(cut.reel)) throw new TypeError(`"${cut.reel}" is no reel name`);
    if (!(cut.frames > 0)) throw new TypeError(`event ${i + 1} has no frames`);
    const source = (frame: number): string =>
      timecodeFromFrame(frame, rate, cut.sourceDropFrame ?? dropFrame);
    const record = (frame: number): string => timecodeFromFrame(frame, rate, dropFrame);
    lines.push(
      [
        String(i + 1).padStart(3, "0"),
        ` ${cut.reel.padEnd(8)}`,
        cut.channel.padEnd(5),
        "C".padEnd(4),
        "   ",
        source(cut.sourceIn),
        source(cut.sourceIn + cut.frames),
        record(cut.recordIn),
        record(cut.recordIn + cut.frames),
      ].join(" "),
    );
    if (cut.clipName !== undefined) lines.push(`* FROM CLIP NAME:  ${plainAscii(cut.clipName)}`);
    for (const comment of cut.comments ?? []) lines.push(`* ${plainAscii(comment)}`);
  }
  return `${lines.join("\n")}\n`;
}

/** Accents are taken off; what is then still not printable ASCII becomes an underscore. */
export function plainAscii(text: string): string {
  return text
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .replace(/[^\x20-\x7e]/g, "_");
}

/**
 * A reel name that any list can hold, at most 8 of A-Z and 0-9: the device and a count, `A001`, `SOUND002`.
 *
 * @param count - From 1.
 */
export function reelName(device: string, count: number): string {
  const number = String(count).padStart(3, "0");
  const letters = plainAscii(device)
    .toUpperCase()
    .replace(/[^A-Z0-9]/g, "");
  return `${letters.slice(0, 8 - number.length) || "R"}${number}`;
}
