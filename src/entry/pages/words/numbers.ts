import { numberWords } from "#science/units/number-words";

/** The reader's own locale, as the browser has it; undefined lets Intl choose. */
const locale = undefined;

/** By decimals: making one takes longer than a hundred uses of it, and tables of a long cut use thousands. */
const formats = new Map<number, Intl.NumberFormat>();

/** Between thousands: a space that is thin and at which no line ends. */
const thinSpace = "\u202f";

/** A number in the reader's locale with a true minus sign (U+2212); a rounded zero has no sign. */
export function number(value: number, digits = 0): string {
  if (!Number.isFinite(value)) return value > 0 ? "∞" : "−∞";
  let format = formats.get(digits);
  if (!format) {
    format = new Intl.NumberFormat(locale, {
      minimumFractionDigits: digits,
      maximumFractionDigits: digits,
      signDisplay: "negative",
      useGrouping: false,
    });
    formats.set(digits, format);
  }
  return thousands(format.format(value).replace("-", "−"));
}

/** Sets the whole part in threes from five places on; four stay together. (BIPM, SI brochure, 9th edition, 5.4.4.) */
function thousands(plain: string): string {
  return plain.replace(/(?<=^−?)\d{5,}/, (whole) => whole.replaceAll(/\B(?=(?:\d{3})+$)/g, thinSpace));
}

/** What stands between whole and parts in the reader's locale. */
const decimalMark: string = number(0.5, 1).charAt(1);

/** A sentence of the program, which has decimal points, with the reader's mark; names and addresses stay as they are. */
export function figuresWith(mark: string, sentence: string): string {
  if (mark === ".") return sentence;
  return sentence.replace(
    /(?<![\p{L}\p{N}./\\_-])([\d:]*\d)\.(\d+)(?![\p{L}\p{N}/\\_]|\.\p{L}|\.\d)/gu,
    `$1${mark}$2`,
  );
}

/** {@link figuresWith} the mark of this reader. */
export const inReadersFigures = (sentence: string): string => figuresWith(decimalMark, sentence);

/**
 * A number as the reader writes it: with their decimal mark or a point, and any minus sign.
 *
 * @returns null where it is none.
 */
export function readNumber(text: string): number | null {
  const plain = text
    .trim()
    .replaceAll(/[\s\u00a0\u202f\u2019']/g, "")
    .replace(/^[−–]/, "-")
    .replace(decimalMark, ".")
    .replace(",", ".");
  if (!/^-?(?:\d+\.?\d*|\.\d+)$/.test(plain)) return null;
  return Number(plain);
}

/** As few decimals as keep `figures` significant ones: 0.034, 1.20, 72. */
export function significant(value: number, figures = 2): string {
  const digits =
    value === 0 ? 0 : Math.max(0, Math.min(6, figures - 1 - Math.floor(Math.log10(Math.abs(value)))));
  return number(value, digits);
}

/** Bytes as people buy them: kB, MB, GB are powers of 1000. */
export function bytes(value: number): string {
  const units = ["byte", "kilobyte", "megabyte", "gigabyte", "terabyte"] as const;
  const step = value < 1000 ? 0 : Math.min(units.length - 1, Math.floor(Math.log10(value) / 3));
  const scaled = value / 1000 ** step;
  return new Intl.NumberFormat(locale, {
    style: "unit",
    unit: units[step]!,
    unitDisplay: step === 0 ? "long" : "short",
    maximumFractionDigits: step > 0 && scaled < 100 ? 1 : 0,
  }).format(scaled);
}

/** A share of one as sentences write it: "76 %", with a space that no line ends at. */
export function percent(share: number): string {
  return `${number(100 * share)}\u00a0%`;
}

/** Counts up to twelve in words, as a sentence wants them; above that in figures. */
export function count(value: number): string {
  return value <= 12 ? numberWords(value) : number(value);
}

/** `count` and its noun: "one thing", "three things". */
export function counted(value: number, noun: string, plural = `${noun}s`): string {
  return `${count(value)} ${value === 1 ? noun : plural}`;
}

/** Day and month, with the year where it is not this one. */
export function day(iso: string, now = new Date()): string {
  const date = new Date(iso);
  if (Number.isNaN(date.getTime())) return "";
  return new Intl.DateTimeFormat(locale, {
    weekday: "short",
    day: "numeric",
    month: "long",
    ...(date.getFullYear() === now.getFullYear() ? {} : { year: "numeric" }),
  }).format(date);
}
