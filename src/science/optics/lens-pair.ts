/*
 * How two lenses cut together. All of it is common practice: the ladder of primes, "about two steps longer", and the
 * habit of changing the angle by 30 degrees or the lens by 20 mm so that a cut is seen as meant.
 */

/** Focal lengths that primes are made in, for a frame 36 mm wide. */
const ladder = [14, 18, 21, 24, 28, 35, 40, 50, 65, 85, 100, 135, 180, 200, 300] as const;
/** The longer lens that goes with each shorter one: 24 with 50, 35 with 85, 50 with longer than 85. */
const usualPairs: readonly (readonly [number, number])[] = [
  [24, 50],
  [35, 85],
  [50, 100],
];

/** How a cut between two cameras reads. */
export interface PairFigures {
  /** Focal lengths as on a frame 36 mm wide, mm. */
  readonly equalFocalMm: readonly [number, number];
  /** Rungs of the ladder of primes from the shorter lens to the longer. */
  readonly steps: number;
  /** The longer lens that usually goes with the shorter, on a frame 36 mm wide. */
  readonly usualLongerMm: number;
  /** Times by which the sitter grows from the wider frame to the tighter. */
  readonly sizeChange: number;
  /** Between the two directions from the sitter, degrees. */
  readonly angleChange: number;
  /** Whether the cut changes enough to be seen as meant: 30 degrees, or 20 mm and a fifth in size. */
  readonly isClean: boolean;
}

const rung = (equalMm: number): number => {
  let i = 0;
  while (i < ladder.length - 2 && ladder[i + 1]! < equalMm) i++;
  const [low, high] = [ladder[i]!, ladder[i + 1]!];
  return i + Math.log(equalMm / low) / Math.log(high / low);
};

/** The longer lens that usually goes with one, both as on a frame 36 mm wide; between the known pairs by ratio. */
export function usualLongerMm(shorterMm: number): number {
  const first = usualPairs[0]!;
  if (shorterMm <= first[0]) return (shorterMm * first[1]) / first[0];
  for (let i = 1; i < usualPairs.length; i++) {
    const [a, b] = [usualPairs[i - 1]!, usualPairs[i]!];
    if (shorterMm <= b[0])
      return a[1] * (b[1] / a[1]) ** (Math.log(shorterMm / a[0]) / Math.log(b[0] / a[0]));
  }
  return shorterMm * 2;
}

/**
 * Judges a pair of cameras on one sitter.
 *
 * @param a - Focal length and width of the frame's sensor (times squeeze), mm; frame height at the sitter, metres.
 * @param angleDegrees - Between the two cameras, seen from the sitter.
 */
export function judgePair(
  a: { readonly focalMm: number; readonly sensorWidthMm: number; readonly frameHeight: number },
  b: { readonly focalMm: number; readonly sensorWidthMm: number; readonly frameHeight: number },
  angleDegrees: number,
): PairFigures {
  const equal: [number, number] = [(a.focalMm * 36) / a.sensorWidthMm, (b.focalMm * 36) / b.sensorWidthMm];
  const [shorter, longer] = equal[0] <= equal[1] ? equal : [equal[1], equal[0]];
  const sizeChange = Math.max(a.frameHeight, b.frameHeight) / Math.min(a.frameHeight, b.frameHeight);
  return {
    equalFocalMm: equal,
    steps: rung(longer) - rung(shorter),
    usualLongerMm: usualLongerMm(shorter),
    sizeChange,
    angleChange: angleDegrees,
    isClean: angleDegrees >= 30 || (longer - shorter >= 20 && sizeChange >= 1.2),
  };
}
