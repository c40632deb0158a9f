import type { SourceSaid } from "#documents/said";
import type { Segment } from "./segments.ts";

/** A stretch shorter than this is rounding, seconds. */
const hair = 1e-3;

/**
 * Lays the microphones that a person chose over the chosen segments.
 *
 * @param segments - Touching, in order, track time.
 * @param said - Sitting time, apart from one another.
 * @param trackStart - Sitting time of the track's beginning.
 * @returns Segments that touch and cover the same time.
 */
export function withSaidSources(
  segments: readonly Segment[],
  said: readonly SourceSaid[],
  trackStart: number,
): Segment[] {
  const end = segments.at(-1)?.end ?? 0;
  const byHand = said
    .map(
      ({ from, to, source }): Segment => ({
        start: Math.max(0, from - trackStart),
        end: Math.min(end, to - trackStart),
        source,
        why: source === "both" ? "you chose both" : `you chose the ${source}`,
        said: true,
      }),
    )
    .filter((one) => one.end - one.start > hair)
    .sort((a, b) => a.start - b.start);
  const whole: Segment[] = [];
  let at = 0;
  const upTo = (to: number): void => {
    for (const segment of segments) {
      const start = Math.max(at, segment.start);
      const stop = Math.min(to, segment.end);
      if (stop - start > 0) whole.push({ ...segment, start, end: stop });
    }
    at = to;
  };
  for (const one of byHand) {
    if (one.start > at) upTo(one.start);
    const start = Math.max(at, one.start);
    if (one.end - start <= hair) continue;
    whole.push({ ...one, start });
    at = one.end;
  }
  if (at < end) upTo(end);
  return whole;
}
