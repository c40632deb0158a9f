import type { Triple } from "#science/colour/matrix3";
import { edgeSteepness, evenAreas } from "./patch-candidates.ts";
import { blurPlanes, type Planes } from "./planes.ts";

/** A large even area in a picture that may be a grey or white card. */
export interface CardCandidate {
  /** Middle, pixels of the picture given; 0 at the middle of the first. */
  readonly x: number;
  readonly y: number;
  readonly pixels: number;
  /** Mean code values of its inner part. */
  readonly code: Triple;
}

/** Of the picture: a smaller area is anything, a larger one a wall. */
const leastPart = 0.015;
const mostPart = 0.4;
const levels = [0.008, 0.016, 0.032];
/** Of the parallelogram with the same moments. */
const leastFullness = 0.92;
const mostFullness = 1.06;
const mostAspect = 2.2;
/** Between the channels, code value: more is a colour, or a white balance that is nobody's. */
const mostChroma = 0.2;
const darkest = 0.12;

/**
 * Large, even, straight-edged areas of little colour that lie wholly inside a picture. A picture on a wall looks the
 * same: whether it came and went is for the caller to see.
 *
 * @param picture - About 320 pixels wide.
 */
export function findCardCandidates(picture: Planes): CardCandidate[] {
  const { width, height } = picture;
  const soft = blurPlanes(picture);
  const steepness = edgeSteepness(soft);
  const sizes = [leastPart * width * height, mostPart * width * height] as const;
  const found: CardCandidate[] = [];
  for (const level of levels) {
    for (const area of evenAreas(steepness, width, height, level, sizes)) {
      const { x, y, halfWidth, halfHeight, pixels } = area;
      if (area.fullness < leastFullness || area.fullness > mostFullness || area.aspect > mostAspect) continue;
      if (x - halfWidth < 3 || y - halfHeight < 3 || x + halfWidth > width - 4 || y + halfHeight > height - 4)
        continue;
      const code = meanAbout(soft, x, y, 0.3 * Math.sqrt(pixels));
      if (Math.max(...code) - Math.min(...code) > mostChroma || code[1] < darkest) continue;
      if (found.some((other) => Math.hypot(other.x - x, other.y - y) < 0.3 * Math.sqrt(pixels))) continue;
      found.push({ x, y, pixels, code });
    }
  }
  return found;
}

/** Mean of a square. */
export function meanAbout({ width, height, planes }: Planes, x: number, y: number, half: number): Triple {
  const [left, right] = [Math.max(0, Math.round(x - half)), Math.min(width - 1, Math.round(x + half))];
  const [top, low] = [Math.max(0, Math.round(y - half)), Math.min(height - 1, Math.round(y + half))];
  const n = (right - left + 1) * (low - top + 1);
  return planes.map((plane) => {
    let sum = 0;
    for (let r = top; r <= low; r++) for (let c = left; c <= right; c++) sum += plane[r * width + c]!;
    return sum / n;
  }) as unknown as Triple;
}
