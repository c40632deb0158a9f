import type { ClockResult } from "#documents/chapter-results";
import { referenceTime } from "./line.ts";
import type { PairMeasured, Solved } from "./solve.ts";

type Edge = NonNullable<ClockResult["edges"]>[number];

/** Enough for the eye; of more windows every so manieth is told. */
const mostWindows = 240;

/** One comparison that the placements rest on. */
export interface MeasuredEdge {
  /** As it was solved: `other` may stand for a piece of a recording. */
  readonly pair: PairMeasured;
  /** Content hashes. */
  readonly reference: string;
  readonly other: string;
  /** Local time of `other` that it holds from, seconds. */
  readonly from: number;
  /** What the fit left each window of its say, 0 to 1. */
  readonly kept: readonly number[];
}

/**
 * Each comparison as a figure wants it: how late every window heard `other`, and what of that the fitted line leaves.
 *
 * @param lines - As solved, one an unknown; a comparison of one that has none is left out.
 */
export function edgesOf(measured: readonly MeasuredEdge[], lines: readonly (Solved | null)[]): Edge[] {
  return measured.flatMap(({ pair, reference, other, from, kept }): Edge[] => {
    const [first, second] = [lines[pair.reference], lines[pair.other]];
    if (!first || !second || pair.windows.length === 0) return [];
    const rows = pair.windows.map(({ at, referenceAt }, w) => {
      const sitting = referenceTime(first.line, referenceAt);
      return {
        at: Number(sitting.toFixed(3)),
        delayMs: milliseconds(sitting - at - second.line.offset),
        residualMs: milliseconds(sitting - referenceTime(second.line, at)),
        say: Number((kept[w] ?? 0).toFixed(2)),
      };
    });
    const used = rows.filter(({ say }) => say > 0);
    const step = Math.ceil(rows.length / mostWindows);
    const shown = rows.filter((_, i) => i % step === 0);
    return [
      {
        reference,
        other,
        from: Number(from.toFixed(3)),
        windows: rows.length,
        used: used.length,
        scatter: Number(
          (
            1e-3 *
            Math.sqrt(
              used.reduce((sum, { residualMs }) => sum + residualMs ** 2, 0) / Math.max(1, used.length),
            )
          ).toPrecision(4),
        ),
        at: shown.map(({ at }) => at),
        delayMs: shown.map(({ delayMs }) => delayMs),
        residualMs: shown.map(({ residualMs }) => residualMs),
        say: shown.map(({ say }) => say),
      },
    ];
  });
}

const milliseconds = (seconds: number): number => Number((seconds * 1e3).toFixed(4));
