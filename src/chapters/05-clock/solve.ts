import { inverse, Matrix } from "ml-matrix";
import { headSwayPeriodSeconds, headSwaySeconds, uncertaintyFloorSeconds } from "./constants.ts";
import type { ClockLine } from "./line.ts";
import type { MeasuredWindow } from "./second-look.ts";

/** Plain crystals differ by about this much. Common practice. */
const usualPpm = 60;
/** Scatter of single windows in ordinary rooms, seconds, as simulated ones gave it. */
const usualScatterSeconds = 1e-4;

/** Windows of one pair: recording `other` heard what recording `reference` heard. Indices into the recordings. */
export interface PairMeasured {
  readonly reference: number;
  readonly other: number;
  readonly windows: readonly MeasuredWindow[];
}

export interface Solved {
  readonly line: ClockLine;
  /** One standard deviation at the worst moment of the recording, seconds. */
  readonly uncertainty: number;
  readonly ratePpmDeviation: number;
}

/** Tukey's biweight with the usual constant. */
function biweight(residual: number, deviation: number): number {
  const u = residual / (4.685 * deviation);
  return Math.abs(u) < 1 ? (1 - u * u) ** 2 : 0;
}

/**
 * A pair that lies so far from the others' common rate that all its windows lost their say would leave its recording
 * without an equation: it is judged by its own scatter instead.
 */
function keepASay(
  rows: readonly { readonly p: number; readonly weight: number }[],
  residuals: readonly number[],
  robust: number[],
): void {
  for (const pair of new Set(rows.map(({ p }) => p))) {
    const members = rows.flatMap(({ p }, r) => (p === pair ? [r] : []));
    const say = members.reduce((sum, r) => sum + rows[r]!.weight * robust[r]!, 0);
    const all = members.reduce((sum, r) => sum + rows[r]!.weight, 0);
    if (say > leastSay * all) continue;
    const own = weightedMedian(
      members.map((r) => Math.abs(residuals[r]!)),
      members.map((r) => rows[r]!.weight),
    );
    for (const r of members) robust[r] = biweight(residuals[r]!, Math.max(1e-6, 1.4826 * own));
  }
}

/** Of its windows' weight, a pair keeps at least about this share. */
const leastSay = 1e-3;

/**
 * One solution for all pairs at once: an offset for each recording and one rate for each clock, by least squares
 * over every window, where windows that do not fit lose their say (Tukey's biweight on residuals in units of
 * their median deviation).
 *
 * @param clocks - Clock of each recording; recordings of one clock share a rate. The master's is 0 ppm.
 * @param seconds - Duration of each recording.
 * @returns null for recordings that no pair reaches; `kept[pair][window]` is each window's remaining weight, 0 to 1.
 *
 * Source of the robust weights: Beaton & Tukey (1974), Technometrics 16(2), 147-185; c = 4.685.
 */
export function solveClocks(
  recordings: number,
  master: number,
  clocks: readonly string[],
  seconds: readonly number[],
  pairs: readonly PairMeasured[],
): { lines: (Solved | null)[]; kept: number[][] } {
  const reached = reach(recordings, master, pairs);
  const offsetColumn = new Map<number, number>();
  const rateColumn = new Map<string, number>();
  for (let i = 0; i < recordings; i++)
    if (reached.has(i) && i !== master) offsetColumn.set(i, offsetColumn.size);
  for (const i of offsetColumn.keys())
    if (clocks[i] !== clocks[master] && !rateColumn.has(clocks[i]!))
      rateColumn.set(clocks[i]!, offsetColumn.size + rateColumn.size);
  const columns = offsetColumn.size + rateColumn.size;
  const rows = pairs.flatMap((pair, p) =>
    reached.has(pair.other)
      ? pair.windows.flatMap((window, w) => {
          if (!window.used || window.weight <= 0) return [];
          // offset(other) + at (1 + rate) = offset(reference) + referenceAt (1 + rate)
          const entries: [number, number][] = [];
          const add = (column: number | undefined, factor: number) => {
            if (column !== undefined) entries.push([column, factor]);
          };
          add(offsetColumn.get(pair.other), 1);
          add(offsetColumn.get(pair.reference), -1);
          add(rateColumn.get(clocks[pair.other]!), window.at * 1e-6);
          add(rateColumn.get(clocks[pair.reference]!), -window.referenceAt * 1e-6);
          // Beyond a point more trust does not mean less error: rooms and heads set the floor.
          const weight = window.weight / (window.weight + 30);
          return [{ p, w, entries, value: window.referenceAt - window.at, weight }];
        })
      : [],
  );
  const kept = pairs.map((pair) => pair.windows.map(() => 0));
  const robust = rows.map(() => 1);
  let x: number[] = new Array(columns).fill(0);
  let covariance = Matrix.zeros(columns, columns);
  let deviation = 1e-4;
  for (let round = 0; round < 12 && columns > 0; round++) {
    const normal = Matrix.zeros(columns, columns);
    const right = new Array<number>(columns).fill(0);
    rows.forEach(({ entries, value, weight }, r) => {
      const w = weight * robust[r]!;
      for (const [i, a] of entries) {
        right[i]! += w * a * value;
        for (const [j, b] of entries) normal.set(i, j, normal.get(i, j) + w * a * b);
      }
    });
    // What is known of any clock before listening, in the windows' own measure: a five-second clip has no more.
    const belief = (Math.max(deviation, 2e-5) / usualPpm) ** 2;
    for (const column of rateColumn.values()) normal.set(column, column, normal.get(column, column) + belief);
    covariance = inverse(normal);
    x = covariance.mmul(Matrix.columnVector(right)).to1DArray();
    const residuals = rows.map(
      ({ entries, value }) => value - entries.reduce((sum, [i, a]) => sum + a * x[i]!, 0),
    );
    deviation = Math.max(
      1e-6,
      1.4826 *
        weightedMedian(
          residuals.map(Math.abs),
          rows.map((row) => row.weight),
        ),
    );
    residuals.forEach((residual, r) => {
      robust[r] = biweight(residual, deviation);
    });
    keepASay(rows, residuals, robust);
  }
  rows.forEach(({ p, w }, r) => {
    kept[p]![w] = robust[r]!;
  });
  // Windows that overlap by half tell about half as much each as windows apart.
  // A few windows cannot tell their own scatter: then what rooms usually do stands in for it.
  const scale = Math.hypot(
    deviation * Math.SQRT2,
    usualScatterSeconds * Math.min(1, 4 / Math.max(1, rows.length)),
  );
  const lines = Array.from({ length: recordings }, (_, i): Solved | null => {
    if (i === master) return { line: { offset: 0, ratePpm: 0 }, uncertainty: 0, ratePpmDeviation: 0 };
    const o = offsetColumn.get(i);
    if (o === undefined) return null;
    const r = rateColumn.get(clocks[i]!);
    const at = (t: number) => {
      const s = t * 1e-6;
      const variance =
        covariance.get(o, o) +
        (r === undefined ? 0 : 2 * s * covariance.get(o, r) + s * s * covariance.get(r, r));
      return scale * Math.sqrt(Math.max(0, variance));
    };
    return {
      line: { offset: x[o]!, ratePpm: r === undefined ? 0 : x[r]! },
      uncertainty: Math.hypot(
        uncertaintyFloorSeconds,
        headSwaySeconds * Math.sqrt(headSwayPeriodSeconds / Math.max(headSwayPeriodSeconds, seconds[i]!)),
        Math.max(at(0), at(seconds[i]!)),
      ),
      ratePpmDeviation: r === undefined ? 0 : scale * Math.sqrt(Math.max(0, covariance.get(r, r))),
    };
  });
  return { lines, kept };
}

function reach(recordings: number, master: number, pairs: readonly PairMeasured[]): Set<number> {
  const reached = new Set([master]);
  for (let round = 0; round < recordings; round++)
    for (const { reference, other, windows } of pairs) {
      if (!windows.some((w) => w.used)) continue;
      if (reached.has(reference)) reached.add(other);
      else if (reached.has(other)) reached.add(reference);
    }
  return reached;
}

/** The value under which half the weight lies; 0 of nothing. */
function weightedMedian(values: readonly number[], weights: readonly number[]): number {
  const order = values.map((_, i) => i).sort((i, j) => values[i]! - values[j]!);
  const half = weights.reduce((a, b) => a + b, 0) / 2;
  let sum = 0;
  for (const i of order) if ((sum += weights[i]!) >= half) return values[i]!;
  return 0;
}
