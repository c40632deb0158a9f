const small = [
  "no",
  "one",
  "two",
  "three",
  "four",
  "five",
  "six",
  "seven",
  "eight",
  "nine",
  "ten",
  "eleven",
  "twelve",
  "thirteen",
  "fourteen",
  "fifteen",
  "sixteen",
  "seventeen",
  "eighteen",
  "nineteen",
];
const tens = ["", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"];

/** A whole number as a sentence says it: words up to ninety-nine, digits from 100 on. Zero is "no". */
export function numberWords(count: number): string {
  const whole = Math.round(count);
  if (whole < 0 || whole > 99) return String(whole);
  if (whole < 20) return small[whole]!;
  const unit = whole % 10;
  return tens[Math.floor(whole / 10)]! + (unit === 0 ? "" : `-${small[unit]}`);
}

/** "one file", "seven files". */
export function countOf(count: number, one: string, many: string = `${one}s`): string {
  return `${numberWords(count)} ${Math.round(count) === 1 ? one : many}`;
}

/** The first letter made a capital, to open a sentence. */
export function openSentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** A duration as a sentence says it: seconds up to 99, minutes from there on. */
export function durationWords(seconds: number): string {
  return seconds < 99.5 ? countOf(seconds, "second") : countOf(seconds / 60, "minute");
}

/** Minutes and seconds for reading, `0:41`, `62:07`; seconds are cut, never rounded up past what has passed. */
export function minutesSeconds(seconds: number): string {
  const whole = Math.max(0, Math.floor(seconds + 1e-6));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}
