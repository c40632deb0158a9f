import type { ClapHeard } from "./clap-shape.ts";
import type { PlacedClaps } from "./claps.ts";
import { referenceTime } from "./line.ts";

/** Where claps put a recording. */
export interface BySlate {
  readonly offset: number;
  readonly uncertainty: number;
  readonly claps: number;
  /** Only one clap on either side, and nothing else that says where. */
  readonly isAlone: boolean;
}

/** Claps this close are one: another way of the sound, and clocks that differ over some minutes. */
const togetherSeconds = 0.02;
/** Hands or a slate may be two metres nearer to one microphone than the sitter is. */
const slateDoubtSeconds = 0.006;

/**
 * Places a recording by claps: the offset at which most of its claps fall on claps of placed recordings.
 *
 * Two that match in a row are believed, one only where a label or a date already says about where, or where there
 * is one alone on both sides.
 *
 * @param ratePpm - What is known of the device's clock, else 0.
 * @param about - Where something else puts it, and how far from there to look.
 */
export function placeBySlate(
  claps: readonly ClapHeard[],
  placed: readonly PlacedClaps[],
  ratePpm: number,
  about: { readonly offset: number; readonly reach: number } | null,
): BySlate | null {
  const known = sittingClaps(placed);
  if (claps.length === 0 || known.length === 0) return null;
  const local = claps.map((c) => c.at * (1 + ratePpm * 1e-6));
  let best: { offsets: number[]; rivals: number } | null = null;
  for (const a of known)
    for (const b of local) {
      const offset = a - b;
      if (about && Math.abs(offset - about.offset) > about.reach) continue;
      const offsets = local.flatMap((t) => {
        const near = known.filter((k) => Math.abs(k - t - offset) < togetherSeconds);
        return near.length > 0 ? [nearest(near, t + offset) - t] : [];
      });
      if (!best || offsets.length > best.offsets.length) best = { offsets, rivals: 0 };
      else if (
        offsets.length === best.offsets.length &&
        Math.abs(median(offsets) - median(best.offsets)) > 2 * togetherSeconds
      )
        best.rivals++;
    }
  if (!best || best.rivals > 0) return null;
  const isAlone = best.offsets.length === 1 && about === null;
  if (isAlone && (claps.length > 1 || known.length > 1)) return null;
  const offset = median(best.offsets);
  const scatter = Math.max(...best.offsets.map((o) => Math.abs(o - offset)));
  return {
    offset,
    uncertainty: Math.hypot(slateDoubtSeconds, scatter),
    claps: best.offsets.length,
    isAlone,
  };
}

/** Every clap that any placed recording heard, sitting time, once. */
function sittingClaps(placed: readonly PlacedClaps[]): number[] {
  const all = placed
    .flatMap(({ claps, line }) => claps.map((c) => referenceTime(line, c.at)))
    .sort((a, b) => a - b);
  return all.filter((t, i) => i === 0 || t - all[i - 1]! > togetherSeconds);
}

function nearest(from: readonly number[], t: number): number {
  return from.reduce((best, v) => (Math.abs(v - t) < Math.abs(best - t) ? v : best));
}

function median(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[values.length >> 1]!;
}
