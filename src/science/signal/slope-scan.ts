import { kernels, type Row, RowDesk, valuesOf } from "./simd/kernels.ts";

/** A straight line found by summing many correlations along it. */
export interface ScannedLine {
  /** Lag at the middle of the moments, in steps from the middle of the slices. */
  readonly lag: number;
  /** Steps of lag per second. */
  readonly slope: number;
  /** Middle of the moments, seconds. */
  readonly middle: number;
  /** Weighted sum along the line over what chance would give, either sign. */
  readonly score: number;
}

/** Neighbouring slopes that are searched together, and slices that are summed once for all of them. */
const slopesTogether = 64;
const slicesTogether = 8;
/** Where a sum of slices serves several slopes, its first and last are off by half of this at most, steps of lag. */
const innerStep = 0.75;
/** Of the sums so found the highest are summed again exactly, with all that lies this near. */
const summedAgain = 200;
const nearSlopes = 2;
const nearLags = 3;

/**
 * The straight line along which many correlations add up most: every slope, every lag.
 *
 * Each correlation alone may be drowned in noise; what they share grows with their number and noise with its root.
 * Neighbouring slopes share the sums of neighbouring slices, as in the fast transforms of this kind, to within a step;
 * the best of them are then summed slice by slice, so that line and score are those of the whole search.
 *
 * @param slices - Correlations over the same lags, odd length, lag 0 in the middle.
 * @param noises - Root mean square of each where there is nothing.
 * @param moments - Seconds, one a slice, rising.
 * @param most - How far from `about` to look: steps of lag per second, and steps of lag at the middle moment.
 * @param about - Where to look; by default about lag 0 without slope.
 *
 * Source of sharing sums between slopes: Taylor (1974), Astron. Astrophys. Suppl. 15, 367, there for delays that
 * grow with wavelength.
 */
export function scanSlopes(
  slices: readonly Float32Array[],
  noises: readonly number[],
  moments: readonly number[],
  weights: readonly number[],
  most: { readonly slope: number; readonly lag: number },
  about: { readonly slope: number; readonly lag: number } = { slope: 0, lag: 0 },
): ScannedLine | null {
  const length = slices[0]?.length ?? 0;
  const centre = (length - 1) / 2;
  const middle = ((moments[0] ?? 0) + (moments.at(-1) ?? 0)) / 2;
  const half = Math.max(1e-9, ((moments.at(-1) ?? 0) - (moments[0] ?? 0)) / 2);
  const noise = Math.sqrt(slices.reduce((sum, _, i) => sum + (weights[i]! * noises[i]!) ** 2, 0));
  if (noise === 0) return null;
  const from = Math.max(0, Math.ceil(centre + about.lag - most.lag));
  const end = Math.min(length, Math.floor(centre + about.lag + most.lag) + 1);
  if (end <= from) return null;
  const steps = Math.min(600, Math.ceil((most.slope * half) / 1.5));
  const slopeOf = (s: number) => about.slope + (steps === 0 ? 0 : (s / steps) * most.slope);
  desk.back(atStart);
  const scaled = slices.map((slice, i) => scaledRow(slice, weights[i]!));
  const best = { step: 0, at: from, sum: -1 };
  const offer = (step: number, at: number, sum: number) => {
    if (sum > best.sum) Object.assign(best, { step, at, sum });
  };
  if (steps < slicesTogether || slices.length < 2 * slicesTogether) {
    const sums = emptyRow(end - from);
    for (let s = -steps; s <= steps; s++) {
      sumShifted(scaled, shiftsAlong(slopeOf(s), moments, middle, from), sums);
      if (largestOf(sums) <= best.sum) continue;
      const values = valuesOf(sums);
      for (let k = 0; k < end - from; k++) offer(s, k + from, Math.abs(values[k]!));
    }
  } else {
    const near = promising(scaled, moments, { middle, steps, slopeOf, from, end });
    const rows = scaled.map(valuesOf);
    for (const { step, at } of near)
      for (let s = Math.max(-steps, step - nearSlopes); s <= Math.min(steps, step + nearSlopes); s++) {
        const first = Math.max(from, at - nearLags);
        const few = new Float32Array(Math.min(end, at + nearLags + 1) - first);
        sumFew(rows, slopeOf(s), moments, middle, first, few);
        for (let k = 0; k < few.length; k++) offer(s, k + first, Math.abs(few[k]!));
      }
  }
  return { lag: best.at - centre, slope: slopeOf(best.step), middle, score: best.sum / noise };
}

/** Whoever scans in this thread uses the same rows, one after the other. */
const desk = new RowDesk();
const atStart = desk.mark();

/** Zeros, also after its end to whole eights. */
function emptyRow(length: number): Row {
  const { at } = desk.take(length);
  valuesOf({ at, length: wholeEights(length) }).fill(0);
  return { at, length };
}

const wholeEights = (length: number) => Math.ceil(length / 8) * 8;

const largestOf = ({ at, length }: Row) => kernels().peak(at, wholeEights(length));

function scaledRow(slice: Float32Array, weight: number): Row {
  const row = desk.take(slice.length);
  const out = valuesOf(row);
  for (let k = 0; k < slice.length; k++) out[k] = slice[k]! * weight;
  return row;
}

/** How much each slice is moved, so that position 0 of the sum is lag `from` at the middle. */
function shiftsAlong(slope: number, moments: readonly number[], middle: number, from: number): Int32Array {
  return Int32Array.from(moments, (t) => Math.round(slope * (t - middle)) + from);
}

/** out[k] = sum over i of rows[i][k + shifts[i]], zeros outside; four rows at a time, so that `out` is seldom touched. */
function sumShifted(rows: readonly Row[], shifts: Int32Array, out: Row): void {
  const n = out.length;
  const { addFour } = kernels();
  const before = desk.mark();
  // A row for where fewer than four are left; the memory may grow, so it is taken before anything is read.
  const none = emptyRow(n);
  valuesOf(out).fill(0);
  const placeIn = (i: number, k: number) => rows[i]!.at + 4 * (k + shifts[i]!);
  const addOne = (i: number, from: number, end: number) => {
    const first = Math.max(from, -shifts[i]!);
    const last = Math.min(end, rows[i]!.length - shifts[i]!);
    if (last > first) addFour(placeIn(i, first), none.at, none.at, none.at, out.at + 4 * first, last - first);
  };
  let i = 0;
  for (; i + 4 <= rows.length; i += 4) {
    let from = 0;
    let end = n;
    for (let j = i; j < i + 4; j++) {
      from = Math.max(from, -shifts[j]!);
      end = Math.min(end, rows[j]!.length - shifts[j]!);
    }
    from = Math.min(n, from);
    end = Math.max(from, end);
    if (end > from)
      addFour(
        placeIn(i, from),
        placeIn(i + 1, from),
        placeIn(i + 2, from),
        placeIn(i + 3, from),
        out.at + 4 * from,
        end - from,
      );
    if (from === 0 && end === n) continue;
    for (let j = i; j < i + 4; j++) {
      addOne(j, 0, from);
      addOne(j, end, n);
    }
  }
  for (; i < rows.length; i++) addOne(i, 0, n);
  desk.back(before);
}

/** The same for a few lags from `from` on. */
function sumFew(
  rows: readonly Float32Array[],
  slope: number,
  moments: readonly number[],
  middle: number,
  from: number,
  out: Float32Array,
): void {
  out.fill(0);
  for (let i = 0; i < rows.length; i++) {
    const row = rows[i]!;
    const first = Math.round(slope * (moments[i]! - middle)) + from;
    for (let k = Math.max(0, -first); k < out.length && k + first < row.length; k++)
      out[k]! += row[k + first]!;
  }
}

interface Scan {
  readonly middle: number;
  readonly steps: number;
  readonly slopeOf: (step: number) => number;
  /** Lags at the middle, [from, end), counted from the slices' first. */
  readonly from: number;
  readonly end: number;
}

interface Promising {
  readonly step: number;
  readonly at: number;
  readonly sum: number;
}

/** The highest tops of the sums along every slope, each slice at most about a step from where it belongs. */
function promising(slices: readonly Row[], moments: readonly number[], scan: Scan): Promising[] {
  const { middle, steps, slopeOf, from, end } = scan;
  let found: Promising[] = [];
  let least = 0;
  const sums = emptyRow(end - from);
  const before = desk.mark();
  for (let first = -steps; first <= steps; first += slopesTogether) {
    const last = Math.min(steps, first + slopesTogether - 1);
    const groups = groupsOf(slices, moments, slopeOf(first), slopeOf(last), last - first + 1);
    const centres = groups.map(({ centre }) => centre);
    for (let step = first; step <= last; step++) {
      const slope = slopeOf(step);
      const share = last > first ? (step - first) / (last - first) : 0;
      const shifts = shiftsAlong(slope, centres, middle, from);
      groups.forEach(({ spare }, g) => {
        shifts[g]! += spare;
      });
      sumShifted(
        groups.map(({ rows }) => rows[Math.round(share * (rows.length - 1))]!),
        shifts,
        sums,
      );
      if (largestOf(sums) <= least) continue;
      const values = valuesOf(sums);
      for (let k = 0; k < values.length; k++) {
        const sum = Math.abs(values[k]!);
        if (sum <= least || sum < Math.abs(values[k - 1] ?? 0) || sum < Math.abs(values[k + 1] ?? 0))
          continue;
        found.push({ step, at: k + from, sum });
        if (found.length < 4 * summedAgain) continue;
        found = found.sort((a, b) => b.sum - a.sum).slice(0, summedAgain);
        least = found.at(-1)!.sum;
      }
    }
    desk.back(before);
  }
  return found.sort((a, b) => b.sum - a.sum).slice(0, summedAgain);
}

/** A few neighbouring slices summed along evenly spaced slopes. */
interface Group {
  readonly centre: number;
  /** One a slope, lowest slope first; lag 0 of the slices stands at `spare`. */
  readonly rows: readonly Row[];
  readonly spare: number;
}

function groupsOf(
  slices: readonly Row[],
  moments: readonly number[],
  lowest: number,
  highest: number,
  slopes: number,
): Group[] {
  const groups: Group[] = [];
  for (let first = 0; first < slices.length; first += slicesTogether) {
    const own = moments.slice(first, first + slicesTogether);
    const centre = (own[0]! + own.at(-1)!) / 2;
    const half = own.at(-1)! - centre;
    const count = Math.min(slopes, 1 + Math.ceil(((highest - lowest) * half) / innerStep));
    const spare = Math.ceil(Math.max(Math.abs(lowest), Math.abs(highest)) * half) + 1;
    const members = slices.slice(first, first + slicesTogether);
    const rows = Array.from({ length: count }, (_, j) => {
      const slope = count > 1 ? lowest + (j / (count - 1)) * (highest - lowest) : (lowest + highest) / 2;
      const row = emptyRow(members[0]!.length + 2 * spare);
      sumShifted(members, shiftsAlong(slope, own, centre, -spare), row);
      return row;
    });
    groups.push({ centre, rows, spare });
  }
  return groups;
}
