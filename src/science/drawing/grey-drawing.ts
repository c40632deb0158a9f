import { type Drawing, type FigureWords, type Mark, straight, tenth, through } from "./marks.ts";
import { digitsOf, niceTicks, scale } from "./nice-ticks.ts";

type Rgb = readonly [number, number, number];

/** One step of the chart's neutral ladder, lightest first. */
export interface GreyStep {
  readonly name: string;
  /** A colour for the screen. */
  readonly fill: string;
  /** Code values as recorded, 0..1; null where that camera's were not read. */
  readonly aCode: Rgb | null;
  readonly bCode: Rgb | null;
  /** Shown on a screen, 0..1: A's, the other camera's as recorded (exposure taken out) and matched. */
  readonly a: Rgb;
  readonly before: Rgb;
  readonly after: Rgb;
}

const channels = ["red", "green", "blue"] as const;

/**
 * The neutral ladder as curves, white at the top: what each camera recorded for each grey, channel by channel, and how far the other
 * camera's greys lie from A's on a screen, as recorded (thin) and matched (thick). Where red, green and blue part, the grey is tinted.
 */
export function greyDrawing(
  steps: readonly GreyStep[],
  { width, to, from }: { readonly width: number; readonly to: string; readonly from: string },
  words: FigureWords,
): Drawing {
  const [left, gap, top, perStep] = [34, 40, 60, 34];
  const height = top + perStep * steps.length + 18;
  const panel = (width - left - gap - 14) / 2;
  const y = (i: number): number => top + perStep * (i + 0.5);
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
  const second = left + panel + gap;
  const x = scale(0, 100, left, left + panel);
  const offs = steps.flatMap(({ a, before, after }) =>
    [0, 1, 2].flatMap((c) => [before[c]! - a[c]!, after[c]! - a[c]!]),
  );
  const most = Math.max(1, ...offs.map((v) => 100 * Math.abs(v))) * 1.1;
  const xOff = scale(-most, most, second, second + panel);
  text(left, 16, "As recorded", "head");
  text(second, 16, `${from} against ${to}`, "head");
  for (const [ticks, at, unit, edge] of [
    [niceTicks(0, 100, Math.max(2, Math.floor(panel / 60))), x, "% of full code", left + panel],
    [
      niceTicks(-most, most, Math.max(2, Math.floor(panel / 60))),
      xOff,
      "% of the screen’s range",
      second + panel,
    ],
  ] as const) {
    const digits = digitsOf(ticks);
    text(edge, 32, unit, "q", "end");
    for (const tick of ticks) {
      text(at(tick), 50, tick === 0 ? "0" : words.number(tick, digits), "q", "middle");
      marks.push({ kind: "path", d: straight(at(tick), top - 5, at(tick), top), look: "axis" });
    }
  }
  for (const start of [left, second])
    marks.push({ kind: "path", d: straight(start, top, start + panel, top), look: "axis" });
  steps.forEach(({ fill }, i) => {
    marks.push({ kind: "box", x: 4, y: tenth(y(i) - 10), width: 20, height: 20, look: "swatch", fill });
    marks.push({ kind: "path", d: straight(left, y(i), left + panel, y(i)), look: "rule" });
    marks.push({ kind: "path", d: straight(second, y(i), second + panel, y(i)), look: "rule" });
  });
  marks.push({ kind: "path", d: straight(xOff(0), top, xOff(0), height - 14), look: "zero" });
  const foot = height - 4;
  for (const [camera, hue] of [
    ["aCode", "a"],
    ["bCode", "b"],
  ] as const)
    for (const c of [0, 1, 2]) {
      const points = steps.flatMap((step, i) => {
        const code = step[camera];
        return code ? [[x(100 * code[c]!), y(i)] as const] : [];
      });
      if (points.length < 2) continue;
      marks.push({ kind: "path", d: through(points), look: `data thin stroke-${hue}` });
      for (const [px, py] of points)
        marks.push({ kind: "dot", x: tenth(px), y: tenth(py), r: 1.7, look: `fill-${hue}` });
    }
  const ends: { x: number; letter: string }[] = [];
  for (const c of [0, 1, 2]) {
    const line = (shown: "before" | "after") =>
      steps.map((step, i) => [xOff(100 * (step[shown][c]! - step.a[c]!)), y(i)] as const);
    marks.push({ kind: "path", d: through(line("before")), look: "dots" });
    for (const [px, py] of line("before"))
      marks.push({ kind: "dot", x: tenth(px), y: tenth(py), r: 2.6, look: "open stroke-b" });
    marks.push({ kind: "path", d: through(line("after")), look: "data stroke-b" });
    for (const [px, py] of line("after"))
      marks.push({ kind: "dot", x: tenth(px), y: tenth(py), r: 2.2, look: "fill-b" });
    ends.push({ x: line("before")[0]![0], letter: channels[c]!.charAt(0) });
  }
  // The letter of each channel stands over its thin line's beginning; those that coincide share one.
  ends.sort((p, q) => p.x - q.x);
  const labels: { x: number; letters: string }[] = [];
  for (const end of ends) {
    const last = labels.at(-1);
    if (last && end.x - last.x < 10) last.letters += ` ${end.letter}`;
    else labels.push({ x: end.x, letters: end.letter });
  }
  for (const label of labels) text(label.x, y(0) - 8, label.letters, "halo strong", "middle");
  const firsts = (camera: "aCode" | "bCode") => steps[0]?.[camera];
  for (const [camera, name, hue] of [
    ["aCode", to, "a"],
    ["bCode", from, "b"],
  ] as const) {
    const code = firsts(camera);
    if (code)
      text(x(100 * Math.max(...code)) + 5, y(0) + (hue === "a" ? -6 : 14), name, `halo strong ${hue}`);
  }
  text(left, foot, "white above, black below", "q");
  const worst = (shown: "before" | "after"): number =>
    Math.max(...steps.flatMap((s) => [0, 1, 2].map((c) => 100 * Math.abs(s[shown][c]! - s.a[c]!))));
  return {
    width,
    height,
    marks,
    says:
      `The ${steps.length} greys of the chart, white at the top. As recorded camera ${from}'s lay up to ${words.number(worst("before"), 1)} % of the ` +
      `screen's range from camera ${to}'s in one channel; matched, up to ${words.number(worst("after"), 1)} %.`,
  };
}
