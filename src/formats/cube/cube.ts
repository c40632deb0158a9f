import { ExplainedError } from "#errors/explained-error";
import type { Lut3d } from "#science/colour/lut3d";
import type { Triple } from "#science/colour/matrix3";
import { decimalRows } from "./decimal-rows.ts";

/** A one-dimensional table: one curve a channel, n × 3 numbers, R, G, B interleaved. */
export interface Lut1d {
  readonly size: number;
  readonly domainMin: Triple;
  readonly domainMax: Triple;
  readonly table: Float32Array;
}

export type CubeFile =
  | {
      readonly kind: "3D";
      readonly title: string | null;
      readonly comments: readonly string[];
      readonly lut: Lut3d;
    }
  | {
      readonly kind: "1D";
      readonly title: string | null;
      readonly comments: readonly string[];
      readonly lut: Lut1d;
    };

/**
 * A three-dimensional table as .cube text.
 *
 * @param lut - 2 to 256 points an edge.
 * @param about - `title` in one line; `comments` say what the table expects, one line each.
 *
 * Source: Cube LUT Specification 1.0 (2013): red index fastest, six decimals.
 */
export function formatCube(
  lut: Lut3d,
  about: { readonly title: string; readonly comments?: readonly string[] },
): string {
  if (lut.size < 2 || lut.size > 256) throw new TypeError("A .cube table has 2 to 256 points an edge.");
  const lines = [
    `TITLE "${oneLine(about.title).replaceAll('"', "'")}"`,
    ...(about.comments ?? []).map((comment) => `# ${oneLine(comment)}`),
    `LUT_3D_SIZE ${lut.size}`,
    `DOMAIN_MIN ${lut.domainMin.map(plain).join(" ")}`,
    `DOMAIN_MAX ${lut.domainMax.map(plain).join(" ")}`,
  ];
  return `${lines.join("\n")}\n${decimalRows(lut.size ** 3, (row) => 3 * row, lut.table)}`;
}

/**
 * Reads .cube text: one 1D or one 3D table.
 *
 * Strict where a mistake would colour a picture wrongly: a row that is not three numbers, a count that does not
 * match the size, both tables in one file, a domain without extent. Keywords may come in any order and case before
 * the numbers; unknown ones are refused, for they may change what the numbers mean.
 *
 * @throws ExplainedError `LUT_INVALID` with the line's number in `facts.line`.
 *
 * Source: Cube LUT Specification 1.0 (2013).
 */
export function parseCube(text: string): CubeFile {
  let title: string | null = null;
  const comments: string[] = [];
  let size: number | null = null;
  let kind: "1D" | "3D" | null = null;
  let domainMin: Triple = [0, 0, 0];
  let domainMax: Triple = [1, 1, 1];
  let table: Float32Array | null = null;
  let filled = 0;
  const lines = text.replace(/^\uFEFF/, "").split(/\r\n|\n|\r/);
  for (const [index, raw] of lines.entries()) {
    const line = raw.trim();
    const number = index + 1;
    if (line === "") continue;
    if (line.startsWith("#")) {
      comments.push(line.slice(1).trim());
      continue;
    }
    const [word = "", ...rest] = line.split(/\s+/);
    if (/^[-+.0-9]/.test(word) && !/^[-+]?\.?[A-Za-z]/.test(word)) {
      if (table === null) throw refuse("has numbers before it says how many there are", number);
      if (filled >= table.length)
        throw refuse(`has more than the ${table.length / 3} rows that its size asks for`, number);
      const row = numbers([word, ...rest], number);
      table.set(row, filled);
      filled += 3;
      continue;
    }
    if (filled > 0) throw refuse(`has the word ${word} among its numbers`, number);
    switch (word.toUpperCase()) {
      case "TITLE":
        title = /^TITLE\s+"(.*)"$/i.exec(line)?.[1] ?? refuseTitle(number);
        break;
      case "LUT_1D_SIZE":
      case "LUT_3D_SIZE": {
        if (kind !== null) throw refuse("holds more than one table", number);
        kind = word.toUpperCase() === "LUT_1D_SIZE" ? "1D" : "3D";
        size = Number(rest[0]);
        const most = kind === "1D" ? 65_536 : 256;
        if (rest.length !== 1 || !Number.isInteger(size) || size < 2 || size > most) {
          throw refuse(`has a size that is not a whole number from 2 to ${most}`, number);
        }
        table = new Float32Array((kind === "1D" ? size : size ** 3) * 3);
        break;
      }
      case "DOMAIN_MIN":
        domainMin = numbers(rest, number);
        break;
      case "DOMAIN_MAX":
        domainMax = numbers(rest, number);
        break;
      default:
        throw refuse(`has the word ${word.slice(0, 40)}, which the format does not know`, number);
    }
  }
  if (kind === null || size === null || table === null)
    throw refuse("does not say how many points it has", lines.length);
  if (filled !== table.length) {
    throw refuse(`has ${filled / 3} rows where its size asks for ${table.length / 3}`, lines.length);
  }
  if (domainMin.some((low, c) => !(low < domainMax[c]!)))
    throw refuse("has a domain that ends before it begins", 1);
  return { kind, title, comments, lut: { size, domainMin, domainMax, table } };
}

/** A colour through a one-dimensional table, channel by channel; outside its domain inputs are clamped. */
export function sampleLut1d({ size, domainMin, domainMax, table }: Lut1d, colour: Triple): Triple {
  return colour.map((v, c) => {
    const unit = (v - domainMin[c]!) / (domainMax[c]! - domainMin[c]!);
    const at = Math.min(1, Math.max(0, unit)) * (size - 1);
    const i = Math.min(size - 2, Math.floor(at));
    return table[i * 3 + c]! + (at - i) * (table[(i + 1) * 3 + c]! - table[i * 3 + c]!);
  }) as unknown as Triple;
}

function numbers(words: readonly string[], line: number): [number, number, number] {
  const values = words.map((word) =>
    /^[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?$/i.test(word) ? Number(word) : Number.NaN,
  );
  if (values.length !== 3 || values.some((value) => !Number.isFinite(value))) {
    throw refuse("has a row that is not three numbers", line);
  }
  return values as [number, number, number];
}

function refuseTitle(line: number): never {
  throw refuse("has a title without quotation marks", line);
}

function refuse(what: string, line: number): ExplainedError {
  return new ExplainedError(
    "LUT_INVALID",
    {
      happened: `The LUT ${what} (line ${line}).`,
      means: "It is not used, because a misread table would colour every picture wrongly.",
      doNext: "Write it again as a .cube file with one table, or leave it out.",
    },
    { line },
  );
}

function oneLine(text: string): string {
  return text.replace(/\s+/g, " ").trim();
}

/** Whole numbers with one decimal, as most writers have them. */
function plain(value: number): string {
  return Number.isInteger(value) ? value.toFixed(1) : String(value);
}
