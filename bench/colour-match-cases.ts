import { readFileSync } from "node:fs";
import { fitReferenceView, type ReferenceView } from "#science/colour/chart-reference";
import type { ChartShot } from "#science/colour/chart-shot";
import type { Triple } from "#science/colour/matrix3";
import { linearToNamedLog, type NamedLog } from "#science/colour/named-log";
import { collectLight } from "#science/colour/spectral-camera";
import { linearToAcescct, linearToBt709, linearToHlg } from "#science/colour/transfer-functions";
import { type Surface, smoothSurfaces } from "./colour-surfaces.ts";

/*
 * A spectral camera simulator: sensors see the 24-patch chart's published spectra and surfaces that are not on it
 * under published lights; light goes through a curve, noise, a codec's flat errors and rounding.
 */

export type Sensor = readonly [Float64Array, Float64Array, Float64Array];
type CurveName = "acescct" | "log" | "bt709" | "knee" | "hlg";

export interface MatchCase {
  readonly name: string;
  readonly a: ChartShot;
  readonly b: ChartShot;
  /** The same shots without their tags. */
  readonly untagged: { readonly a: ChartShot; readonly b: ChartShot };
  readonly curveA: (light: number) => number;
  readonly curveB: (light: number) => number;
  readonly toLightA: (code: number) => number;
  readonly toLightB: (code: number) => number;
  /** Surfaces not on the chart: B's code values without noise, A's true light. */
  readonly surfaces: readonly {
    readonly kind: Surface["kind"];
    readonly codeB: Triple;
    readonly lightA: Triple;
  }[];
  /** A's light to L*a*b*, from A's noise-free chart. */
  readonly view: ReferenceView;
}

/** Wavelengths of every spectrum here: 400 to 700 nm by 5. */
export const nm = Float64Array.from({ length: 61 }, (_, i) => 400 + 5 * i);

const namedLog: NamedLog = {
  base: 10,
  logSideSlope: 0.25,
  logSideOffset: 0.55,
  linSideSlope: 1.2,
  linSideOffset: 0.012,
  linSideBreak: 0.008,
};

const curves: Readonly<Record<CurveName, { toCode: (light: number) => number; transfer: number }>> = {
  acescct: { toCode: linearToAcescct, transfer: 1001 },
  log: { toCode: (light) => linearToNamedLog(namedLog, light), transfer: 1002 },
  bt709: { toCode: linearToBt709, transfer: 1 },
  hlg: { toCode: (light) => linearToHlg(0.3 * light), transfer: 18 },
  knee: {
    toCode: (light) => {
      const from = linearToBt709(0.6);
      return light < 0.6 ? linearToBt709(light) : from + 0.23 * (1 - Math.exp(-(light - 0.6) / 0.38));
    },
    transfer: 1,
  },
};

interface Plan {
  readonly a: number;
  readonly b: number;
  readonly light: string;
  readonly curveA: CurveName;
  readonly curveB: CurveName;
  /** B's white balance and exposure. */
  readonly balance: Triple;
  readonly bitsB: 8 | 10;
}

const plans: readonly Plan[] = [
  { a: 0, b: 1, light: "D65", curveA: "acescct", curveB: "bt709", balance: [0.62, 0.7, 0.84], bitsB: 10 },
  { a: 0, b: 1, light: "A", curveA: "log", curveB: "bt709", balance: [0.85, 0.8, 0.7], bitsB: 10 },
  { a: 0, b: 2, light: "FL2", curveA: "log", curveB: "bt709", balance: [0.8, 0.8, 0.9], bitsB: 8 },
  { a: 2, b: 0, light: "LED-B3", curveA: "acescct", curveB: "hlg", balance: [0.7, 0.75, 0.9], bitsB: 10 },
  { a: 0, b: 3, light: "A", curveA: "acescct", curveB: "bt709", balance: [0.85, 0.7, 0.55], bitsB: 8 },
  { a: 3, b: 4, light: "D65", curveA: "bt709", curveB: "bt709", balance: [0.8, 0.9, 0.95], bitsB: 8 },
  { a: 4, b: 0, light: "FL11", curveA: "log", curveB: "bt709", balance: [0.75, 0.7, 0.7], bitsB: 10 },
  { a: 5, b: 0, light: "D50", curveA: "acescct", curveB: "log", balance: [1.1, 0.9, 0.75], bitsB: 10 },
  { a: 3, b: 5, light: "LED-B4", curveA: "hlg", curveB: "bt709", balance: [0.6, 0.75, 0.8], bitsB: 10 },
  { a: 0, b: 4, light: "LED-B1", curveA: "acescct", curveB: "knee", balance: [0.85, 0.75, 0.65], bitsB: 8 },
  { a: 2, b: 3, light: "D65", curveA: "log", curveB: "log", balance: [0.9, 0.95, 1], bitsB: 10 },
  { a: 3, b: 5, light: "LED-RGB1", curveA: "acescct", curveB: "bt709", balance: [0.7, 0.8, 0.8], bitsB: 10 },
];

/**
 * The twelve pairs of sensors and lights, with noisy, coded shots of the chart.
 *
 * @param draw - Which draw of the noise and of the surfaces: 0 is the one that the solver's settings were chosen on.
 */
export function matchCases(draw: number): MatchCase[] {
  const sensors = sensorSet();
  const lights = columns("cie1931_2deg_and_illuminants_5nm.csv");
  const chart = [...columns("chart24_reflectance_ohta1997.csv")].slice(1).map(([, spectrum]) => spectrum);
  const surfaces = smoothSurfaces(nm, draw);
  return plans.map((plan, index) => {
    const chance = randomOf(4001 + 97 * index + 7919 * draw);
    const light = lights.get(plan.light)!;
    const a = camera(sensors[plan.a]!, light, [1, 1, 1]);
    const b = camera(sensors[plan.b]!, light, plan.balance);
    const curveA = curves[plan.curveA];
    const curveB = curves[plan.curveB];
    const codesA = chart.map((r) => recorded(a(r), curveA.toCode, 10, chance));
    const codesB = chart.map((r) => recorded(b(r), curveB.toCode, plan.bitsB, chance));
    return {
      name: `sensor ${plan.b + 1} to ${plan.a + 1}, ${plan.light}, ${plan.curveB} ${plan.bitsB} bit to ${plan.curveA}`,
      a: { codes: codesA, transfer: curveA.transfer > 1000 ? 2 : curveA.transfer },
      b: { codes: codesB, transfer: curveB.transfer > 1000 ? 2 : curveB.transfer },
      untagged: { a: { codes: codesA, transfer: 2 }, b: { codes: codesB, transfer: 2 } },
      curveA: curveA.toCode,
      curveB: curveB.toCode,
      toLightA: inverseOf(curveA.toCode),
      toLightB: inverseOf(curveB.toCode),
      surfaces: surfaces.map(({ kind, reflectance }) => ({
        kind,
        codeB: b(reflectance).map(curveB.toCode) as unknown as Triple,
        lightA: a(reflectance),
      })),
      view: fitReferenceView(chart.map(a)),
    };
  });
}

/** What one patch reads as: the mean of some hundred coded pixels, so noise is small but a codec's flat error stays. */
function recorded(
  light: Triple,
  toCode: (light: number) => number,
  bits: number,
  chance: () => number,
): Triple {
  const bell = (): number => chance() + chance() + chance() + chance() - 2;
  // A block coder errs in chroma more than in luma, and with 8 bits more than with 10. Standard deviations in code
  // values, after a patch's pixels and six frames: luma 0.0004 and chroma 0.0008 at 10 bit, twice that at 8.
  const size = bits === 8 ? 2 : 1;
  const lumaError = 0.0004 * size * 1.73 * bell();
  const levels = 219 * 2 ** (bits - 8);
  return light.map((v, c) => {
    const code = toCode(v) + lumaError + (c === 1 ? 0.3 : 1) * 0.0008 * size * 1.73 * bell();
    // Noise dithers the rounding: what stays of a step in the mean is about a sixth of it.
    return code + ((chance() - 0.5) / levels) * 0.3;
  }) as unknown as Triple;
}

/** Six sensors: two measured ones and four smooth variations of them. */
export function sensorSet(): Sensor[] {
  const table = columns("camera_sensitivities_npl_5nm.csv");
  const measured = [1, 2].map(
    (n) =>
      ["R", "G", "B"].map((c) =>
        Float64Array.from(table.get(`camera ${n} ${c}`)!, (v) => Math.max(v, 0)),
      ) as unknown as Sensor,
  );
  const [one, two] = measured as [Sensor, Sensor];
  const at = (s: Float64Array, x: number): number => {
    const i = Math.min(59, Math.max(0, Math.floor(x)));
    const t = Math.min(1, Math.max(0, x - i));
    return s[i]! * (1 - t) + s[i + 1]! * t;
  };
  const map = (s: Sensor, f: (channel: Float64Array, c: number) => Float64Array): Sensor =>
    s.map(f) as unknown as Sensor;
  const blend = (t: number): Sensor =>
    map(one, (channel, c) => {
      const [p, q] = [peak(channel), peak(two[c]!)];
      return channel.map((v, i) => ((1 - t) * v) / p + (t * two[c]![i]!) / q);
    });
  // Moved by a few nanometres, as another filter of the same make; and cut by a steeper infra-red filter.
  const moved = map(one, (channel, c) => channel.map((_, i) => at(channel, i - [0.8, -0.7, 0.6][c]!)));
  const cut = map(blend(0.15), (channel) => channel.map((v, i) => v / (1 + Math.exp((nm[i]! - 645) / 9))));
  const bell = (x: number, middle: number, below: number, above: number): number =>
    Math.exp(-0.5 * ((x - middle) / (x < middle ? below : above)) ** 2);
  const smooth: Sensor = [
    nm.map((x) => bell(x, 600, 26, 34) + 0.06 * bell(x, 450, 20, 20)),
    nm.map((x) => bell(x, 535, 36, 38)),
    nm.map((x) => bell(x, 455, 22, 32)),
  ] as unknown as Sensor;
  return [one, two, blend(0.3), moved, cut, smooth];
}

function peak(values: ArrayLike<number>): number {
  return Math.max(...Array.from(values));
}

/** What a sensor sees of a reflectance, a perfect diffuser seen as `balance`. */
export function camera(
  sensor: Sensor,
  light: ArrayLike<number>,
  balance: Triple,
): (reflectance: ArrayLike<number>) => Triple {
  const white = collectLight(sensor, light, new Float64Array(61).fill(1));
  return (reflectance) => {
    const seen = collectLight(sensor, light, reflectance);
    return seen.map((v, c) => (v / white[c]!) * balance[c]!) as unknown as Triple;
  };
}

/** The way back of a rising curve, by halving. */
function inverseOf(toCode: (light: number) => number): (code: number) => number {
  return (code) => {
    let [low, high] = [-1, 64];
    for (let i = 0; i < 60; i++) {
      const middle = (low + high) / 2;
      if (toCode(middle) < code) low = middle;
      else high = middle;
    }
    return (low + high) / 2;
  };
}

export function randomOf(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** A table of test/published/colour, column by column, 400 to 700 nm where it has wavelengths. */
export function columns(name: string): Map<string, number[]> {
  const here = new URL(import.meta.url.replace("/dist/bench/", "/bench/"));
  const text = readFileSync(new URL(`../test/published/colour/${name}`, here), "utf8");
  const [head, ...lines] = text.trim().split(/\r?\n/);
  const rows = lines
    .map((line) => line.split(",").map(Number))
    .filter(([wavelength]) => wavelength! >= 400 && wavelength! <= 700);
  return new Map(head!.split(",").map((column, k) => [column, rows.map((row) => row[k]!)]));
}
