import { findCameraCurve } from "#science/colour/camera-curve";
import { matchCameras } from "#science/colour/camera-match";
import { colourDifferenceCie2000 } from "#science/colour/ciede2000";
import type { Curve } from "#science/colour/curve";
import type { Triple } from "#science/colour/matrix3";
import { curvesAndMatrix, gainsOnly, leastSquaresLight } from "./colour-baselines.ts";
import { type MatchCase, matchCases } from "./colour-match-cases.ts";
import type { BenchRow } from "./row.ts";

type Map3 = (code: Triple) => Triple;
type Way = "ours" | "gains" | "matrix" | "rootPolynomial" | "codeCurves";

/** Differences on surfaces off the chart, by way. */
export interface CaseFigures {
  readonly name: string;
  readonly differences: Readonly<Record<Way, readonly number[]>>;
  readonly skin: Readonly<Record<Way, readonly number[]>>;
}

/** The solver's settings were chosen on draw 0; these it never saw. */
const judgedDraws = [1, 2, 3];

/** Every case with the curves known, or learned by everybody from the chart's greys; three draws of noise and surfaces. */
export function caseFigures(known: boolean): CaseFigures[] {
  const draws = judgedDraws.map((draw) => matchCases(draw).map((one) => figuresOf(one, known)));
  const joined = (index: number, part: "differences" | "skin"): CaseFigures["differences"] => {
    const all = draws.map((cases) => cases[index]![part]);
    const of = (way: Way): number[] => all.flatMap((one) => one[way]);
    return {
      ours: of("ours"),
      gains: of("gains"),
      matrix: of("matrix"),
      rootPolynomial: of("rootPolynomial"),
      codeCurves: of("codeCurves"),
    };
  };
  return draws[0]!.map(({ name }, index) => ({
    name,
    differences: joined(index, "differences"),
    skin: joined(index, "skin"),
  }));
}

function figuresOf(one: MatchCase, known: boolean): CaseFigures {
  const given = (toCode: (v: number) => number, toLight: (v: number) => number): Curve => ({
    name: "given",
    known: "given",
    toCode,
    toLight,
  });
  const a = known ? { ...one.a, curve: given(one.curveA, one.toLightA) } : one.untagged.a;
  const b = known ? { ...one.b, curve: given(one.curveB, one.toLightB) } : one.untagged.b;
  const match = matchCameras(a, b);
  const curveOf = (shot: typeof a): Curve =>
    known ? (shot as { curve: Curve }).curve : findCameraCurve({ codes: shot.codes, transfer: 2 }).curve;
  const [curveA, curveB] = [curveOf(a), curveOf(b)];
  const each = (f: (v: number) => number, v: Triple): Triple => [f(v[0]), f(v[1]), f(v[2])];
  const lightA = a.codes.map((code) => each(curveA.toLight, code));
  const lightB = b.codes.map((code) => each(curveB.toLight, code));
  const inLight =
    (map: Map3): Map3 =>
    (code) =>
      each(curveA.toCode, map(each(curveB.toLight, code)));
  const ways: Record<Way, Map3> = {
    ours: match.transform,
    gains: inLight(gainsOnly(lightB, lightA)),
    matrix: inLight(leastSquaresLight(lightB, lightA, 1)),
    rootPolynomial: inLight(leastSquaresLight(lightB, lightA, 2)),
    codeCurves: curvesAndMatrix(b.codes, a.codes),
  };
  const judge = (map: Map3, kind?: string): number[] =>
    one.surfaces
      .filter((surface) => kind === undefined || surface.kind === kind)
      .map(({ codeB, lightA: wanted }) =>
        colourDifferenceCie2000(one.view.toLab(wanted), one.view.toLab(each(one.toLightA, map(codeB)))),
      );
  const all = (kind?: string) =>
    Object.fromEntries(Object.entries(ways).map(([way, map]) => [way, judge(map, kind)])) as Record<
      Way,
      number[]
    >;
  return { name: one.name, differences: all(), skin: all("skin") };
}

/** Left-out surfaces by our match beside four usual ways, curves known and learned; skin apart. */
export default async function* colourMatchBench(): AsyncGenerator<BenchRow> {
  for (const known of [true, false]) {
    const cases = caseFigures(known);
    const mode = known ? "curve known" : "curve learned";
    const of = (way: Way, part: "differences" | "skin"): number => mean(cases.map((c) => mean(c[part][way])));
    for (const [way, reference] of [
      ["gains", "gains only"],
      ["matrix", "least-squares 3×3 in light"],
      ["rootPolynomial", "root-polynomial of degree 2"],
      ["codeCurves", "curves and 3×3 in code values"],
    ] as const) {
      for (const part of ["differences", "skin"] as const) {
        yield {
          chapter: "colour",
          what: `${part === "skin" ? "skin" : "surfaces"} off the chart, ${cases.length} cases, ${mode}`,
          unit: "CIEDE2000",
          ours: of("ours", part),
          reference,
          theirs: of(way, part),
        };
      }
    }
    const worst = (way: Way, part: number): number =>
      mean(
        cases.map(({ differences }) => {
          const sorted = [...differences[way]].sort((p, q) => p - q);
          return sorted[Math.min(sorted.length - 1, Math.floor(part * sorted.length))]!;
        }),
      );
    for (const [name, part] of [
      ["95 %", 0.95],
      ["most", 1],
    ] as const) {
      yield {
        chapter: "colour",
        what: `surfaces off the chart, ${name} of a case, ${mode}`,
        unit: "CIEDE2000",
        ours: worst("ours", part),
        reference: "least-squares 3×3 in light",
        theirs: worst("matrix", part),
      };
    }
    const behind = Math.max(
      ...cases.map(({ differences: d }) => {
        const best = Math.min(mean(d.gains), mean(d.matrix), mean(d.rootPolynomial), mean(d.codeCurves));
        return mean(d.ours) - best;
      }),
    );
    yield {
      chapter: "colour",
      what: `farthest behind a case's best way, ${mode}`,
      unit: "CIEDE2000",
      ours: behind,
      reference: "the most allowed",
      theirs: 0.2,
    };
  }
}

export function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}
