import { readFileSync } from "node:fs";
import type { Triple } from "#science/colour/matrix3";
import { collectLight, type Spectrum } from "#science/colour/spectral-camera";

/*
 * The published colour data kept in test/published/colour, each file with its own citation; see
 * test/published/colour/SOURCES.md.
 */

const folder = new URL("../published/colour/", import.meta.url);

export function publishedText(name: string): string {
  return readFileSync(new URL(name, folder), "utf8");
}

export function publishedJson<T>(name: string): T {
  return JSON.parse(publishedText(name)) as T;
}

/** A table of numbers with a heading line; columns by name. */
export function publishedColumns(name: string): Map<string, number[]> {
  const [head, ...lines] = publishedText(name).trim().split(/\r?\n/);
  const names = head!.split(",");
  const columns = new Map<string, number[]>(names.map((n) => [n, []]));
  for (const line of lines) {
    line.split(",").forEach((cell, i) => {
      columns.get(names[i]!)!.push(Number(cell));
    });
  }
  return columns;
}

const chart = publishedColumns("chart24_reflectance_ohta1997.csv");
const lights = publishedColumns("cie1931_2deg_and_illuminants_5nm.csv");
const sensors = publishedColumns("camera_sensitivities_npl_5nm.csv");
const from400 = (nm: readonly number[], values: readonly number[]): number[] =>
  values.filter((_, i) => nm[i]! >= 400 && nm[i]! <= 700);

/** Linear light of the chart's 24 patches from one of two measured sensors, a perfect diffuser being 1 in green. */
export function sensorChart(sensor: 1 | 2, light: string, balance: Triple = [1, 1, 1]): Triple[] {
  const s = (["R", "G", "B"] as const).map((c) => {
    const nm = sensors.get("nm")!;
    return from400(nm, sensors.get(`camera ${sensor} ${c}`)!);
  }) as unknown as [Spectrum, Spectrum, Spectrum];
  const spectrum = from400(lights.get("nm")!, lights.get(light)!);
  const white = collectLight(
    s,
    spectrum,
    spectrum.map(() => 1),
  );
  return [...chart.keys()].slice(1).map((patch) => {
    const seen = collectLight(s, spectrum, from400(chart.get("wavelength_nm")!, chart.get(patch)!));
    return seen.map((v, c) => (v / white[c]!) * balance[c]!) as unknown as Triple;
  });
}
