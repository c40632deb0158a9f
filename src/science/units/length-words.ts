/*
 * Lengths as people write and read them: metres and centimetres, feet and inches. 1 ft = 0.3048 m, 1 in = 0.0254 m
 * exactly (international yard and pound agreement, 1959).
 */

/** Which words a length is told in. */
export type LengthUnits = "metric" | "feet";

const metresPerInch = 0.0254;
const metresPer: Readonly<Record<string, number>> = {
  m: 1,
  metre: 1,
  metres: 1,
  meter: 1,
  meters: 1,
  cm: 0.01,
  mm: 0.001,
  ft: 0.3048,
  foot: 0.3048,
  feet: 0.3048,
  "'": 0.3048,
  in: metresPerInch,
  inch: metresPerInch,
  inches: metresPerInch,
  '"': metresPerInch,
};

const number = String.raw`\d+\/\d+|\d+(?:[.,]\d+)?(?:\s+\d+\/\d+)?`;
const part = new RegExp(`^\\s*(${number})\\s*(metres?|meters?|mm|cm|m|feet|foot|ft|inches|inch|in|'|")?`);

/** `2 1/2`, `3/8`, `1,5` as a number. */
function amount(text: string): number {
  let sum = 0;
  for (const piece of text.replace(",", ".").split(/\s+/)) {
    const [top, bottom] = piece.split("/");
    sum += bottom === undefined ? Number(top) : Number(top) / Number(bottom);
  }
  return sum;
}

/**
 * Reads a length.
 *
 * @param text - `2.5 m`, `85 cm`, `8'6"`, `8 ft 6 1/2 in`, `-30 cm`; a bare number is metres.
 * @returns Metres; null where the text is no length.
 */
export function lengthFromText(text: string): number | null {
  let rest = text.trim().replace(/[’′]/g, "'").replace(/[”″]/g, '"').replace(/''/g, '"').toLowerCase();
  const sign = /^[-−]/.test(rest) ? -1 : 1;
  rest = rest.replace(/^[-−+]\s*/, "");
  let metres = 0;
  let before = "";
  for (let parts = 0; rest !== ""; parts++) {
    const match = part.exec(rest);
    if (!match || parts > 2) return null;
    // `8'6` leaves the inches' sign out.
    const unit = match[2] ?? (before === "'" || before === "ft" ? '"' : parts === 0 ? "m" : undefined);
    if (unit === undefined || (match[2] === undefined && rest.slice(match[0].length).trim() !== ""))
      return null;
    metres += amount(match[1]!) * metresPer[unit]!;
    before = unit;
    rest = rest.slice(match[0].length).trim();
  }
  return before === "" || !Number.isFinite(metres) ? null : sign * metres;
}

/**
 * A length in words.
 *
 * @returns `4 cm`, `2.46 m`; or `1' 7"` and `2"`, to the nearest half inch under a foot.
 */
export function lengthWords(metres: number, units: LengthUnits = "metric"): string {
  const sign = metres < 0 ? "-" : "";
  const size = Math.abs(metres);
  if (units === "metric") {
    if (size < 0.995) return `${sign}${Math.round(size * 100)} cm`;
    return `${sign}${size.toFixed(size < 9.995 ? 2 : 1)} m`;
  }
  const halves = Math.round(size / metresPerInch / 0.5);
  if (halves < 24) return `${sign}${halves / 2}"`;
  const inches = Math.round(size / metresPerInch);
  const feet = Math.floor(inches / 12);
  return inches % 12 === 0 ? `${sign}${feet}'` : `${sign}${feet}' ${inches % 12}"`;
}
