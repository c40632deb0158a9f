import colourBench from "./colour.bench.ts";
import findingBench from "./colour-finding.bench.ts";
import { type CaseFigures, caseFigures, mean } from "./colour-match.bench.ts";
import sceneBench from "./colour-scene.bench.ts";
import type { BenchRow } from "./row.ts";
import { cellsOf, writeTable } from "./write-table.ts";

/*
 * Measures all that docs/colour-bench.md tells, and writes the figures into it, between its markers: no number there
 * is typed by hand.
 */

const page = "docs/colour-bench.md";

/** Every figure of the page, in one run. */
export default async function* tablesBench(): AsyncGenerator<BenchRow> {
  for (const known of [true, false]) {
    const cases = caseFigures(known);
    writeTable(page, known ? "known" : "learned", casesTable(cases));
    yield {
      chapter: "colour",
      what: `surfaces off the chart, ${cases.length} cases, curve ${known ? "known" : "learned"}`,
      unit: "CIEDE2000",
      ours: mean(cases.map((one) => mean(one.differences.ours))),
      reference: "least-squares 3×3 in light",
      theirs: mean(cases.map((one) => mean(one.differences.matrix))),
    };
  }
  for (const [marker, rows] of [
    ["scene", sceneBench()],
    ["solving", colourBench()],
    ["finding", findingBench()],
  ] as const) {
    const all: BenchRow[] = [];
    for await (const row of rows) {
      all.push(row);
      yield row;
    }
    writeTable(page, marker, cellsOf(all));
  }
}

const ways = ["ours", "gains", "matrix", "rootPolynomial", "codeCurves"] as const;

function casesTable(cases: readonly CaseFigures[]): string[][] {
  const figure = (value: number): string => value.toFixed(2);
  const part = (share: number, way: (typeof ways)[number]): string =>
    figure(
      mean(
        cases.map(({ differences }) => {
          const sorted = [...differences[way]].sort((p, q) => p - q);
          return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!;
        }),
      ),
    );
  const behind = ({ differences }: CaseFigures): string =>
    figure(mean(differences.ours) - Math.min(...ways.slice(1).map((way) => mean(differences[way]))));
  return [
    [
      "case",
      "ours",
      "gains",
      "3×3",
      "root-polynomial",
      "curves and 3×3 in code",
      "ours behind the best",
      "skin: ours",
      "skin: 3×3",
    ],
    ...cases.map((one) => [
      one.name,
      ...ways.map((way) => figure(mean(one.differences[way]))),
      behind(one),
      figure(mean(one.skin.ours)),
      figure(mean(one.skin.matrix)),
    ]),
    [
      "**mean**",
      ...ways.map((way) => figure(mean(cases.map((one) => mean(one.differences[way]))))),
      "",
      figure(mean(cases.map((one) => mean(one.skin.ours)))),
      figure(mean(cases.map((one) => mean(one.skin.matrix)))),
    ],
    ["95 %", ...ways.map((way) => part(0.95, way)), "", "", ""],
    ["most", ...ways.map((way) => part(1, way)), "", "", ""],
  ];
}
