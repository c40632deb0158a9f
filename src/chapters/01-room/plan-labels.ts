import { line, words } from "./svg-text.ts";

/** A rectangle of the drawing that labels keep off. */
export interface Taken {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
  /** How bad it is to lie on it; 1 for an object, less for a line. */
  readonly weight: number;
}

/** One or two lines of text beside an object. */
export interface Label {
  readonly lines: readonly string[];
  readonly classes: readonly string[];
  /** The object that it names. */
  readonly x: number;
  readonly y: number;
  /** Half breadth of the object. */
  readonly reach: number;
}

const lineHeight = 14;
/** Mean advance of a character at 12 units, measured roughly for a plain sans. */
const advance = 6.1;

/** The eight sides of an object, the best first. */
const sides: readonly (readonly [number, number])[] = [
  [0, 1],
  [1, 0],
  [-1, 0],
  [0, -1],
  [1, 1],
  [-1, 1],
  [1, -1],
  [-1, -1],
];

function overlap(a: Taken, b: Taken): number {
  const w = Math.min(a.x1, b.x1) - Math.max(a.x0, b.x0);
  const h = Math.min(a.y1, b.y1) - Math.max(a.y0, b.y0);
  return w > 0 && h > 0 ? w * h * b.weight : 0;
}

/**
 * Puts labels beside their objects, each where it covers least of what is there already; one that had to go farther
 * gets a leader.
 *
 * @param bounds - The drawing's edges; nothing is put outside.
 * @returns One for each label, in order; empty where there is no room for it.
 */
export function placeLabels(
  labels: readonly Label[],
  taken: Taken[],
  bounds: { readonly width: number; readonly height: number },
): string[] {
  return labels.map((label) => {
    let svg = "";
    const w = Math.max(...label.lines.map((text) => text.length)) * advance;
    const h = label.lines.length * lineHeight;
    let best: {
      box: Taken;
      cost: number;
      anchor: "start" | "middle" | "end";
      tx: number;
      far: number;
    } | null = null;
    for (const far of [4, 18, 36]) {
      for (let i = 0; i < sides.length; i++) {
        const [sx, sy] = sides[i]!;
        const gap = label.reach + far;
        const cx = label.x + sx * (gap * (sy === 0 ? 1 : 0.75) + w / 2);
        const cy = label.y + sy * (gap * (sx === 0 ? 1 : 0.75) + h / 2);
        const box: Taken = { x0: cx - w / 2, y0: cy - h / 2, x1: cx + w / 2, y1: cy + h / 2, weight: 1 };
        if (box.x0 < 1 || box.x1 > bounds.width - 1 || box.y0 < 1 || box.y1 > bounds.height - 1) continue;
        let cost = i * 3 + far * 1.5;
        for (const other of taken) cost += overlap(box, other);
        if (best && best.cost <= cost) continue;
        const anchor = sx > 0 ? "start" : sx < 0 ? "end" : "middle";
        best = { box, cost, anchor, tx: sx > 0 ? box.x0 : sx < 0 ? box.x1 : cx, far };
      }
    }
    if (!best) return "";
    taken.push(best.box);
    if (best.far > 20)
      svg += line(
        "leader",
        label.x,
        label.y,
        Math.max(best.box.x0, Math.min(best.box.x1, label.x)),
        Math.max(best.box.y0, Math.min(best.box.y1, label.y)),
      );
    label.lines.forEach((text, i) => {
      svg += words(
        label.classes[i] ?? label.classes[0]!,
        best.tx,
        best.box.y0 + 11 + i * lineHeight,
        text,
        best.anchor,
      );
    });
    return svg;
  });
}
