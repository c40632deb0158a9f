import { readFileSync } from "node:fs";
import { matchCameras } from "#science/colour/camera-match";
import { chartWhite } from "#science/colour/chart-reference";
import { type ChartShot, evenedLight } from "#science/colour/chart-shot";
import { chart24Neutrals } from "#science/colour/chart24";
import { colourDifferenceCie2000 } from "#science/colour/ciede2000";
import { leastSquaresMix, type MixLevel } from "#science/colour/colour-mix";
import { makeLut3d } from "#science/colour/lut3d";
import type { Triple } from "#science/colour/matrix3";
import { collectLight, type Spectrum } from "#science/colour/spectral-camera";
import { linearToAcescct, linearToBt709 } from "#science/colour/transfer-functions";
import type { BenchRow } from "./row.ts";

const chapter = "colour";

/** Solving, table making, and left-out errors beside two usual ways. Finding has a bench of its own. */
export default async function* colourBench(): AsyncGenerator<BenchRow> {
  const shots = sensorShots("D65");
  const solve = bestMs(() => [matchCameras(shots.a, shots.b)]);
  yield {
    chapter,
    what: "solve B to A, three levels, all left-out refits",
    unit: "ms",
    ours: solve,
    reference: "one second",
    theirs: 1000,
  };
  const match = matchCameras(shots.a, shots.b);
  const table = bestMs(() => [makeLut3d(65, match.transform)]);
  yield {
    chapter,
    what: "make a 65-point table",
    unit: "ms",
    ours: table,
    reference: "one second",
    theirs: 1000,
  };
  for (const light of ["D65", "A", "LED-B3"]) yield* leftOutErrors(light);
}

/** Mean CIEDE2000 of patches that the fit never saw: ours against plain gains and plain least squares. */
function* leftOutErrors(light: string): Generator<BenchRow> {
  const { a, b } = sensorShots(light);
  const match = matchCameras(a, b);
  const ours = mean(match.leftOut);
  const from = evenedLight(b, match.curveB.curve);
  const plain = (level: MixLevel): number =>
    mean(
      from.map((_, out) => {
        const kept = from.map((_, i) => i).filter((i) => i !== out);
        const mix = leastSquaresMix(
          {
            from: kept.map((i) => from[i]!),
            to: kept.map((i) => match.lightA[i]!),
            whiteFrom: chartWhite(from, chart24Neutrals.includes(out) ? out : undefined),
            whiteTo: chartWhite(match.lightA, chart24Neutrals.includes(out) ? out : undefined),
            toLab: match.view.toLab,
          },
          level,
        );
        return colourDifferenceCie2000(
          match.view.toLab(match.lightA[out]!),
          match.view.toLab(mix.apply(from[out]!)),
        );
      }),
    );
  const what = `left-out patches, sensor 2 to 1 under ${light}`;
  yield { chapter, what, unit: "CIEDE2000", ours, reference: "gains only", theirs: plain("gains") };
  yield {
    chapter,
    what,
    unit: "CIEDE2000",
    ours,
    reference: "least-squares 3×3, white kept",
    theirs: plain("matrix"),
  };
}

/** The chart as two measured sensors see it: A logarithmic and untagged, B by BT.709's curve. */
function sensorShots(light: string): { a: ChartShot; b: ChartShot } {
  const through = (lights: readonly Triple[], curve: (v: number) => number): Triple[] =>
    lights.map((l) => [curve(l[0]), curve(l[1]), curve(l[2])]);
  return {
    a: { codes: through(seenBy(1, light, [1, 1, 1]), linearToAcescct), transfer: 2 },
    b: { codes: through(seenBy(2, light, [0.7, 0.75, 0.9]), linearToBt709), transfer: 1 },
  };
}

function seenBy(sensor: 1 | 2, light: string, balance: Triple): Triple[] {
  const sensors = columns("camera_sensitivities_npl_5nm.csv");
  const lights = columns("cie1931_2deg_and_illuminants_5nm.csv");
  const chart = columns("chart24_reflectance_ohta1997.csv");
  const visible = (values: number[], nm: number[]): number[] =>
    values.filter((_, i) => nm[i]! >= 400 && nm[i]! <= 700);
  const s = ["R", "G", "B"].map((c) => visible(sensors.get(`camera ${sensor} ${c}`)!, sensors.get("nm")!));
  const triple = s as unknown as [Spectrum, Spectrum, Spectrum];
  const spectrum = visible(lights.get(light)!, lights.get("nm")!);
  const white = collectLight(triple, spectrum, new Float64Array(spectrum.length).fill(1));
  return [...chart.keys()].slice(1).map((patch) => {
    const seen = collectLight(triple, spectrum, visible(chart.get(patch)!, chart.get("wavelength_nm")!));
    return seen.map((v, c) => (v / white[c]!) * balance[c]!) as unknown as Triple;
  });
}

/** A table of test/published/colour, column by column. */
function columns(name: string): Map<string, number[]> {
  const text = readFileSync(new URL(`../test/published/colour/${name}`, rootOf(import.meta.url)), "utf8");
  const [head, ...rows] = text.trim().split(/\r?\n/);
  return new Map(head!.split(",").map((column, k) => [column, rows.map((row) => Number(row.split(",")[k]))]));
}

/** The bench folder of the checkout, also when this file runs from dist. */
function rootOf(url: string): URL {
  return new URL(url.replace("/dist/bench/", "/bench/"));
}

function bestMs(work: () => readonly unknown[], rounds = 4): number {
  let best = Number.POSITIVE_INFINITY;
  for (let round = 0; round < rounds; round++) {
    const start = performance.now();
    work();
    best = Math.min(best, performance.now() - start);
  }
  return best;
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}
