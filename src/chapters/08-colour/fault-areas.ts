import { chart24Columns } from "#science/colour/chart24";
import { fitHomography, type Point, project } from "#science/vision/homography";

type Area = [Point, Point, Point, Point];

/**
 * Where patches of a chart lie in the picture: four corners each, pixels as displayed.
 *
 * @param corners - Outer corners of the 24-patch field, from dark skin's clockwise.
 * @param patches - Published numbers less one.
 */
export function areasOfPatches(corners: readonly Point[], patches: readonly number[]): [number, number][][] {
  const [p, q, r, s] = corners;
  if (!p || !q || !r || !s) return [];
  const field: Area = [
    [0, 0],
    [chart24Columns, 0],
    [chart24Columns, 4],
    [0, 4],
  ];
  const seen = fitHomography(field, [p, q, r, s]);
  if (!seen) return [];
  return patches.map((index) => {
    const [x, y] = [index % chart24Columns, Math.floor(index / chart24Columns)];
    const around: Area = [
      [x, y],
      [x + 1, y],
      [x + 1, y + 1],
      [x, y + 1],
    ];
    return around.map((corner) => {
      const [u, v] = project(seen, corner);
      return [Number(u.toFixed(1)), Number(v.toFixed(1))] as [number, number];
    });
  });
}
