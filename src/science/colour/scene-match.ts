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

/** A match of one camera's light to another's from what both see of one scene. */
export interface SceneMatch {
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
/** What a 3×3 pays for leaving plain gains; few colours are seen, and those alike. */
const ridge = 0.1;
/** For so many of the blurs gains alone are solved. */
const gainsUntil = 4;
/** Quantiles of the light that first guesses of the gains are read at. */
const startParts = [0.3, 0.5, 0.7, 0.9];
const mostColours = 160;
/**
 * What stays even where the moments agree: pairs are made by likeness, so that what is left between them is not what is
 * wrong. By 29 seeded scenes of two measured sensors, each in other light; 23 lay within this and the spread together.
 */
const alwaysLeft = 9;
/** With fewer unlike colours any gains would do. */
const leastColours = 8;

/**
 * The gains and gentle 3×3 that bring one camera's light to another's where no chart was filmed, from moments that
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
  const whole = solve(from, to);
  if (!whole || whole.shared < 0.15) return null;
  const others = pairs.length < 3 ? [] : pairs.map((_, k) => pairs.filter((_p, i) => i !== k));
  const without = others.flatMap((kept) => {
    const one = solve(gathered(kept.map((pair) => pair.from)), gathered(kept.map((pair) => pair.to)));
    return one ? [one] : [];
  });
  // Jackknife: each leaves one moment out.
  const n = without.length;
  const squares = without.reduce((sum, one) => {
    const apart = meanOf(
      from.lights.map((light) =>
        colourDifferenceCie2000(
          labOf(applyMatrix3(one.matrix, light)),
          labOf(applyMatrix3(whole.matrix, light)),
        ),
      ),
      whole.sharedShares,
    );
    return sum + apart ** 2;
  }, 0);
  const spread = n > 1 ? Math.sqrt(((n - 1) / n) * squares) : Number.POSITIVE_INFINITY;
  return {
    matrix: whole.matrix,
    before: whole.before,
    after: whole.after,
    shared: whole.shared,
    spread,
    uncertainty: Math.hypot(alwaysLeft, spread),
  };
}

interface Solved {
  readonly matrix: Matrix3;
  readonly before: number;
  readonly after: number;
  readonly shared: number;
  readonly sharedShares: readonly number[];
  readonly worth: number;
}

/** Where each colour goes to, and how much of it finds a like. */
interface Carried {
  readonly targets: Triple[];
  readonly mass: number[];
}

/** From several first guesses of the gains, the match that carries most and leaves least. */
function solve(from: SeenColours, to: SeenColours): Solved | null {
  let best: Solved | null = null;
  for (const part of startParts) {
    const gain = [0, 1, 2].map((c) => quantile(to, c, part) / Math.max(quantile(from, c, part), 1e-6));
    const one = solveFrom(diagonal(gain as unknown as Triple), from, to);
    if (one && one.worth > (best?.worth ?? 0)) best = one;
  }
  return best;
}

function solveFrom(start: Matrix3, from: SeenColours, to: SeenColours): Solved | null {
  const labTo = to.lights.map(labOf);
  let matrix = start;
  let carried: Carried | null = null;
  for (const [step, blur] of blurs.entries()) {
    // The same blur twice: once the matrix has moved, the pairs are others.
    for (let again = 0; again < 2; again++) {
      const labFrom = from.lights.map((light) => labOf(applyMatrix3(matrix, light)));
      carried = carry(labFrom, from.shares, labTo, to.shares, to.lights, blur);
      if (carried.mass.reduce((sum, v) => sum + v, 0) < 0.02) return null;
      const next = fitMatrix(from, carried, step < gainsUntil);
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
  isGains: boolean,
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
    if (!isGains) {
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
