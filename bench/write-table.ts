import { readFileSync, writeFileSync } from "node:fs";
import type { BenchRow } from "./row.ts";

/** The repository's root, from the built file. */
const root = new URL("../", new URL(import.meta.url.replace("/dist/bench/", "/bench/")));

/**
 * Puts a table into a page between a marker's two comments: no figure there is typed by hand.
 *
 * @param page - Path from the repository's root.
 * @param rows - The heads first.
 */
export function writeTable(page: string, marker: string, rows: readonly (readonly string[])[]): void {
  const path = new URL(page, root);
  const text = readFileSync(path, "utf8");
  const [begin, end] = [`<!-- ${marker}: begin -->`, `<!-- ${marker}: end -->`];
  const [from, to] = [text.indexOf(begin), text.indexOf(end)];
  if (from < 0 || to < from) throw new Error(`${page} has no place for ${marker}`);
  const [heads, ...body] = rows.map((row) => `| ${row.join(" | ")} |`);
  const table = [heads, `|${" --- |".repeat(rows[0]!.length)}`, ...body].join("\n");
  writeFileSync(path, `${text.slice(0, from + begin.length)}\n${table}\n${text.slice(to)}`);
}

/** Rows of a bench as cells of such a table, figures to three places. */
export function cellsOf(rows: readonly BenchRow[]): string[][] {
  const figure = (value: number, unit: string): string => {
    const text = Math.abs(value) >= 1000 ? value.toFixed(0) : Number(value.toPrecision(3)).toString();
    return `${text} ${unit}`.trim();
  };
  return [
    ["what", "measured", "reference", "its figure"],
    ...rows.map(({ what, unit, ours, reference, theirs }) => [
      what,
      figure(ours, unit),
      reference,
      figure(theirs, unit),
    ]),
  ];
}
