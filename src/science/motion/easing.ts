/** How a carriage or a head moves between two places. */
export type Ease = "none" | "in-out";

/**
 * Share of the way after a share of the time: steady, or with a soft start and end (3u² - 2u³).
 *
 * @param u - 0 to 1; held at the ends.
 */
export function eased(ease: Ease, u: number): number {
  const t = Math.max(0, Math.min(1, u));
  return ease === "none" ? t : t * t * (3 - 2 * t);
}

/** Fastest speed over mean speed of a move: 1 steady, 1.5 with a soft start and end. */
export const peakSpeedShare = (ease: Ease): number => (ease === "none" ? 1 : 1.5);
