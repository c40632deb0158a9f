/**
 * The known word that a mistyped one was meant for: the nearest by letters put in, left out or taken for another
 * (V. I. Levenshtein, "Binary codes capable of correcting deletions, insertions, and reversals", 1966).
 *
 * @param known - Of words equally near the first is taken.
 * @returns null where every word is more than two letters off.
 */
export function nearestWord(word: string, known: readonly string[]): string | null {
  let best: { readonly word: string; readonly far: number } | null = null;
  for (const one of known) {
    const far = lettersBetween(word, one);
    if (far <= 2 && far < (best?.far ?? Infinity)) best = { word: one, far };
  }
  return best?.word ?? null;
}

/** How many letters have to be put in, left out or taken for others to make one word of the other. */
export function lettersBetween(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, i) => i);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++)
      next.push(Math.min(row[j]! + 1, next[j - 1]! + 1, row[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1)));
    row = next;
  }
  return row[b.length]!;
}
