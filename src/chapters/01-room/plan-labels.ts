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

/** Some lines of text beside an object, or on a line of the drawing. */
export interface Label {
  readonly lines: readonly string[];
  readonly classes: readonly string[];
  /** Where the object that it names is, the best place first: a long one may be named anywhere along it. */
  readonly spots: readonly (readonly [number, number])[];
  /** Half breadth of the object; null: the text's middle lies on the spot itself. */
  readonly reach: number | null;
  /** Left out where it could only lie across other words. */
  readonly mayGo?: boolean;
}

const lineHeight = 14;
/** From a line's top to its baseline. */
const ascent = 11;
/** Mean advance of a character at 12 units, measured roughly for a plain sans. */
const advance = 6.1;
/** The same of the large letters that name a camera, and of bold figures. */
const [nameAdvance, boldAdvance] = [8.6, 6.6];
/** Words on words cannot be read; words on an object can. */
const onWords = 6;
/** Words stand this far from other words, units. */
const apart = 2;
/** Overlap with other words up to this is a touch of two corners, square units. */
const touch = 8;
/** Away from the object; from `led` on a line leads back to it. */
const [steps, led] = [[4, 11, 18, 27, 36, 50], 20] as const;

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
const onIt: readonly (readonly [number, number])[] = [[0, 0]];

function overlap(a: Taken, b: Taken, margin: number): number {
  const w = Math.min(a.x1, b.x1) - Math.max(a.x0, b.x0) + margin;
  if (w <= 0) return 0;
  const h = Math.min(a.y1, b.y1) - Math.max(a.y0, b.y0) + margin;
  return h <= 0 ? 0 : w * h;
}

/** Breadth of a text in one of the drawing's classes, roughly, in units of the drawing. */
export function breadthOf(text: string, classes: string): number {
  const each = classes.startsWith("name")
    ? nameAdvance
    : classes.startsWith("axis-text")
      ? boldAdvance
      : advance;
  return text.length * each;
}

/** A label where it might stand. */
interface Put {
  /** A rectangle for each line. */
  readonly boxes: readonly Taken[];
  readonly cost: number;
  /** How much of other words it would cover. */
  readonly covers: number;
  readonly anchor: "start" | "middle" | "end";
  readonly tx: number;
  readonly from: readonly [number, number];
  readonly far: number;
}

/**
 * Puts labels beside their objects, each where it covers least of what is there already, and once more when all the others stand; one
 * that had to go farther gets a leader. The same labels are always put in the same places.
 *
 * @param taken - What else is in the drawing.
 * @param bounds - The drawing's edges; nothing is put outside.
 * @returns One for each label, in order; empty where there is no room for it.
 */
export function placeLabels(
  labels: readonly Label[],
  taken: readonly Taken[],
  bounds: { readonly width: number; readonly height: number },
): string[] {
  const puts: (Put | null)[] = labels.map(() => null);
  // The second time round each has the others' final neighbourhood.
  for (const _ of [1, 2])
    for (const [i, label] of labels.entries()) {
      const others = puts.flatMap((put, j) => (put && j !== i ? put.boxes : []));
      puts[i] = bestOf(label, taken, others, bounds);
    }
  return labels.map((label, i) => {
    const put = puts[i];
    return put && !(label.mayGo && put.covers > touch) ? drawn(label, put) : "";
  });
}

function bestOf(
  label: Label,
  taken: readonly Taken[],
  others: readonly Taken[],
  bounds: { readonly width: number; readonly height: number },
): Put | null {
  const breadths = label.lines.map((text, i) => breadthOf(text, label.classes[i] ?? label.classes[0]!));
  const w = Math.max(...breadths);
  const h = label.lines.length * lineHeight;
  const { reach } = label;
  let best: Put | null = null;
  for (const [k, from] of label.spots.entries())
    for (const far of reach === null ? [0] : steps) {
      const gap = (reach ?? 0) + far;
      for (const [i, [sx, sy]] of (reach === null ? onIt : sides).entries()) {
        let cost = i * 3 + far * 1.5 + k * 5;
        if (best && best.cost <= cost) continue;
        const cx = from[0] + sx * (gap * (sy === 0 ? 1 : 0.75) + w / 2);
        const cy = from[1] + sy * (gap * (sx === 0 ? 1 : 0.75) + h / 2);
        const [x0, x1, y0] = [cx - w / 2, cx + w / 2, cy - h / 2];
        if (x0 < 1 || x1 > bounds.width - 1 || y0 < 1 || y0 + h > bounds.height - 1) continue;
        const anchor = sx > 0 ? "start" : sx < 0 ? "end" : "middle";
        const boxes = breadths.map((breadth, j): Taken => {
          const left = sx > 0 ? x0 : sx < 0 ? x1 - breadth : cx - breadth / 2;
          const top = y0 + j * lineHeight;
          return { x0: left, y0: top, x1: left + breadth, y1: top + lineHeight, weight: onWords };
        });
        let covers = 0;
        for (const box of boxes) {
          for (const other of taken) cost += overlap(box, other, 0) * other.weight;
          for (const other of others) covers += overlap(box, other, apart);
        }
        cost += covers * onWords;
        if (best && best.cost <= cost) continue;
        best = { boxes, cost, covers, anchor, tx: sx > 0 ? x0 : sx < 0 ? x1 : cx, from, far };
      }
    }
  return best;
}

function drawn(label: Label, { boxes, anchor, tx, from, far }: Put): string {
  let svg = "";
  if (far > led) {
    const [left, right] = [Math.min(...boxes.map((b) => b.x0)), Math.max(...boxes.map((b) => b.x1))];
    svg += line(
      "leader",
      from[0],
      from[1],
      Math.max(left, Math.min(right, from[0])),
      Math.max(boxes[0]!.y0, Math.min(boxes.at(-1)!.y1, from[1])),
    );
  }
  label.lines.forEach((text, i) => {
    svg += words(label.classes[i] ?? label.classes[0]!, tx, boxes[i]!.y0 + ascent, text, anchor);
  });
  return svg;
}
