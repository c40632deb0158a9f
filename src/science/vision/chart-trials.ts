import type { Triple } from "#science/colour/matrix3";
import { linearToAcescct, linearToBt709, srgbToLinear } from "#science/colour/transfer-functions";
import { chart24Srgb } from "./chart-colours.ts";
import { drawChart } from "./draw-chart.ts";
import type { Point } from "./homography.ts";

/*
 * Drawn pictures with known truth, for trials of what finds the chart: turned, tilted, soft, noisy, unevenly lit,
 * before busy grids; and the same grids without a chart. Everything follows from one number.
 */

/** A repeatable stream of numbers from 0 to 1 (mulberry32). */
function chance(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}
const normal = (next: () => number): number =>
  Math.sqrt(-2 * Math.log(next() + 1e-12)) * Math.cos(2 * Math.PI * next());

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

const busyKinds = ["tiles", "shelves", "clutter"] as const;
type Behind = "plain" | (typeof busyKinds)[number];

function backdrop(kind: Behind, next: () => number, width: number): (x: number, y: number) => Triple {
  const pitch = width * (0.02 + 0.06 * next());
  const base: Triple = [0.1 + 0.3 * next(), 0.1 + 0.3 * next(), 0.1 + 0.3 * next()];
  const hash = (i: number, j: number): number => {
    let h = Math.imul(i | 0, 374761393) + Math.imul(j | 0, 668265263);
    h = Math.imul(h ^ (h >>> 13), 1274126177);
    return ((h ^ (h >>> 16)) >>> 0) / 2 ** 32;
  };
  if (kind === "plain")
    return (x, y) => base.map((b) => b * (0.6 + 0.4 * Math.sin((x + 2 * y) / width))) as unknown as Triple;
  if (kind === "tiles")
    return (x, y) => {
      const [i, j] = [Math.floor(x / pitch), Math.floor(y / pitch)];
      const grout = x / pitch - i < 0.12 || y / pitch - j < 0.12;
      return grout
        ? [0.03, 0.03, 0.03]
        : [0.05 + 0.7 * hash(i, j), 0.05 + 0.7 * hash(i + 99, j), 0.05 + 0.7 * hash(i, j + 99)];
    };
  if (kind === "shelves")
    return (x, y) => {
      const j = Math.floor(y / (pitch * 2.5));
      if (y / (pitch * 2.5) - j < 0.1) return [0.08, 0.05, 0.03];
      const i = Math.floor((x + hash(j, 7) * 50) / (pitch * 0.4));
      return [0.05 + 0.5 * hash(i, j), 0.05 + 0.4 * hash(i + 5, j), 0.05 + 0.3 * hash(i, j + 5)];
    };
  return (x, y) => {
    const [i, j] = [Math.floor((x + 0.3 * y) / pitch), Math.floor((y - 0.2 * x) / (pitch * 0.7))];
    return [0.5 * hash(i, j), 0.5 * hash(i, j + 3), 0.5 * hash(i + 3, j)];
  };
}

function camera(
  linear: Float32Array,
  o: {
    width: number;
    height: number;
    blur: number;
    noise: number;
    curve: "log" | "709";
    gains: Triple;
    next: () => number;
  },
): TrialPicture {
  const { width, height } = o;
  let image = linear;
  for (let pass = 0; pass < o.blur; pass++) {
    const soft = image.slice();
    for (let y = 1; y < height - 1; y++)
      for (let x = 1; x < width - 1; x++)
        for (let c = 0; c < 3; c++) {
          const i = (y * width + x) * 3 + c;
          soft[i] =
            (image[i]! * 4 + image[i - 3]! + image[i + 3]! + image[i - width * 3]! + image[i + width * 3]!) /
            8;
        }
    image = soft;
  }
  const curve = o.curve === "log" ? linearToAcescct : linearToBt709;
  const rgb = new Uint8Array(width * height * 3);
  for (let i = 0; i < rgb.length; i++)
    rgb[i] = Math.min(
      255,
      Math.max(0, Math.round(255 * curve(image[i]! * o.gains[i % 3]!) + 255 * o.noise * normal(o.next))),
    );
  return { width, height, rgb };
}

/** An 8-bit picture. */
export interface TrialPicture {
  readonly width: number;
  readonly height: number;
  readonly rgb: Uint8Array;
}

export interface ChartTrial {
  readonly picture: TrialPicture;
  /** Truth: outer corners of the patch field, as {@link ChartDrawing} has them. */
  readonly corners: [Point, Point, Point, Point];
  /** In words, for a failing test. */
  readonly what: string;
}

export interface TrialWish {
  /** Hard: 8 to 60 % of the width, tilted to 45°, soft, noisy, up to a stop and more of fall-off. */
  readonly hard: boolean;
  readonly width: number;
  readonly height: number;
}

/** A picture with a chart in it. The same seed and wish give the same picture. */
export function chartTrial(seed: number, { hard, width, height }: TrialWish): ChartTrial {
  const next = chance(seed);
  let share = hard ? 0.08 + 0.52 * next() : 0.14 + 0.45 * next();
  const tilt = (hard ? 45 : 30) * next() * (Math.PI / 180);
  const turn = 2 * Math.PI * next();
  const axis = 2 * Math.PI * next();
  let corners: [Point, Point, Point, Point];
  let tries = 0;
  do {
    const [x, y] = [width * (0.2 + 0.6 * next()), height * (0.2 + 0.6 * next())];
    corners = cornersOf({ width, height, share, turn, tilt, axis, x, y });
    if (++tries % 30 === 0) share *= 0.9;
  } while (corners.some(([x, y]) => x < 8 || y < 8 || x > width - 8 || y > height - 8));
  const kind = (["plain", ...busyKinds] as const)[Math.floor(4 * next())]!;
  const fall = (hard ? 0.9 : 0.3) * next();
  const side = 2 * Math.PI * next();
  const curve = next() < 0.5 ? "log" : "709";
  const linear = drawChart({
    width,
    height,
    corners,
    patches: light,
    frame: [0.035, 0.035, 0.035],
    behind: backdrop(kind, next, width),
    light: (x, y) => {
      const along = ((x - width / 2) * Math.cos(side) + (y - height / 2) * Math.sin(side)) / width;
      return 2 ** (-2 * fall * along);
    },
  });
  const blur = Math.floor((hard ? 4 : 2) * next() * Math.min(1, share * 3));
  const picture = camera(linear, {
    width,
    height,
    blur,
    noise: (hard ? 0.015 : 0.006) * next(),
    curve,
    gains: [0.6 + 0.4 * next(), 0.6 + 0.3 * next(), 0.6 + 0.4 * next()],
    next,
  });
  const degrees = (radians: number): string => ((radians * 180) / Math.PI).toFixed(0);
  return {
    picture,
    corners,
    what: `seed ${seed}: ${(100 * share).toFixed(0)} % of the width, tilt ${degrees(tilt)}, turn ${degrees(turn)}, ${kind}, fall-off ${fall.toFixed(1)}, ${curve}, blur ${blur}`,
  };
}

/** A busy picture without a chart. */
export function chartlessTrial(seed: number, { width, height }: Omit<TrialWish, "hard">): TrialPicture {
  const next = chance(seed);
  const behind = backdrop(busyKinds[seed % busyKinds.length]!, next, width);
  const linear = new Float32Array(width * height * 3);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) linear.set(behind(x, y), (y * width + x) * 3);
  }
  const curve = next() < 0.5 ? "log" : "709";
  return camera(linear, {
    width,
    height,
    blur: seed % 3,
    noise: 0.01 * next(),
    curve,
    gains: [1, 1, 1],
    next,
  });
}
