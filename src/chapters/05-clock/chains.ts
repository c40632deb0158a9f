import type { Recording } from "#documents/recording";
import { secondsOf } from "./master.ts";
import { secondsBetween, type TimeOfDay } from "./time-of-day.ts";

/** Two files of one take: the device closed the first and went on in the second. */
export interface ChainLink {
  /** Indices into the recordings. */
  readonly before: number;
  readonly after: number;
  /** Seconds lost between them, by what says that they belong together; 0 where nothing tells. */
  readonly gapSeconds: number;
  /** How far that may be off, one standard deviation, seconds. */
  readonly doubtSeconds: number;
  readonly why: "labels" | "size" | "duration";
}

/** Longer holes are stops and starts. */
const mostGapSeconds = 0.5;
/** FAT32 ends a file at 4 GiB less one byte; cameras stop a little before. */
const fullBytes = { from: 3.7e9, to: 4_294_967_296 };
/** Cameras that were taxed as such stop at half an hour. Common practice. */
const halfHourSeconds = 1800;
/** Dates are whole seconds, and some are written when a file is closed. */
const dateSlackSeconds = 2.5;
/** What a camera may lose or pad at a seam where nothing tells: a frame or a packet of sound. */
const seamDoubtSeconds = 0.02;

/**
 * Which recordings go on in which: files of one device, with names that follow one another and one make, where the
 * second begins as the first ends by its timecode or time reference; or, where there are no such labels, where the
 * first was closed because it was full (4 GB, half an hour, or as long as another of the device to the second) and
 * the dates do not speak against it.
 */
export function chainLinks(
  recordings: readonly Recording[],
  times: readonly (TimeOfDay | null)[],
): ChainLink[] {
  const links: ChainLink[] = [];
  const order = recordings
    .map((_, i) => i)
    .sort((a, b) => compareNames(recordings[a]!.path, recordings[b]!.path));
  for (const before of order)
    for (const after of order) {
      if (before === after || !mayFollow(recordings[before]!, recordings[after]!)) continue;
      const link = linkBetween(before, after, recordings, times);
      if (link) links.push(link);
    }
  // One file has one successor and one predecessor: the surest.
  const taken = { before: new Set<number>(), after: new Set<number>() };
  return links
    .sort((a, b) => a.doubtSeconds - b.doubtSeconds)
    .filter((link) => {
      if (taken.before.has(link.before) || taken.after.has(link.after)) return false;
      taken.before.add(link.before);
      taken.after.add(link.after);
      return true;
    });
}

function linkBetween(
  before: number,
  after: number,
  recordings: readonly Recording[],
  times: readonly (TimeOfDay | null)[],
): ChainLink | null {
  const first = recordings[before]!;
  const second = recordings[after]!;
  const seconds = secondsOf(first);
  if (first.readableSeconds !== undefined) return null;
  const [begun, going] = [times[before], times[after]];
  if (begun && going && begun.source === going.source) {
    const gap = secondsBetween(going, begun) / begun.speed - seconds;
    // A label counts whole frames, and the sound may end a packet before the picture does.
    const grain = begun.source === "timeReference" ? 0.001 : 1.5 * begun.grain;
    if (gap < -grain || gap > mostGapSeconds) return null;
    const isSeamless = Math.abs(gap) <= grain;
    return {
      before,
      after,
      gapSeconds: isSeamless && begun.source !== "timeReference" ? 0 : Math.max(0, gap),
      doubtSeconds: Math.max(begun.doubt, going.doubt, 0.001),
      why: "labels",
    };
  }
  const created = [first, second].map((r) => Date.parse(r.probe.createdAt ?? ""));
  const isDated = created.every((t) => !Number.isNaN(t));
  if (isDated) {
    const apart = (created[1]! - created[0]!) / 1000;
    // By when they began, or by when they were closed.
    const isInTime = [seconds, secondsOf(second)].some((s) => Math.abs(apart - s) <= dateSlackSeconds);
    if (!isInTime) return null;
  }
  const isFull = first.probe.bytes >= fullBytes.from && first.probe.bytes <= fullBytes.to;
  const isHalfHour = Math.abs(seconds - halfHourSeconds) < 2;
  // Files alike to the second were cut by a rule; two may be so by chance, if no dates say that one followed the other.
  const isCut =
    seconds > 60 &&
    recordings.some(
      (r, i) =>
        i !== before &&
        (i !== after || isDated) &&
        sameMake(r, first) &&
        Math.abs(secondsOf(r) - seconds) < 1.1,
    );
  if (!isFull && !isHalfHour && !isCut) return null;
  return {
    before,
    after,
    gapSeconds: 0,
    doubtSeconds: seamDoubtSeconds,
    why: isFull ? "size" : "duration",
  };
}

function mayFollow(first: Recording, second: Recording): boolean {
  return sameMake(first, second) && isNextName(first.path, second.path);
}

/** One device, or bare files of one folder, that were recorded alike. */
function sameMake(a: Recording, b: Recording): boolean {
  const isBare = (r: Recording) => /^file\d+$/.test(r.device);
  if (a.device !== b.device && !(isBare(a) && isBare(b) && folderOf(a.path) === folderOf(b.path)))
    return false;
  const make = ({ probe: { container, picture, sound } }: Recording) =>
    JSON.stringify([
      container,
      picture && [picture.codec, picture.width, picture.height, picture.frameRate, picture.pixelFormat],
      sound && [sound.codec, sound.sampleRateHz, sound.channels],
    ]);
  return make(a) === make(b);
}

/** Whether a name is the next one: its last number that differs is one more, and all else is alike. */
export function isNextName(first: string, second: string): boolean {
  const [a, b] = [first, second].map((path) => fileOf(path).split(/(\d+)/));
  if (a!.length !== b!.length) {
    // `clip.mp4` goes on in `clip_2.mp4`, `clip-1.mp4` or `clip_002.mp4`.
    const stem = fileOf(first).replace(/\.[^.]*$/, "");
    return new RegExp(`^${stem.replace(/[^\w]/g, "\\$&")}[ _-]?0*[12]\\.[^.]*$`).test(fileOf(second));
  }
  const differing = a!.flatMap((part, i) => (part === b![i] ? [] : [i]));
  // Names that carry the time of day differ in more than one number, which only dates and labels can order.
  if (differing.length !== 1 || differing[0]! % 2 === 0) return false;
  const [x, y] = [a![differing[0]!]!, b![differing[0]!]!];
  const step = Number(y) - Number(x);
  // Or the part's number stands before the take's: 010042, 020042.
  return step === 1 || (x.length === y.length && [1e4, 1e5, 1e6].includes(step));
}

function compareNames(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

const fileOf = (path: string) => path.split(/[/\\]/).at(-1)!;
const folderOf = (path: string) => path.slice(0, path.length - fileOf(path).length);
