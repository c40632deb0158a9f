import { readNumber } from "../../words/numbers.ts";

/** Figures written one after another with spaces between; null where one is none, or out of bounds. */
export function readList(text: string, [low, high]: readonly [number, number]): number[] | null {
  const values = text
    .split(/;|,?\s+/)
    .filter((part) => part !== "")
    .map(readNumber);
  if (values.some((value) => value === null || value < low || value > high)) return null;
  return [...new Set(values as number[])].sort((a, b) => a - b);
}
