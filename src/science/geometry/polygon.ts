/** A corner of a floor plan: x, y in metres. */
export type Corner = readonly [number, number];

/** Area of a polygon, square metres: above 0 when its corners run anticlockwise (the shoelace formula). */
export function signedArea(corners: readonly Corner[]): number {
  let twice = 0;
  for (let i = 0; i < corners.length; i++) {
    const a = corners[i]!;
    const b = corners[(i + 1) % corners.length]!;
    twice += a[0] * b[1] - b[0] * a[1];
  }
  return twice / 2;
}

/** Whether a point lies inside a polygon, by crossings of a ray (even-odd rule). */
export function isInside(corners: readonly Corner[], x: number, y: number): boolean {
  let inside = false;
  for (let i = 0, j = corners.length - 1; i < corners.length; j = i++) {
    const a = corners[i]!;
    const b = corners[j]!;
    if (a[1] > y !== b[1] > y && x < ((b[0] - a[0]) * (y - a[1])) / (b[1] - a[1]) + a[0]) inside = !inside;
  }
  return inside;
}

/** Distance of a point from a straight piece a-b, metres. */
export function distanceToEdge(a: Corner, b: Corner, x: number, y: number): number {
  const dx = b[0] - a[0];
  const dy = b[1] - a[1];
  const square = dx * dx + dy * dy;
  const t = square > 0 ? Math.max(0, Math.min(1, ((x - a[0]) * dx + (y - a[1]) * dy) / square)) : 0;
  return Math.hypot(x - a[0] - t * dx, y - a[1] - t * dy);
}

/** Distance of a point from a polygon's nearest edge, metres, inside or out. */
export function distanceToOutline(corners: readonly Corner[], x: number, y: number): number {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < corners.length; i++)
    least = Math.min(least, distanceToEdge(corners[i]!, corners[(i + 1) % corners.length]!, x, y));
  return least;
}

/** Whether two straight pieces a-b and c-d cross; those that only touch do not. */
export function edgesCross(a: Corner, b: Corner, c: Corner, d: Corner): boolean {
  const side = (p: Corner, q: Corner, r: Corner): number =>
    (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
  return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}
