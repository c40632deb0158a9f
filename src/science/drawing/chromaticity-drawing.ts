import { type Drawing, type FigureWords, type Mark, straight, tenth, through } from "./marks.ts";
import { niceTicks, scale } from "./nice-ticks.ts";

type Uv = readonly [u: number, v: number];

/** One patch on the plane: A's, the other camera's as recorded and matched. */
export interface PlacedPatch {
  readonly name: string;
  /** A colour for the screen. */
  readonly fill: string;
  readonly a: Uv;
  readonly before: Uv;
  readonly after: Uv;
}

/** What stands around the patches. */
export interface ChromaticityPlane {
  /** Pure colours of the spectrum in order; closed by a straight line. */
  readonly locus: readonly { readonly nm: number; readonly uv: Uv }[];
  readonly white: Uv;
}

/** Page units. */
const mostHeight = 430;

/**
 * Patches on the CIE 1976 u'v' plane: a ring where the other camera put each, an arrow to where the match brings it, a
 * cross where A has it. The plane is cut close around the patches; the small one shows all colours and where the cut lies.
 */
export function chromaticityDrawing(
  patches: readonly PlacedPatch[],
  { locus, white }: ChromaticityPlane,
  { width, to, from }: { readonly width: number; readonly to: string; readonly from: string },
  words: FigureWords,
): Drawing {
  const points = patches.flatMap(({ a, before, after }) => [a, before, after]);
  const us = points.map(([u]) => u);
  const vs = points.map(([, v]) => v);
  const margin = 0.02;
  const [v0, v1] = [Math.min(...vs) - margin, Math.max(...vs) + margin];
  const [least, most] = [Math.min(...us) - margin, Math.max(...us) + margin];
  const [left, right, top] = [40, width - 12, 26];
  // One scale for both axes: distances are seen as they are. What is too tall for it shows more to either side.
  const perUnit = Math.min((right - left) / (most - least), mostHeight / (v1 - v0));
  const beside = ((right - left) / perUnit - (most - least)) / 2;
  const [u0, u1] = [least - beside, most + beside];
  const bottom = top + perUnit * (v1 - v0);
  const height = Math.round(bottom + 34);
  const x = scale(u0, u1, left, right);
  const y = scale(v1, v0, top, bottom);
  const marks: Mark[] = [];
  const text = (
    px: number,
    py: number,
    what: string,
    look: string,
    anchor?: "start" | "middle" | "end",
  ): void => {
    marks.push({ kind: "text", x: tenth(px), y: tenth(py), text: what, look, ...(anchor && { anchor }) });
  };
  for (const tick of niceTicks(u0, u1, Math.max(3, Math.floor((right - left) / 90)))) {
    marks.push({ kind: "path", d: straight(x(tick), top, x(tick), bottom), look: "rule" });
    text(x(tick), bottom + 16, words.number(tick, 2), "q", "middle");
  }
  for (const tick of niceTicks(v0, v1, Math.max(3, Math.floor((bottom - top) / 70)))) {
    marks.push({ kind: "path", d: straight(left, y(tick), right, y(tick)), look: "rule" });
    text(left - 6, y(tick) + 4, words.number(tick, 2), "q", "end");
  }
  text(right, bottom + 31, "u′", "q", "end");
  text(left - 6, top - 8, "v′", "q", "end");
  const inside = ([u, v]: Uv): boolean => u >= u0 && u <= u1 && v >= v0 && v <= v1;
  // Of the edge of all colours what lies in the cut.
  let run: (readonly [number, number])[] = [];
  const flush = (): void => {
    if (run.length > 1) marks.push({ kind: "path", d: through(run), look: "dim line" });
    run = [];
  };
  for (const { nm, uv } of locus) {
    if (!inside(uv)) {
      flush();
      continue;
    }
    run.push([x(uv[0]), y(uv[1])]);
    // Outside the edge, where no patch can lie.
    const away = uv[1] > white[1] ? -6 : 14;
    if (nm % 20 === 0 && uv[0] > u0 + 0.02) text(x(uv[0]), y(uv[1]) + away, `${nm} nm`, "q halo", "middle");
  }
  flush();
  for (const { a, fill } of patches)
    marks.push({ kind: "dot", x: tenth(x(a[0])), y: tenth(y(a[1])), r: 9, look: "swatch", fill });
  // Skin lies above the white and to its right; below it there is room.
  text(x(white[0]) + 12, y(white[1]) + 16, "the screen’s white", "q halo");
  for (const { a, before, after } of patches) {
    const [bx, by] = [x(before[0]), y(before[1])];
    const [mx, my] = [x(after[0]), y(after[1])];
    const [ax, ay] = [x(a[0]), y(a[1])];
    if (Math.hypot(mx - bx, my - by) > 5)
      marks.push({ kind: "path", d: arrow(bx, by, mx, my), look: "leader ink-b" });
    marks.push({ kind: "dot", x: tenth(bx), y: tenth(by), r: 3.4, look: "open stroke-b" });
    marks.push({ kind: "dot", x: tenth(mx), y: tenth(my), r: 2.2, look: "fill-b" });
    const cross = `${straight(ax - 4, ay, ax + 4, ay)}${straight(ax, ay - 4, ax, ay + 4)}`;
    marks.push({ kind: "path", d: cross, look: "cross under" });
    marks.push({ kind: "path", d: cross, look: "cross stroke-a" });
  }
  const far = ({ a, before }: PlacedPatch): number => Math.hypot(a[0] - before[0], a[1] - before[1]);
  const worst = patches.toSorted((p, q) => far(q) - far(p)).slice(0, 3);
  for (const { name, before, a } of worst) {
    const isLeft = x(before[0]) < x(a[0]);
    text(x(before[0]) + (isLeft ? -8 : 8), y(before[1]) + 4, name, "halo", isLeft ? "end" : "start");
  }
  marks.push(...whole(locus, [u0, u1, v0, v1], right, bottom));
  const mean = (list: readonly number[]): number =>
    list.reduce((sum, v) => sum + v, 0) / Math.max(1, list.length);
  const left_ = patches.map(({ a, after }) => Math.hypot(a[0] - after[0], a[1] - after[1]));
  return {
    width,
    height,
    marks,
    says:
      `Colours of the ${patches.length} patches without their lightness, on the CIE 1976 plane of u′ and v′. As recorded camera ${from} lay ` +
      `${words.number(mean(patches.map(far)), 4)} from camera ${to} on average, ${worst[0]?.name ?? "no patch"} furthest; matched, ${words.number(mean(left_), 4)}.`,
  };
}

/** The whole plane, small, in the lower right corner: the edge of all colours and the part that is drawn large. */
function whole(
  locus: ChromaticityPlane["locus"],
  [u0, u1, v0, v1]: readonly [number, number, number, number],
  right: number,
  bottom: number,
): Mark[] {
  const size = 92;
  const x = scale(0, 0.65, right - size, right);
  const y = scale(0.62, 0, bottom - size * (0.62 / 0.65), bottom);
  const outline = `${through(locus.map(({ uv: [u, v] }) => [x(u), y(v)]))}Z`;
  return [
    {
      kind: "box",
      x: right - size,
      y: tenth(bottom - size * (0.62 / 0.65)),
      width: size,
      height: tenth(size * (0.62 / 0.65)),
      look: "paper",
    },
    { kind: "path", d: outline, look: "wash edge" },
    {
      kind: "path",
      d: `M${tenth(x(u0))} ${tenth(y(v0))}H${tenth(x(u1))}V${tenth(y(v1))}H${tenth(x(u0))}Z`,
      look: "dim line",
    },
  ];
}

function arrow(x1: number, y1: number, x2: number, y2: number): string {
  const length = Math.hypot(x2 - x1, y2 - y1);
  const [dx, dy] = [(x2 - x1) / length, (y2 - y1) / length];
  const head = Math.min(5, length / 2);
  const [tx, ty] = [x2 - dx * 2.2, y2 - dy * 2.2];
  const wing = (side: number): string =>
    straight(tx, ty, tx - head * dx + side * head * 0.5 * dy, ty - head * dy - side * head * 0.5 * dx);
  return `${straight(x1 + dx * 3.4, y1 + dy * 3.4, tx, ty)}${wing(1)}${wing(-1)}`;
}
