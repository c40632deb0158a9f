import type { Triple } from "#science/colour/matrix3";
import { srgbToLinear } from "#science/colour/transfer-functions";
import { chance } from "./chance.ts";
import { chart24Srgb } from "./chart-colours.ts";
import { patchesOutside } from "./cut-chart.ts";
import { drawChart } from "./draw-chart.ts";
import { fitHomography, type Point, project } from "./homography.ts";
import { chartPlaceOf } from "./read-chart-at.ts";
import { type Behind, backdrop, busyKinds } from "./trial-backdrop.ts";
import { randomCamera, recordTrial, type TrialPicture } from "./trial-camera.ts";

/*
 * Drawn pictures with known truth, for trials of what finds the chart: turned, tilted, soft, noisy, compressed,
 * unevenly lit, partly covered, before busy grids, by cameras unlike each other; and the same grids without a chart.
 * Everything follows from one number.
 */

/** Corners of a chart turned in the picture and tilted away, seen by a lens of about 50 degrees. */
function cornersOf(o: {
  width: number;
  height: number;
  share: number;
  turn: number;
  tilt: number;
  axis: number;
  x: number;
  y: number;
}): [Point, Point, Point, Point] {
  const across = o.share * o.width;
  const depth = o.width;
  const raw: Point[] = [
    [-0.5, -1 / 3],
    [0.5, -1 / 3],
    [0.5, 1 / 3],
    [-0.5, 1 / 3],
  ];
  return raw.map(([u, v]) => {
    const [x, y] = [u * across, v * across];
    const [ca, sa] = [Math.cos(o.axis), Math.sin(o.axis)];
    const along = x * ca + y * sa;
    const off = -x * sa + y * ca;
    const z = depth + off * Math.sin(o.tilt);
    const o2 = off * Math.cos(o.tilt);
    const [px, py] = [(along * ca - o2 * sa) * (depth / z), (along * sa + o2 * ca) * (depth / z)];
    const [ct, st] = [Math.cos(o.turn), Math.sin(o.turn)];
    return [o.x + px * ct - py * st, o.y + px * st + py * ct] as Point;
  }) as [Point, Point, Point, Point];
}

const light = chart24Srgb.map((c) => c.map(srgbToLinear) as unknown as Triple);

export interface ChartTrial {
  readonly picture: TrialPicture;
  /** Truth: outer corners of the patch field, as `ChartDrawing` has them. */
  readonly corners: [Point, Point, Point, Point];
  /** In words, for a failing test. */
  readonly what: string;
}

export interface TrialWish {
  /** Hard: 8 to 60 % of the width, tilted to 45°, soft, noisy, coarsely compressed, up to 1.8 stops of fall-off. */
  readonly hard: boolean;
  readonly width: number;
  readonly height: number;
  /** A thumb lies over one corner of the chart. */
  readonly thumb?: boolean;
  /** A shadow with a sharp edge lies over half of the chart: so many stops darker. */
  readonly shadeStops?: number;
  /** The chart reaches out of the picture: so many of its patches lie outside, [least, most]. */
  readonly cut?: readonly [number, number];
  /** Colours to draw instead of the chart's own, linear light. */
  readonly patches?: readonly Triple[];
}

/** A picture with a chart in it. The same seed and wish give the same picture. */
export function chartTrial(seed: number, wish: TrialWish): ChartTrial {
  const { hard, width, height } = wish;
  const next = chance(seed);
  let share = hard ? 0.08 + 0.52 * next() : 0.14 + 0.45 * next();
  const tilt = (hard ? 45 : 30) * next() * (Math.PI / 180);
  const turn = 2 * Math.PI * next();
  const axis = 2 * Math.PI * next();
  let corners: [Point, Point, Point, Point];
  let tries = 0;
  const [from, span] = wish.cut ? [0, 1] : [0.2, 0.6];
  do {
    const [x, y] = [width * (from + span * next()), height * (from + span * next())];
    corners = cornersOf({ width, height, share, turn, tilt, axis, x, y });
    if (++tries % 30 === 0) share *= 0.9;
  } while (!liesAsWished(corners, wish));
  const kinds: readonly Behind[] = ["plain", ...busyKinds];
  const kind = kinds[Math.floor(kinds.length * next())]!;
  const fall = (hard ? 0.9 : 0.3) * next();
  const side = 2 * Math.PI * next();
  const camera = {
    ...randomCamera(next, hard),
    blur: Math.floor((hard ? 4 : 2) * next() * Math.min(1, share * 3) * Math.max(1, width / 1280)),
  };
  const over = wish.thumb ? thumbOver(corners, next) : undefined;
  const shade = wish.shadeStops === undefined ? null : shadeOver(corners, wish.shadeStops, next);
  const linear = drawChart({
    width,
    height,
    corners,
    patches: wish.patches ?? light,
    frame: [0.035, 0.035, 0.035],
    behind: backdrop(kind, next, width),
    ...(over ? { over } : {}),
    light: (x, y) => {
      const along = ((x - width / 2) * Math.cos(side) + (y - height / 2) * Math.sin(side)) / width;
      return 2 ** (-2 * fall * along) * (shade?.(x, y) ?? 1);
    },
  });
  const picture = recordTrial(linear, wish, camera, next);
  const degrees = (radians: number): string => ((radians * 180) / Math.PI).toFixed(0);
  return {
    picture,
    corners,
    what:
      `seed ${seed}: ${(100 * share).toFixed(0)} % of the width, tilt ${degrees(tilt)}, turn ${degrees(turn)}, ` +
      `${kind}, fall-off ${fall.toFixed(1)}, ${camera.curve}, blur ${camera.blur}, noise ${camera.noise.toFixed(3)}, ` +
      `green gain ${camera.gains[1].toFixed(2)}, coarseness ${camera.coarseness.toFixed(3)}`,
  };
}

/** Wholly in the picture with a little to spare; or out of it by as many patches as are wished. */
function liesAsWished(corners: readonly Point[], { width, height, cut }: TrialWish): boolean {
  if (!cut) return corners.every(([x, y]) => x >= 8 && y >= 8 && x <= width - 8 && y <= height - 8);
  const outside = patchesOutside(chartPlaceOf(corners)!.toPicture, width, height).length;
  return outside >= cut[0] && outside <= cut[1];
}

/** Light behind a straight edge that runs near the chart's middle, in any direction. */
function shadeOver(
  corners: readonly [Point, Point, Point, Point],
  stops: number,
  next: () => number,
): (x: number, y: number) => number {
  const middle = [0, 1].map((k) => corners.reduce((sum, p) => sum + p[k]!, 0) / 4) as unknown as Point;
  const size = Math.hypot(corners[0][0] - corners[1][0], corners[0][1] - corners[1][1]);
  const [angle, off] = [2 * Math.PI * next(), 0.12 * size * (2 * next() - 1)];
  const [dx, dy] = [Math.cos(angle), Math.sin(angle)];
  return (x, y) => ((x - middle[0]) * dx + (y - middle[1]) * dy > off ? 2 ** -stops : 1);
}

/** A rounded thumb from outside over one corner: a patch and parts of its neighbours. */
function thumbOver(
  corners: readonly [Point, Point, Point, Point],
  next: () => number,
): (x: number, y: number) => Triple | null {
  const field: Point[] = [
    [0, 0],
    [6, 0],
    [6, 4],
    [0, 4],
  ];
  const toChart = fitHomography(corners, field)!;
  const k = Math.floor(4 * next());
  const [cx, cy] = field[k]!;
  const inwards = [cx === 0 ? 1 : -1, cy === 0 ? 1 : -1] as const;
  const lean = (0.15 + 0.7 * next()) * (Math.PI / 2);
  const [dx, dy] = [inwards[0] * Math.cos(lean), inwards[1] * Math.sin(lean)];
  const reach = 0.7 + 0.5 * next();
  const wide = 0.45 + 0.2 * next();
  const tone = 0.3 + 0.7 * next();
  const skin: Triple = [0.42 * tone, 0.25 * tone, 0.17 * tone];
  return (x, y) => {
    const [u, v] = project(toChart, [x, y]);
    const along = (u - cx) * dx + (v - cy) * dy;
    const off = Math.abs((v - cy) * dx - (u - cx) * dy);
    const tip = reach - wide;
    const inside = along < tip ? off < wide : Math.hypot(along - tip, off) < wide;
    return inside && along > -3 ? skin : null;
  };
}

/** A busy picture without a chart. */
export function chartlessTrial(seed: number, size: Omit<TrialWish, "hard">): TrialPicture {
  const { width, height } = size;
  const next = chance(seed);
  const behind = backdrop(busyKinds[seed % busyKinds.length]!, next, width);
  const linear = new Float32Array(width * height * 3);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) linear.set(behind(x, y), (y * width + x) * 3);
  }
  return recordTrial(linear, size, { ...randomCamera(next, false), blur: seed % 3 }, next);
}
