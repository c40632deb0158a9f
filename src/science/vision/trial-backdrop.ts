import type { Triple } from "#science/colour/matrix3";

/** Grounds that hold many even squares, none of them a chart's. */
export const busyKinds = ["tiles", "shelves", "clutter", "swatches", "panes"] as const;
export type Behind = "plain" | (typeof busyKinds)[number];

/** Linear light of what lies behind the chart, by pixel. */
export function backdrop(kind: Behind, next: () => number, width: number): (x: number, y: number) => Triple {
  const pitch = width * (0.02 + 0.06 * next());
  const base: Triple = [0.1 + 0.3 * next(), 0.1 + 0.3 * next(), 0.1 + 0.3 * next()];
  const slant = 0.6 * (next() - 0.5);
  const seed = Math.floor(1e6 * next());
  const hash = (i: number, j: number): number => {
    let h = Math.imul(i | 0, 374761393) + Math.imul(j | 0, 668265263) + seed;
    h = Math.imul(h ^ (h >>> 13), 1274126177);
    return ((h ^ (h >>> 16)) >>> 0) / 2 ** 32;
  };
  if (kind === "plain")
    return (x, y) => base.map((b) => b * (0.6 + 0.4 * Math.sin((x + 2 * y) / width))) as unknown as Triple;
  if (kind === "tiles")
    return (x, y) => {
      const [i, j] = [Math.floor(x / pitch), Math.floor(y / pitch)];
      const grout = x / pitch - i < 0.12 || y / pitch - j < 0.12;
      return grout
        ? [0.03, 0.03, 0.03]
        : [0.05 + 0.7 * hash(i, j), 0.05 + 0.7 * hash(i + 99, j), 0.05 + 0.7 * hash(i, j + 99)];
    };
  if (kind === "shelves")
    return (x, y) => {
      const j = Math.floor(y / (pitch * 2.5));
      if (y / (pitch * 2.5) - j < 0.1) return [0.08, 0.05, 0.03];
      const i = Math.floor((x + hash(j, 7) * 50) / (pitch * 0.4));
      return [0.05 + 0.5 * hash(i, j), 0.05 + 0.4 * hash(i + 5, j), 0.05 + 0.3 * hash(i, j + 5)];
    };
  if (kind === "clutter")
    return (x, y) => {
      const [i, j] = [Math.floor((x + 0.3 * y) / pitch), Math.floor((y - 0.2 * x) / (pitch * 0.7))];
      return [0.5 * hash(i, j), 0.5 * hash(i, j + 3), 0.5 * hash(i + 3, j)];
    };
  if (kind === "swatches")
    // Paint samples on a dark board, every fourth row a run of greys from light to dark.
    return (x, y) => {
      const [u, v] = [(x + slant * y) / pitch, (y - slant * x) / pitch];
      const [i, j] = [Math.floor(u), Math.floor(v)];
      if (u - i < 0.15 || v - j < 0.15) return [0.03, 0.03, 0.03];
      if (((j % 4) + 4) % 4 === 3) {
        const grey = 0.85 * 0.55 ** (((i % 6) + 6) % 6);
        return [grey, grey, grey];
      }
      const [r, g, b] = [hash(i, j), hash(i + 31, j), hash(i, j + 31)];
      return [0.02 + 0.7 * r * r, 0.02 + 0.6 * g * g, 0.02 + 0.6 * b * b];
    };
  // Window panes: sky and leaves behind a light frame.
  return (x, y) => {
    const [u, v] = [x / (1.6 * pitch), y / (2 * pitch)];
    const [i, j] = [Math.floor(u), Math.floor(v)];
    if (u - i < 0.1 || v - j < 0.08) return [0.75, 0.73, 0.7];
    const sky = 0.3 + 0.6 * hash(i, j);
    return hash(i + 11, j) < 0.6 ? [0.8 * sky, 0.9 * sky, sky] : [0.12 * sky, 0.3 * sky, 0.08 * sky];
  };
}
