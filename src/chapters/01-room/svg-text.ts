/** A figure of a drawing, short: two decimals, no trailing noughts. */
export const fig = (value: number): string => String(Math.round(value * 100) / 100);

/** Text as it may stand in XML. */
export const xml = (text: string): string =>
  text.replace(/[&<>"']/g, (sign) => `&#${sign.charCodeAt(0)};`).replace(/\p{Cc}/gu, " ");

/** `M x y L x y ...`, closed where wished. */
export function pathOf(points: readonly (readonly [number, number])[], isClosed = true): string {
  let d = "";
  for (let i = 0; i < points.length; i++)
    d += `${i === 0 ? "M" : "L"}${fig(points[i]![0])} ${fig(points[i]![1])}`;
  return isClosed ? `${d}Z` : d;
}

/** A path with a class. */
export const path = (cls: string, d: string, more = ""): string => `<path class="${cls}" d="${d}"${more}/>`;

/** A straight line with a class. */
export const line = (cls: string, x1: number, y1: number, x2: number, y2: number): string =>
  `<path class="${cls}" d="M${fig(x1)} ${fig(y1)}L${fig(x2)} ${fig(y2)}"/>`;

/** A label: its words, where it begins, and how it is anchored. */
export const words = (
  cls: string,
  x: number,
  y: number,
  text: string,
  anchor: "start" | "middle" | "end" = "start",
  turn = 0,
): string =>
  `<text class="${cls}" x="${fig(x)}" y="${fig(y)}"${anchor === "start" ? "" : ` text-anchor="${anchor}"`}${
    turn === 0 ? "" : ` transform="rotate(${fig(turn)} ${fig(x)} ${fig(y)})"`
  }>${xml(text)}</text>`;
