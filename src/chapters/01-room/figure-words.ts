/** Stops as a sentence says them: "1.3 stops", "1 stop". */
export function stopsWords(stops: number): string {
  const text = Math.abs(stops).toFixed(1).replace(/\.0$/, "");
  return `${text} ${text === "1" ? "stop" : "stops"}`;
}

/** A length as a sentence says it: "85 cm" under a metre, then "2.4 m". */
export function metresWords(metres: number): string {
  return Math.abs(metres) < 0.995 ? `${Math.round(metres * 100)} cm` : `${metres.toFixed(1)} m`;
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
