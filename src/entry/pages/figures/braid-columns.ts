/** Where the two columns of pictures stand, in pixels from the braid's left edge. */
export interface Columns {
  readonly time: number;
  readonly picture: number;
  readonly leftPicture: number;
  readonly rightPicture: number;
  readonly end: number;
}

/**
 * Two equal columns with a gap that the ribbon crosses.
 *
 * @param time - Room for the times at the left.
 * @param gapShare - The gap as a share of what is left; at least 36 px, at most 100.
 */
export function columnsOf(width: number, time: number, gapShare: number): Columns {
  const gap = Math.max(36, Math.min(100, (width - time) * gapShare));
  const picture = Math.floor((width - time - gap) / 2);
  return {
    time,
    picture,
    leftPicture: time,
    rightPicture: time + picture + gap,
    end: time + 2 * picture + gap,
  };
}
