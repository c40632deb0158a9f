import { colourDifferenceCie2000 } from "./ciede2000.ts";
import { xyzToLab } from "./lab.ts";
import { leastSquares } from "./linear-solve.ts";
import { applyMatrix3, type Matrix3, type Triple } from "./matrix3.ts";
import { bt709, rgbToXyzMatrix } from "./primaries.ts";
import { chromaticityToXyz, whiteD65 } from "./white-points.ts";

/** Colours of one moment as a camera saw them: linear light, and how much of the picture each takes. */
export interface SeenColours {
  readonly lights: readonly Triple[];
  readonly shares: readonly number[];
}

/** How much a match of scenes may do. */
export type SceneLevel = "gains" | "matrix";

/** A match of one camera's light to another's from what both see of one scene. */
export interface SceneMatch {
  /** What was solved: a 3×3 where moments left out of it agree better under it than under gains alone. */
  readonly level: SceneLevel;
  /** Linear light of the one to linear light of the other. */
  readonly matrix: Matrix3;
  /** How far apart the scene's colours lie before and after, those that both see, CIEDE2000; before: one gain of light for all channels. */
  readonly before: number;
  readonly after: number;
  /** Part of the second camera's picture that found its like in the first's. */
  readonly shared: number;
  /** Spread of the match when moments are left out, CIEDE2000 on the colours that both see. */
  readonly spread: number;
  /** Within this the match's mean error lies in about four cases of five, CIEDE2000 on the colours that both see. */
  readonly uncertainty: number;
}

/** Colours farther apart than this, once matched, are not of one thing. CIE 1976 units. */
const farthest = 12;
/** From coarse to fine: how blurred the matching is, CIE 1976 units. */
const blurs = [20, 14, 10, 7, 5, 4, 3.5, 3];
const scalings = 25;
/** What a colour loses by going without its like: mass is given up rather than carried farther. */
const slackOf = (blur: number): number => (farthest ** 2 / (farthest ** 2 + blur ** 2)) * 0.9;
/**
 * What a 3×3 pays for leaving plain gains at each blur; null: gains alone. The surer the pairs, the freer the matrix:
 * held back to the end, it would stay at the gains, whatever the pairs say.
 */
const ridges: Readonly<Record<SceneLevel, readonly (number | null)[]>> = {
  gains: blurs.map(() => null),
  matrix: [null, null, null, null, 0.001, 0.0003, 0.0001, 0.00003],
};
/** Rounds at each blur: once the matrix has moved, the pairs are others. The last settles. */
const roundsAt = (step: number): number => (step === blurs.length - 1 ? 8 : 2);
/** Quantiles of the light that first guesses of the gains are read at. */
const startParts = [0.3, 0.5, 0.7, 0.9];
const mostColours = 160;
/**
 * Pairs are made by likeness, so that what is left between them is less than what is wrong: so many times, and more
 * where more is left than this, for then some pairs are wrong ones. By two sets of seeded scenes, of which
 * bench/colour-scene.bench.ts judges others.
 */
const wrongForLeft = 2.5;
/** A 3×3 has to bring moments left out so much nearer than gains do: where greys are all there is, it only seems to. */
const worthWhile = 0.9;
/** Part of the picture that has to find its like. */
const leastShared = 0.15;
/** With fewer moments none can be left out. */
const leastMoments = 3;
/** With fewer unlike colours any gains would do. */
const leastColours = 8;

/**
 * The gains, or the 3×3, that bring one camera's light to another's where no chart was filmed, from moments that
 * both filmed at the same time.
 *
 * Both see the same face, clothes and parts of the room in unlike proportions, and each sees things that the other
 * does not. Colours are carried from the one cloud to the other by optimal transport that may leave mass behind
 * (entropic, with relaxed marginals); from the pairs so made the matrix is solved by least squares, and again, ever
 * finer. It can be fooled: where the two pictures have little in common, or nothing of colour.
 *
 * @param pairs - One a moment: the first camera's colours, then the second's. Linear light, a white wall about 1.
 * @returns null where too little is alike.
 *
 * Source: Chizat, Peyré, Schmitzer & Vialard 2018, Math. Comp. 87 (scaling for unbalanced transport).
 */
export function matchScene(
  pairs: readonly { readonly to: SeenColours; readonly from: SeenColours }[],
): SceneMatch | null {
  const to = gathered(pairs.map((pair) => pair.to));
  const from = gathered(pairs.map((pair) => pair.from));
  if (Math.min(from.lights.length, to.lights.length) < leastColours) return null;
  const moments = pairs.map((pair) => ({ from: gathered([pair.from]), to: gathered([pair.to]) }));
  const tried = (["gains", "matrix"] as const).flatMap((level) => {
    const whole = solve(level, from, to, startParts);
    if (!whole || whole.shared < leastShared) return [];
    // Each leaves one moment out; it starts where the whole was found, for its way there is not what is asked.
    const without = (pairs.length < leastMoments ? [] : pairs).map((_, out) => {
      const kept = pairs.filter((_p, i) => i !== out);
      const [x, y] = [gathered(kept.map((pair) => pair.from)), gathered(kept.map((pair) => pair.to))];
      return solve(level, x, y, [whole.part]);
    });
    const found = without.flatMap((one) => (one ? [one.matrix] : []));
    // Where a moment left out gives no match at all the level cannot be judged by it.
    const heldOut = without.map((one, k) =>
      one ? cloudsApart(one.matrix, moments[k]!.from, moments[k]!.to) : farthest,
    );
    return [{ level, whole, spread: jackknife(whole, found, from), heldOut: mean(heldOut) }];
  });
  const best = tried.reduce<(typeof tried)[number] | null>(
    (p, q) => (p === null || q.heldOut < worthWhile * p.heldOut ? q : p),
    null,
  );
  if (!best) return null;
  const { level, whole, spread } = best;
  return {
    level,
    matrix: whole.matrix,
    before: whole.before,
    after: whole.after,
    shared: whole.shared,
    spread,
    uncertainty: Math.max(wrongForLeft, whole.after) * whole.after + spread,
  };
}

/** Root of the jackknife's variance: how far matches without one moment lie from the whole, CIEDE2000. */
function jackknife(whole: Solved, without: readonly Matrix3[], from: SeenColours): number {
  const n = without.length;
  if (n < 2) return Number.POSITIVE_INFINITY;
  const squares = without.map((matrix) => {
    const apart = from.lights.map((light) =>
      colourDifferenceCie2000(labOf(applyMatrix3(matrix, light)), labOf(applyMatrix3(whole.matrix, light))),
    );
    return meanOf(apart, whole.sharedShares) ** 2;
  });
  return Math.sqrt(((n - 1) / n) * squares.reduce((sum, v) => sum + v, 0));
}

/**
 * How far two clouds lie apart under a matrix: each colour from its nearest in the other, both ways, so that a matrix
 * that draws all colours together gains nothing; things that one alone sees count for no more than the farthest.
 */
function cloudsApart(matrix: Matrix3, from: SeenColours, to: SeenColours): number {
  const a = from.lights.map((light) => labOf(applyMatrix3(matrix, light)));
  const b = to.lights.map(labOf);
  const nearest = (one: Triple, others: readonly Triple[]): number => {
    let least = farthest;
    for (const other of others) least = Math.min(least, distance(one, other));
    return least;
  };
  const there = meanOf(
    a.map((one) => nearest(one, b)),
    from.shares,
  );
  const back = meanOf(
    b.map((one) => nearest(one, a)),
    to.shares,
  );
  return (there + back) / 2;
}

interface Solved {
  readonly matrix: Matrix3;
  readonly before: number;
  readonly after: number;
  readonly shared: number;
  readonly sharedShares: readonly number[];
  readonly worth: number;
  /** Which first guess it came from. */
  readonly part: number;
}

/** Where each colour goes to, and how much of it finds a like. */
interface Carried {
  readonly targets: Triple[];
  readonly mass: number[];
}

/** From several first guesses of the gains, the match that carries most and leaves least. */
function solve(
  level: SceneLevel,
  from: SeenColours,
  to: SeenColours,
  parts: readonly number[],
): Solved | null {
  let best: Solved | null = null;
  for (const part of parts) {
    const one = solveFrom(level, part, from, to);
    if (one && one.worth > (best?.worth ?? 0)) best = one;
  }
  return best;
}

function solveFrom(level: SceneLevel, part: number, from: SeenColours, to: SeenColours): Solved | null {
  const labTo = to.lights.map(labOf);
  const gain = (c: number): number => quantile(to, c, part) / Math.max(quantile(from, c, part), 1e-6);
  let matrix = diagonal([gain(0), gain(1), gain(2)]);
  let carried: Carried | null = null;
  for (const [step, blur] of blurs.entries()) {
    for (let round = 0; round < roundsAt(step); round++) {
      const labFrom = from.lights.map((light) => labOf(applyMatrix3(matrix, light)));
      carried = carry(labFrom, from.shares, labTo, to.shares, to.lights, blur);
      if (carried.mass.reduce((sum, v) => sum + v, 0) < 0.02) return null;
      const next = fitMatrix(from, carried, ridges[level][step]!);
      if (!next) return null;
      matrix = next;
    }
  }
  const { targets, mass } = carried!;
  const through = (m: Matrix3): Triple[] => from.lights.map((light) => labOf(applyMatrix3(m, light)));
  const aims = targets.map(labOf);
  const apart = (m: Matrix3): number[] => through(m).map((lab, i) => colourDifferenceCie2000(lab, aims[i]!));
  const left = through(matrix).map((lab, i) => distance(lab, aims[i]!));
  return {
    matrix,
    before: meanOf(apart(exposureOnly(from, targets, mass)), mass),
    after: meanOf(apart(matrix), mass),
    shared: mass.reduce((sum, v) => sum + v, 0),
    sharedShares: mass,
    part,
    worth: left.reduce((sum, d, i) => sum + mass[i]! * Math.max(0, 1 - (d / farthest) ** 2), 0),
  };
}

/** One round of transport. */
function carry(
  labFrom: readonly Triple[],
  sharesFrom: readonly number[],
  labTo: readonly Triple[],
  sharesTo: readonly number[],
  lightsTo: readonly Triple[],
  blur: number,
): Carried {
  const [n, m] = [labFrom.length, labTo.length];
  const kernel = new Float64Array(n * m);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < m; j++) {
      const d = distance(labFrom[i]!, labTo[j]!);
      kernel[i * m + j] = Math.exp(-(d ** 2) / (2 * blur ** 2));
    }
  }
  const u = new Float64Array(n).fill(1);
  const v = new Float64Array(m).fill(1);
  const slack = slackOf(blur);
  for (let round = 0; round < scalings; round++) {
    for (let i = 0; i < n; i++) {
      let sum = 1e-12;
      for (let j = 0; j < m; j++) sum += kernel[i * m + j]! * v[j]!;
      u[i] = (sharesFrom[i]! / sum) ** slack;
    }
    for (let j = 0; j < m; j++) {
      let sum = 1e-12;
      for (let i = 0; i < n; i++) sum += kernel[i * m + j]! * u[i]!;
      v[j] = (sharesTo[j]! / sum) ** slack;
    }
  }
  const targets: Triple[] = [];
  const mass: number[] = [];
  for (let i = 0; i < n; i++) {
    let total = 0;
    let likeness = 0;
    const sum = [0, 0, 0];
    for (let j = 0; j < m; j++) {
      const part = u[i]! * kernel[i * m + j]! * v[j]!;
      total += part;
      likeness += part * (distance(labFrom[i]!, labTo[j]!) < Math.max(farthest, 1.5 * blur) ? 1 : 0);
      for (let c = 0; c < 3; c++) sum[c] = sum[c]! + part * lightsTo[j]![c]!;
    }
    targets.push([
      sum[0]! / Math.max(total, 1e-12),
      sum[1]! / Math.max(total, 1e-12),
      sum[2]! / Math.max(total, 1e-12),
    ]);
    mass.push(Math.min(likeness, sharesFrom[i]!));
  }
  return { targets, mass };
}

/** The matrix that takes colours to where they were carried, weighed as the eye weighs light; gains alone at first. */
function fitMatrix(
  from: SeenColours,
  { targets, mass }: { readonly targets: readonly Triple[]; readonly mass: readonly number[] },
  ridge: number | null,
): Matrix3 | null {
  const rows: Triple[] = [];
  for (let c = 0; c < 3; c++) {
    const weights = targets.map(
      (target, i) => Math.sqrt(mass[i]!) / (0.1 + Math.max(target[c]!, 0)) ** (2 / 3),
    );
    // The ratio of means: a regression would be pulled to darker by every colour that went a little astray.
    let [x, y, xx] = [1e-12, 0, 1e-12];
    from.lights.forEach((light, i) => {
      x += weights[i]! ** 2 * light[c]!;
      y += weights[i]! ** 2 * targets[i]![c]!;
      xx += weights[i]! ** 2 * light[c]! ** 2;
    });
    const gain = y / x;
    const own: [number, number, number] = [0, 0, 0];
    own[c] = gain;
    if (ridge !== null) {
      const scale = Math.sqrt(ridge * xx);
      const lines = from.lights.map((light, i) => light.map((v) => v * weights[i]!));
      const right = targets.map((target, i) => target[c]! * weights[i]!);
      for (let k = 0; k < 3; k++) {
        lines.push([0, 1, 2].map((q) => (q === k ? scale : 0)));
        right.push(k === c ? scale * gain : 0);
      }
      const solved = leastSquares(lines, right);
      if (!solved) return null;
      rows.push([solved[0]!, solved[1]!, solved[2]!]);
    } else rows.push(own);
  }
  return rows as unknown as Matrix3;
}

/** One gain of light for all channels: what is left is colour. */
function exposureOnly(from: SeenColours, targets: readonly Triple[], mass: readonly number[]): Matrix3 {
  const brightness = (light: Triple): number => 0.2126 * light[0] + 0.7152 * light[1] + 0.0722 * light[2];
  let [a, b] = [0, 1e-12];
  from.lights.forEach((light, i) => {
    a += mass[i]! * brightness(targets[i]!);
    b += mass[i]! * brightness(light);
  });
  return diagonal([a / b, a / b, a / b]);
}

/** Many moments' colours as one cloud, like colours gathered, the largest kept. */
function gathered(moments: readonly SeenColours[]): SeenColours {
  const cells = new Map<string, { sum: [number, number, number]; share: number }>();
  for (const { lights, shares } of moments) {
    lights.forEach((light, i) => {
      const key = labOf(light)
        .map((v) => Math.round(v / 3.5))
        .join();
      const cell = cells.get(key) ?? { sum: [0, 0, 0], share: 0 };
      for (let c = 0; c < 3; c++) cell.sum[c] = cell.sum[c]! + shares[i]! * light[c]!;
      cell.share += shares[i]!;
      cells.set(key, cell);
    });
  }
  // A wall that fills the picture says no more than a face does.
  const kept = [...cells.values()].sort((p, q) => q.share - p.share).slice(0, mostColours);
  const weights = kept.map(({ share }) => Math.sqrt(share));
  const total = weights.reduce((sum, w) => sum + w, 0);
  return {
    lights: kept.map(({ sum, share }) => [sum[0] / share, sum[1] / share, sum[2] / share]),
    shares: weights.map((w) => w / total),
  };
}

/** The light below which a part of the cloud lies, in one channel. */
function quantile({ lights, shares }: SeenColours, c: number, part: number): number {
  const order = lights.map((light, i) => [light[c]!, shares[i]!] as const).sort((p, q) => p[0] - q[0]);
  let sum = 0;
  for (const [value, share] of order) {
    sum += share;
    if (sum >= part) return value;
  }
  return order.at(-1)?.[0] ?? 1;
}

function mean(values: readonly number[]): number {
  return values.length === 0 ? farthest : values.reduce((sum, v) => sum + v, 0) / values.length;
}

function meanOf(values: readonly number[], weights: readonly number[]): number {
  const total = weights.reduce((sum, w) => sum + w, 1e-12);
  return values.reduce((sum, v, i) => sum + v * weights[i]!, 0) / total;
}

const toXyz = rgbToXyzMatrix(bt709);
const white = chromaticityToXyz(whiteD65);
/** As if the cameras' channels were a screen's: near enough to say how unlike two colours look. */
const labOf = (light: Triple): Triple => xyzToLab(applyMatrix3(toXyz, light), white);

function distance(a: Triple, b: Triple): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

function diagonal([r, g, b]: Triple): Matrix3 {
  return [
    [r, 0, 0],
    [0, g, 0],
    [0, 0, b],
  ] as unknown as Matrix3;
}
