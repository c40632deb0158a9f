/** The largest error of a placement at any moment of its file, seconds. */
export const worstError = (
  placed: { offset: number | null; ratePpm: number | null },
  file: { offset: number; ratePpm: number; seconds: number },
): number =>
  Math.max(
    ...[0, file.seconds].map((t) =>
      Math.abs(
        placed.offset! + t * (1 + placed.ratePpm! * 1e-6) - (file.offset + t * (1 + file.ratePpm * 1e-6)),
      ),
    ),
  );
