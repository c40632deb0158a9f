/** Stops as a sentence says them: "1.3 stops", "1 stop". */
export function stopsWords(stops: number): string {
  const text = Math.abs(stops).toFixed(1).replace(/\.0$/, "");
  return `${text} ${text === "1" ? "stop" : "stops"}`;
}

/** Lux to two figures: "161" reads as "160". */
export function luxWords(lux: number): string {
  if (lux < 10) return `${lux.toFixed(1)} lx`;
  const step = 10 ** Math.max(0, Math.floor(Math.log10(lux)) - 1);
  return `${Math.round(lux / step) * step} lx`;
}

/** A list as a sentence says it: "A", "A and B", "A, B and C". */
export function listWords(words: readonly string[]): string {
  return words.length < 2 ? (words[0] ?? "") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;
}
