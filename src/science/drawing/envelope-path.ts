/**
 * A sound's envelope as the outline of a shape whose time runs down the page, mirrored about an upright axis.
 *
 * @param envelope - `peaks`, 0..1: `perSecond` values a second from time `from`.
 * @param y - Time to page units; one point per page unit at most, the largest peak within it, so that a click is not lost.
 * @param half - Half of the shape's width at a peak of 1; peaks are drawn by the power 0.6, so that quiet speech shows.
 * @returns A closed SVG path for [start, end), or "" where there is nothing.
 */
export function envelopePath(
  envelope: { readonly from: number; readonly perSecond: number; readonly peaks: readonly number[] },
  range: { readonly start: number; readonly end: number },
  y: (time: number) => number,
  centre: number,
  half: number,
): string {
  const first = Math.max(0, Math.floor((range.start - envelope.from) * envelope.perSecond));
  const last = Math.min(envelope.peaks.length, Math.ceil((range.end - envelope.from) * envelope.perSecond));
  const points: { y: number; w: number }[] = [];
  for (let i = first; i < last; i++) {
    const at = y(envelope.from + (i + 0.5) / envelope.perSecond);
    const w = Math.max(0.4, Math.min(1, Math.max(0, envelope.peaks[i]!)) ** 0.6 * half);
    const previous = points.at(-1);
    if (previous && at - previous.y < 1) previous.w = Math.max(previous.w, w);
    else points.push({ y: at, w });
  }
  if (points.length < 2) return "";
  const right = points.map((p) => `${(centre + p.w).toFixed(1)} ${p.y.toFixed(1)}`);
  const left = points.toReversed().map((p) => `${(centre - p.w).toFixed(1)} ${p.y.toFixed(1)}`);
  return `M${right.join("L")}L${left.join("L")}Z`;
}
