import type { Recording } from "#documents/recording";
import { localFromSitting, type Placement } from "#science/placement/placement";
import type { Camera } from "./colour-inputs.ts";

/** A camera's recordings with where their pictures lie in the sitting. */
export interface PlacedCamera extends Camera {
  readonly placements: Readonly<Record<string, Placement>>;
}

/** A moment of one recording, local time. */
export interface Moment {
  readonly recording: Recording;
  readonly at: number;
}

const momentsWanted = 7;

/** Moments that both cameras filmed, spread over all that they share (within a stretch of sitting time). */
export function commonMoments(
  a: PlacedCamera,
  b: PlacedCamera,
  within: { readonly from: number | null; readonly to: number | null } = { from: null, to: null },
): { inA: Moment; inB: Moment }[] {
  const shared: { from: number; to: number; a: Recording; b: Recording }[] = [];
  const span = (camera: PlacedCamera, recording: Recording): [number, number] | null => {
    const placement = camera.placements[recording.hash];
    if (!placement) return null;
    const length = recording.readableSeconds ?? recording.probe.durationSeconds;
    return [placement.offset, placement.offset + length];
  };
  for (const one of a.recordings) {
    for (const other of b.recordings) {
      const [p, q] = [span(a, one), span(b, other)];
      if (!p || !q) continue;
      const from = Math.max(p[0] + 1, q[0] + 1, within.from ?? Number.NEGATIVE_INFINITY);
      const to = Math.min(p[1] - 1, q[1] - 1, within.to ?? Number.POSITIVE_INFINITY);
      if (to > from) shared.push({ from, to, a: one, b: other });
    }
  }
  const total = shared.reduce((sum, { from, to }) => sum + to - from, 0);
  if (total < 2) return [];
  return Array.from({ length: momentsWanted }, (_, k) => {
    let left = ((k + 0.5) * total) / momentsWanted;
    const part = shared.find(({ from, to }) => {
      if (left <= to - from) return true;
      left -= to - from;
      return false;
    })!;
    const at = part.from + left;
    return {
      inA: { recording: part.a, at: localFromSitting(a.placements[part.a.hash]!, at) },
      inB: { recording: part.b, at: localFromSitting(b.placements[part.b.hash]!, at) },
    };
  });
}
