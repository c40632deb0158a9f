import type { Finding, Weight } from "#documents/finding";

/** Seconds by which a finding's range may miss the stretch that it is about: one is rounded, the other is not. */
const slack = 0.5;

/**
 * The mark that stands in a figure at a stretch: that of the worst finding about it; null where none is.
 *
 * @param where - What the stretch belongs to (a path, a device); findings that name something else are not about it.
 */
export function weightAt(
  findings: readonly Finding[],
  stretch: { readonly from: number; readonly to: number },
  where: readonly string[],
): Weight | null {
  const about = findings.filter((f) => {
    const from = f.evidence?.from;
    if (from === undefined) return false;
    if (f.evidence?.where !== undefined && !where.includes(f.evidence.where)) return false;
    const to = f.evidence?.to ?? from;
    return from < stretch.to + slack && to > stretch.from - slack;
  });
  return (["stop", "warn", "note"] as const).find((w) => about.some((f) => f.weight === w)) ?? null;
}
