/**
 * A moment or length as people write it: "62", "1:02", "1:02.5", "1:00:02" (a decimal comma too).
 *
 * @returns Seconds, or null where it is none.
 */
export function readMoment(text: string): number | null {
  const plain = text.trim().replace(",", ".");
  if (!/^(?:\d+:){0,2}\d+(?:\.\d+)?$/.test(plain)) return null;
  const parts = plain.split(":").map(Number);
  if (parts.slice(1).some((part) => part >= 60)) return null;
  return parts.reduce((sum, part) => sum * 60 + part, 0);
}
