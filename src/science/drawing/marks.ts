/** How a mark is drawn: names that the page's style sheet and the report's both know. */
export type MarkLook = string;

/** One thing in a drawing; lengths in page units, y downwards. `fill` is a colour of its own where the look has none. */
export type Mark =
  | { readonly kind: "path"; readonly d: string; readonly look: MarkLook; readonly opacity?: number }
  | {
      readonly kind: "dot";
      readonly x: number;
      readonly y: number;
      readonly r: number;
      readonly look: MarkLook;
      readonly fill?: string;
      readonly opacity?: number;
    }
  | {
      readonly kind: "box";
      readonly x: number;
      readonly y: number;
      readonly width: number;
      readonly height: number;
      readonly look: MarkLook;
      readonly fill?: string;
    }
  | {
      readonly kind: "text";
      readonly x: number;
      readonly y: number;
      readonly text: string;
      readonly look: MarkLook;
      readonly anchor?: "start" | "middle" | "end";
    };

/** A figure laid out for one width: its marks, back to front, and what it shows in a sentence. */
export interface Drawing {
  readonly width: number;
  readonly height: number;
  readonly marks: readonly Mark[];
  readonly says: string;
}

/** How a drawing puts figures into words: the page's reader has a locale, the report has none. */
export interface FigureWords {
  /** A figure with so many digits after its mark. */
  number(value: number, digits?: number): string;
  /** A moment, "0:34". */
  moment(seconds: number): string;
}

/** A length to a tenth of a page unit: finer than any screen or printer shows. */
export const tenth = (value: number): number => Math.round(value * 10) / 10;

/** A straight line from one point to another, as a path. */
export const straight = (x1: number, y1: number, x2: number, y2: number): string =>
  `M${tenth(x1)} ${tenth(y1)}L${tenth(x2)} ${tenth(y2)}`;

/** A line through points, as a path; "" for none. */
export function through(points: readonly (readonly [number, number])[]): string {
  return points.map(([x, y], i) => `${i ? "L" : "M"}${tenth(x)} ${tenth(y)}`).join("");
}
