/** Where a recording lies in the sitting: local time t is at `offset + t * (1 + ratePpm * 1e-6)`. */
export interface Placement {
  readonly offset: number;
  readonly ratePpm: number;
  /** From local time `from` on, another straight line holds. In order of `from`. */
  readonly pieces?: readonly { readonly from: number; readonly offset: number; readonly ratePpm: number }[];
}

const onLine = (line: { offset: number; ratePpm: number }, local: number): number =>
  line.offset + local * (1 + line.ratePpm * 1e-6);

/** Sitting time of a recording's local time, both in seconds. */
export function sittingFromLocal(placement: Placement, localSeconds: number): number {
  const piece = placement.pieces?.findLast(({ from }) => from <= localSeconds);
  return onLine(piece ?? placement, localSeconds);
}

/** Local time of a sitting time: the inverse of {@link sittingFromLocal}, seconds. Where pieces overlap the later one wins. */
export function localFromSitting(placement: Placement, sittingSeconds: number): number {
  const inverse = (line: { offset: number; ratePpm: number }): number =>
    (sittingSeconds - line.offset) / (1 + line.ratePpm * 1e-6);
  const piece = placement.pieces?.findLast((candidate) => inverse(candidate) >= candidate.from);
  return inverse(piece ?? placement);
}

/**
 * The placement of the picture, from that of the sound and the picture's own offset: the sound's travel time is
 * the same for every piece. `null` where the recording was not placed.
 */
export function picturePlacement(placed: {
  readonly offset: number | null;
  readonly ratePpm: number | null;
  readonly pictureOffset: number | null;
  readonly pieces?: Placement["pieces"] | undefined;
}): Placement | null {
  const sound = soundPlacement(placed);
  if (!sound) return null;
  const travel = placed.pictureOffset === null ? 0 : placed.pictureOffset - sound.offset;
  return {
    offset: sound.offset + travel,
    ratePpm: sound.ratePpm,
    ...(sound.pieces ? { pieces: sound.pieces.map((p) => ({ ...p, offset: p.offset + travel })) } : {}),
  };
}

/** The placement of the sound as recorded; `null` where the recording was not placed. */
export function soundPlacement(placed: {
  readonly offset: number | null;
  readonly ratePpm: number | null;
  readonly pieces?: Placement["pieces"] | undefined;
}): Placement | null {
  if (placed.offset === null) return null;
  return {
    offset: placed.offset,
    ratePpm: placed.ratePpm ?? 0,
    ...(placed.pieces ? { pieces: placed.pieces } : {}),
  };
}
