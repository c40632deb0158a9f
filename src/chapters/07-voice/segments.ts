import { framesPerSecond } from "./bands.ts";
import type { Stretch } from "./damage.ts";

export type FaultKind = "clipping" | "rustle" | "wind" | "hum" | "dropout" | "noise";
export interface MicFault extends Stretch {
  readonly kind: FaultKind;
}
export type Source = "lav" | "boom";
export interface Segment extends Stretch {
  /** `both`: half of each, as a person may ask for. */
  readonly source: Source | "both";
  readonly why: string;
  /** Whether a person chose it. */
  readonly said?: true;
}

/** One microphone as the choice sees it; times are track time, seconds. */
export interface Candidate {
  /** Where it was recording at all. */
  readonly there: readonly Stretch[];
  readonly faults: readonly MicFault[];
  /** Voice over floor, dB. */
  readonly rangeDb: number;
}

/** Faults that pass: worth changing microphones for. Hum and noise last; they are weighed over the whole. */
const passing = new Set<FaultKind>(["clipping", "rustle", "wind", "dropout"]);
const bridgeSeconds = 1.5;
const searchSeconds = 0.7;

const what: Record<FaultKind, string> = {
  rustle: "cloth rubbed on the",
  clipping: "the voice was too loud for the",
  wind: "air blew on the",
  dropout: "sound dropped out of the",
  hum: "mains hum is on the",
  noise: "noise is on the",
};

const overlaps = (a: Stretch, b: Stretch): boolean => a.start < b.end && b.start < a.end;

/**
 * Which microphone when: the lav, unless it is at fault and the boom is not; changes are moved into pauses.
 *
 * @param duration - Seconds of the track.
 * @param pauseLevel - Level of the voice in each 20 ms frame by the better ear, dB: changes go where it is least.
 * @returns Segments in order, [start, end), touching; together they cover [0, duration).
 */
export function chooseSegments(
  duration: number,
  lav: Candidate | null,
  boom: Candidate | null,
  pauseLevel: ArrayLike<number>,
): Segment[] {
  if (!lav || !boom) {
    const source = lav ? "lav" : "boom";
    return [{ start: 0, end: duration, source, why: `the ${source} is the only one of the two` }];
  }
  const lasting = (mic: Candidate): boolean => mic.faults.some((f) => !passing.has(f.kind));
  // A lav that hums or hisses throughout gives way only to a boom that is clearly quieter.
  const boomFirst = lasting(lav) && !lasting(boom) && boom.rangeDb > lav.rangeDb + 3;
  const [main, other] = boomFirst ? ([boom, lav] as const) : ([lav, boom] as const);
  const [mainName, otherName]: [Source, Source] = boomFirst ? ["boom", "lav"] : ["lav", "boom"];
  const usual = boomFirst
    ? `${what[lav.faults.find((f) => !passing.has(f.kind))!.kind]} lav throughout`
    : "the lav is close and clean";

  const away = switches(duration, main, other, mainName).map((s) => ({
    ...s,
    start: s.absent ? s.start : quietestNear(s.start, -searchSeconds, pauseLevel),
    end: s.absent ? s.end : quietestNear(s.end, searchSeconds, pauseLevel),
  }));
  const segments: Segment[] = [];
  let at = 0;
  for (const s of bridged(away)) {
    const start = Math.max(at, s.start);
    const end = Math.min(duration, s.end);
    if (end <= start) continue;
    if (start > at) segments.push({ start: at, end: start, source: mainName, why: usual });
    segments.push({ start, end, source: otherName, why: s.why });
    at = end;
  }
  if (at < duration) segments.push({ start: at, end: duration, source: mainName, why: usual });
  return segments;
}

interface Switch extends Stretch {
  readonly why: string;
  readonly absent: boolean;
}

function switches(duration: number, main: Candidate, other: Candidate, mainName: Source): Switch[] {
  const usable = (stretch: Stretch): boolean =>
    other.there.some((there) => overlaps(there, stretch)) &&
    !other.faults.some((f) => passing.has(f.kind) && f.kind !== "rustle" && overlaps(f, stretch));
  // Cloth that overloads the input is cloth first.
  const rustles = main.faults.filter((f) => f.kind === "rustle");
  const faults = main.faults
    .filter((f) => passing.has(f.kind) && usable(f))
    .filter((f) => f.kind !== "clipping" || !rustles.some((r) => overlaps(f, r)))
    .map((f) => ({ start: f.start, end: f.end, why: `${what[f.kind]} ${mainName}`, absent: false }));
  const gaps: Switch[] = [];
  let at = 0;
  for (const there of [...main.there, { start: duration, end: duration }]) {
    if (there.start > at + 0.02) {
      const gap = { start: at, end: there.start };
      if (usable(gap)) gaps.push({ ...gap, why: `the ${mainName} was not recording`, absent: true });
    }
    at = Math.max(at, there.end);
  }
  return [...faults, ...gaps].sort((a, b) => a.start - b.start);
}

function bridged(list: readonly Switch[]): Switch[] {
  const out: Switch[] = [];
  for (const s of list) {
    const last = out.at(-1);
    if (last && s.start - last.end < bridgeSeconds) {
      const why = last.why.includes(s.why) ? last.why : `${last.why}; ${s.why}`;
      out[out.length - 1] = { ...last, end: Math.max(last.end, s.end), why, absent: last.absent && s.absent };
    } else out.push(s);
  }
  return out;
}

/** The quietest tenth of a second between `at` and `at + reach`, never inside the fault itself. */
function quietestNear(at: number, reach: number, level: ArrayLike<number>): number {
  const sign = Math.sign(reach);
  let best = at + sign * 0.06;
  let least = Number.POSITIVE_INFINITY;
  for (let away = 0.06; away <= Math.abs(reach); away += 1 / framesPerSecond) {
    const middle = Math.round((at + sign * away) * framesPerSecond);
    let sum = 0;
    for (let k = -2; k <= 2; k++) sum += level[middle + k] ?? -120;
    // Nearer wins among equals: a decibel for each tenth of a second.
    const cost = sum / 5 + away * 10;
    if (cost < least) {
      least = cost;
      best = at + sign * away;
    }
  }
  return Math.max(0, best);
}
