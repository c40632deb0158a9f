import { type ClapHeard, hasTransient } from "./clap-shape.ts";
import { type ClockLine, localTime, referenceTime } from "./line.ts";
import type { Listened } from "./listened.ts";

/** A recording that has its place. */
export interface Placed {
  readonly hash: string;
  readonly listened: Listened;
  readonly line: ClockLine;
}

/** A placed recording with the claps heard in it. */
export interface PlacedClaps extends Placed {
  readonly claps: readonly ClapHeard[];
}

export interface Clap {
  /** Sitting time. */
  readonly at: number;
  readonly heardBy: readonly { readonly hash: string; readonly localTime: number }[];
}

const mostClaps = 12;
/** One clap reaches two microphones at most this far apart: four metres of way, and what a placement may be off. */
const mostApartSeconds = 0.025;

/**
 * Claps that were shared: at least two recordings heard a clap, and every other that ran at the time heard
 * something begin sharply. The time in each file is where its sound first comes up.
 *
 * @param placed - The master first.
 */
export function sharedClaps(placed: readonly PlacedClaps[]): Clap[] {
  const shared: (Clap & { loud: number })[] = [];
  placed.forEach((own, i) => {
    for (const clap of own.claps) {
      const at = referenceTime(own.line, clap.at);
      if (shared.some((s) => Math.abs(s.at - at) < 0.1)) continue;
      const heardBy = [{ hash: own.hash, localTime: clap.at }];
      let isShared = true;
      placed.forEach((other, j) => {
        const t = localTime(other.line, at);
        if (j === i || t < 0.3 || t > other.listened.seconds - 0.3) return;
        const same = other.claps.find((c) => Math.abs(c.at - t) < mostApartSeconds);
        if (same) heardBy.push({ hash: other.hash, localTime: same.at });
        else if (!hasTransient(other.listened.onsets, t)) isShared = false;
      });
      if (isShared && heardBy.length > 1) shared.push({ at, heardBy, loud: clap.peakDb });
    }
  });
  return shared
    .sort((a, b) => b.heardBy.length - a.heardBy.length || b.loud - a.loud)
    .slice(0, mostClaps)
    .sort((a, b) => a.at - b.at)
    .map(({ at, heardBy }) => ({ at, heardBy }));
}

/** How far the placement and the claps lie apart in one recording, against the recording that heard each first. */
export interface ClapCheck {
  readonly hash: string;
  readonly claps: number;
  /** Median of where the clap was heard less where the placement expects it, seconds; 0 for the one heard by. */
  readonly apart: number;
  /** Sitting time of the clap that is furthest off. */
  readonly at: number;
}

/** What the claps say of each recording's placement by sound, the first one being the measure. */
export function checkByClaps(claps: readonly Clap[], placed: readonly Placed[]): ClapCheck[] {
  const lines = new Map(placed.map(({ hash, line }) => [hash, line]));
  return placed.slice(1).flatMap(({ hash }) => {
    const apart = claps.flatMap(({ at, heardBy }) => {
      const own = heardBy.find((h) => h.hash === hash);
      const [first] = heardBy;
      if (!own || !first || first.hash === hash) return [];
      const expected = referenceTime(lines.get(first.hash)!, first.localTime);
      return [{ at, by: referenceTime(lines.get(hash)!, own.localTime) - expected }];
    });
    if (apart.length === 0) return [];
    const sorted = apart.map(({ by }) => by).sort((a, b) => a - b);
    const worst = apart.reduce((most, a) => (Math.abs(a.by) > Math.abs(most.by) ? a : most));
    return [{ hash, claps: apart.length, apart: sorted[sorted.length >> 1]!, at: worst.at }];
  });
}
