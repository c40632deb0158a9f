import { readFileSync, writeFileSync } from "node:fs";
import colourBench from "./colour.bench.ts";
import findingBench from "./colour-finding.bench.ts";
import { type CaseFigures, caseFigures, mean } from "./colour-match.bench.ts";
import sceneBench from "./colour-scene.bench.ts";
import type { BenchRow } from "./row.ts";

/*
 * Measures all that docs/colour-bench.md tells, and writes the figures into it, between its markers: no number there
 * is typed by hand.
 */

const page = new URL("../docs/colour-bench.md", new URL(import.meta.url.replace("/dist/bench/", "/bench/")));

/** Every figure of the page, in one run. */
export default async function* tablesBench(): AsyncGenerator<BenchRow> {
  for (const known of [true, false]) {
    const cases = caseFigures(known);
    write(known ? "known" : "learned", casesTable(cases));
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
    write(marker, rowsTable(all));
  }
}

const ways = ["ours", "gains", "matrix", "rootPolynomial", "codeCurves"] as const;

function casesTable(cases: readonly CaseFigures[]): string {
  const figure = (value: number): string => value.toFixed(2);
  const line = (cells: readonly string[]): string => `| ${cells.join(" | ")} |`;
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
    line([
      "case",
      "ours",
      "gains",
      "3×3",
      "root-polynomial",
      "curves and 3×3 in code",
      "ours behind the best",
      "skin: ours",
      "skin: 3×3",
    ]),
    line(Array.from({ length: 9 }, () => "---")),
    ...cases.map((one) =>
      line([
        one.name,
        ...ways.map((way) => figure(mean(one.differences[way]))),
        behind(one),
        figure(mean(one.skin.ours)),
        figure(mean(one.skin.matrix)),
      ]),
    ),
    line([
      "**mean**",
      ...ways.map((way) => figure(mean(cases.map((one) => mean(one.differences[way]))))),
      "",
      figure(mean(cases.map((one) => mean(one.skin.ours)))),
      figure(mean(cases.map((one) => mean(one.skin.matrix)))),
    ]),
    line(["95 %", ...ways.map((way) => part(0.95, way)), "", "", ""]),
    line(["most", ...ways.map((way) => part(1, way)), "", "", ""]),
  ].join("\n");
}

function rowsTable(rows: readonly BenchRow[]): string {
  const figure = (value: number): string => Number(value.toPrecision(3)).toString();
  return [
    "| what | measured | reference | its figure |",
    "| --- | --- | --- | --- |",
    ...rows.map(
      ({ what, unit, ours, reference, theirs }) =>
        `| ${what} | ${figure(ours)} ${unit} | ${reference} | ${figure(theirs)} ${unit} |`,
    ),
  ].join("\n");
}

/** Puts a table between a marker's two comments. */
function write(marker: string, table: string): void {
  const text = readFileSync(page, "utf8");
  const [begin, end] = [`<!-- ${marker}: begin -->`, `<!-- ${marker}: end -->`];
  const [from, to] = [text.indexOf(begin), text.indexOf(end)];
  if (from < 0 || to < from) throw new Error(`docs/colour-bench.md has no place for ${marker}`);
  writeFileSync(page, `${text.slice(0, from + begin.length)}\n${table}\n${text.slice(to)}`);
}
