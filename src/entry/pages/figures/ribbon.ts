/** Which column a picture stands in. */
export type Side = "left" | "right";

/** Left for the first camera, right for every other: two columns, as two hues. */
export function sideOf(camera: string, first: string): Side {
  return camera === first ? "left" : "right";
}

/** A stretch of the cut on one side, in page units; `[y0, y1)`. */
export interface RibbonStretch {
  readonly side: Side;
  readonly y0: number;
  readonly y1: number;
  readonly hue: string;
}

/** One unbroken face of the ribbon: its outline, two lighter strands along it, and its hue. */
export interface RibbonFace {
  readonly hue: string;
  readonly outline: string;
  readonly strands: readonly string[];
  readonly y0: number;
  readonly y1: number;
}

const f = (value: number) => value.toFixed(1);

/**
 * The ribbon that lies against the picture on screen and turns over at each change.
 *
 * Faces follow one another: the two edges of a face run down along its column, then cross over towards the middle and
 * meet in a point, where the next face begins; the left edge goes on as the right one, as in a real twist.
 *
 * @param stretches - In order of `y0`. Neighbours of the same hue and side become one face.
 * @param left - x of the outer edge against the left column's pictures; `right` against the right column's.
 * @param width - The ribbon's width where it lies flat.
 * @param turn - Height within which it turns, at each end of a stretch; shortened where a stretch is short.
 */
export function ribbonFaces(
  stretches: readonly RibbonStretch[],
  left: number,
  right: number,
  width: number,
  turn: number,
): RibbonFace[] {
  const runs: { side: Side; hue: string; y0: number; y1: number }[] = [];
  for (const s of stretches) {
    const last = runs.at(-1);
    if (last && last.side === s.side && last.hue === s.hue) last.y1 = s.y1;
    else runs.push({ ...s });
  }
  const middle = (left + right) / 2;
  return runs.map((run, i) => {
    const outer = run.side === "left" ? left : right - width;
    const before = runs[i - 1];
    const after = runs[i + 1];
    const top = before ? (before.y1 + run.y0) / 2 : run.y0;
    const bottom = after ? (run.y1 + after.y0) / 2 : run.y1;
    const room = (bottom - top) * 0.48;
    const topTurn = before ? Math.min(turn, room) : 0;
    const bottomTurn = after ? Math.min(turn, room) : 0;
    // A same-side neighbour of another hue needs no crossing: the face ends where the next begins.
    const topX = before && before.side !== run.side ? middle : null;
    const bottomX = after && after.side !== run.side ? middle : null;
    const edge = (share: number) =>
      edgePath(outer + width * share, top, topTurn, topX, bottom, bottomTurn, bottomX);
    const down = edge(0);
    const up = edge(1).toReversed();
    return {
      hue: run.hue,
      outline: `${drawn(down, "M")} L${f(up[0]!.x)} ${f(up[0]!.y)} ${drawnBack(up)} Z`,
      strands: [drawn(edge(1 / 3), "M"), drawn(edge(2 / 3), "M")],
      y0: top,
      y1: bottom,
    };
  });
}

interface Knot {
  x: number;
  y: number;
  /** Control points of the curve that leads to this knot from the one before. */
  c1?: { x: number; y: number };
  c2?: { x: number; y: number };
}

/** One edge from its top to its bottom: a curve in from the middle, straight along the column, a curve out. */
function edgePath(
  x: number,
  top: number,
  topTurn: number,
  topX: number | null,
  bottom: number,
  bottomTurn: number,
  bottomX: number | null,
): Knot[] {
  const knots: Knot[] = [];
  if (topX !== null) {
    knots.push({ x: topX, y: top });
    knots.push({
      x,
      y: top + topTurn,
      c1: { x: topX + (x - topX) * 0.55, y: top + topTurn * 0.36 },
      c2: { x, y: top + topTurn * 0.52 },
    });
  } else knots.push({ x, y: top });
  if (bottomX !== null) {
    knots.push({ x, y: bottom - bottomTurn });
    knots.push({
      x: bottomX,
      y: bottom,
      c1: { x, y: bottom - bottomTurn * 0.52 },
      c2: { x: bottomX + (x - bottomX) * 0.55, y: bottom - bottomTurn * 0.36 },
    });
  } else knots.push({ x, y: bottom });
  return knots;
}

function drawn(knots: readonly Knot[], start: "M" | "L"): string {
  return knots
    .map((k, i) => {
      if (i === 0) return `${start}${f(k.x)} ${f(k.y)}`;
      if (k.c1 && k.c2) return `C${f(k.c1.x)} ${f(k.c1.y)} ${f(k.c2.x)} ${f(k.c2.y)} ${f(k.x)} ${f(k.y)}`;
      return `L${f(k.x)} ${f(k.y)}`;
    })
    .join(" ");
}

/** The same edge walked from bottom to top: each curve's control points swap. */
function drawnBack(reversed: readonly Knot[]): string {
  const parts: string[] = [];
  for (let i = 1; i < reversed.length; i++) {
    const from = reversed[i - 1]!;
    const to = reversed[i]!;
    parts.push(
      from.c1 && from.c2
        ? `C${f(from.c2.x)} ${f(from.c2.y)} ${f(from.c1.x)} ${f(from.c1.y)} ${f(to.x)} ${f(to.y)}`
        : `L${f(to.x)} ${f(to.y)}`,
    );
  }
  return parts.join(" ");
}
