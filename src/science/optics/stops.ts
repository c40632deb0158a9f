/** F-numbers as lenses are engraved, in thirds of a stop: nominal values of powers of the sixth root of two (after ISO 517; from memory). */
export const engravedStops: readonly number[] = [
  1, 1.1, 1.2, 1.4, 1.6, 1.8, 2, 2.2, 2.5, 2.8, 3.2, 3.5, 4, 4.5, 5, 5.6, 6.3, 7.1, 8, 9, 10, 11, 13, 14, 16,
  18, 20, 22, 25, 29, 32,
];

/** A stop as it is engraved: 2.8, 11. */
export const stopWords = (stop: number): string => {
  const nearest = engravedStops.reduce((best, s) => (Math.abs(s - stop) < Math.abs(best - stop) ? s : best));
  // A lens that opens to 0.95 says so.
  if (Math.abs(Math.log2(nearest / stop)) > 0.072) return String(Number(stop.toFixed(2)));
  return String(nearest);
};
