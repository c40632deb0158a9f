import type { Curve } from "./curve.ts";

/** Mean code values of a picture's parts at one moment: R, G, B of each, interleaved, 0 to 1. */
export interface PartsSeen {
  readonly at: number;
  readonly codes: readonly number[];
}

/** How a camera's white and light lie at one moment against their middle, stops. */
export interface DriftSample {
  readonly at: number;
  /** Red and blue against green: what a white balance would have to take off. */
  readonly redStops: number;
  readonly blueStops: number;
  /** Green itself: the light, or the aperture. */
  readonly lightStops: number;
}

const darkest = 0.06;
const brightest = 0.95;
/** Parts that tell at least; and of all parts the share that moves least is taken. */
const leastParts = 12;
const stillestShare = 0.6;
/** Samples on each side that a running median takes in. */
const smoothing = 2;

/**
 * How white drifts through a shot, from all that stays in it: a wall, a table, clothes, a face that comes back to
 * its place.
 *
 * Each part of the picture is compared, in linear light, with its own middle over the whole shot; of the parts that
 * change least the median speaks, so that a moving hand is not heard; and a running median over five looks, so that
 * somebody who walks through is not either.
 *
 * @param looks - In order, of one camera that stood still. Fewer than five tell nothing: the answer is empty.
 */
export function whiteDrift(looks: readonly PartsSeen[], curve: Curve): DriftSample[] {
  if (looks.length < 5) return [];
  const parts = looks[0]!.codes.length / 3;
  /** Logarithm of light, [look][part][channel]; NaN where it says nothing. */
  const lights = looks.map(({ codes }) =>
    Array.from({ length: parts }, (_, p) => {
      const own = [codes[3 * p]!, codes[3 * p + 1]!, codes[3 * p + 2]!];
      const isTold = own.every((v) => v >= darkest && v <= brightest);
      return own.map((v) => (isTold ? Math.log2(Math.max(curve.toLight(v), 1e-6)) : Number.NaN));
    }),
  );
  const told = Array.from({ length: parts }, (_, p) => p).filter(
    (p) => lights.filter((look) => !Number.isNaN(look[p]![1]!)).length > 0.8 * looks.length,
  );
  const middles = new Map(
    told.map((p) => [p, [0, 1, 2].map((c) => median(lights.map((look) => look[p]![c]!).filter(isNumber)))]),
  );
  // What moves changes its colour from look to look; what is lit otherwise does so slowly.
  const restless = (p: number): number =>
    median(
      lights
        .slice(1)
        .map((look, k) => Math.abs(look[p]![1]! - lights[k]![p]![1]!))
        .filter(isNumber),
    );
  const still = told
    .map((p) => ({ p, moves: restless(p) }))
    .sort((a, b) => a.moves - b.moves)
    .slice(0, Math.max(leastParts, Math.ceil(stillestShare * told.length)))
    .map(({ p }) => p);
  if (still.length < leastParts) return [];
  const raw = lights.map((look) => {
    const against = (c: number, other: number | null): number =>
      median(
        still
          .map((p) => {
            const moved = look[p]![c]! - middles.get(p)![c]!;
            return other === null ? moved : moved - (look[p]![other]! - middles.get(p)![other]!);
          })
          .filter(isNumber),
      );
    return { redStops: against(0, 1), blueStops: against(2, 1), lightStops: against(1, null) };
  });
  return looks.map(({ at }, k) => {
    const near = raw.slice(Math.max(0, k - smoothing), k + smoothing + 1);
    const of = (key: "redStops" | "blueStops" | "lightStops"): number =>
      rounded(median(near.map((one) => one[key]).filter(isNumber)));
    return { at, redStops: of("redStops"), blueStops: of("blueStops"), lightStops: of("lightStops") };
  });
}

/** From the least to the most of a drift. */
export function driftSpan(samples: readonly DriftSample[]): Omit<DriftSample, "at"> {
  const span = (key: "redStops" | "blueStops" | "lightStops"): number => {
    const values = samples.map((one) => one[key]);
    return Math.max(...values) - Math.min(...values);
  };
  return { redStops: span("redStops"), blueStops: span("blueStops"), lightStops: span("lightStops") };
}

function isNumber(value: number): boolean {
  return !Number.isNaN(value);
}

const rounded = (value: number): number => Math.round(1000 * value) / 1000 || 0;

function median(values: readonly number[]): number {
  if (values.length === 0) return 0;
  const sorted = [...values].sort((a, b) => a - b);
  const n = sorted.length;
  return n % 2 === 1 ? sorted[(n - 1) / 2]! : (sorted[n / 2 - 1]! + sorted[n / 2]!) / 2;
}
