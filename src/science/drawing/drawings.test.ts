import { describe, expect, it } from "vitest";
import { spectralLocus } from "#science/colour/spectral-locus";
import { chromaticityDrawing, type PlacedPatch } from "./chromaticity-drawing.ts";
import { delayDrawing, type HeardPiece } from "./delay-drawing.ts";
import { type GreyStep, greyDrawing } from "./grey-drawing.ts";
import type { Drawing, FigureWords, Mark } from "./marks.ts";
import { svgOf } from "./svg-of.ts";

const words: FigureWords = {
  number: (value, digits = 0) => value.toFixed(digits),
  moment: (seconds) => `${Math.floor(seconds / 60)}:${String(Math.round(seconds) % 60).padStart(2, "0")}`,
};
const dots = ({ marks }: Drawing, look: string) =>
  marks.filter((m): m is Extract<Mark, { kind: "dot" }> => m.kind === "dot" && m.look === look);
const texts = ({ marks }: Drawing) => marks.flatMap((m) => (m.kind === "text" ? [m.text] : []));
/** Everything lies within the drawing's own size. */
const isInside = ({ marks, width, height }: Drawing) =>
  marks.every(
    (m) => m.kind === "path" || (m.x >= -0.1 && m.x <= width + 0.1 && m.y >= -0.1 && m.y <= height + 0.1),
  );

/** A clock that loses 20 ppm, heard every ten seconds; every tenth window is far off and was left out. */
const heard = (from: number, to: number, stepMs: number): HeardPiece => {
  const at = Array.from({ length: Math.round((to - from) / 10) }, (_, i) => from + 10 * i);
  const residualMs = at.map((_, i) => (i % 10 === 4 ? 9 : i % 2 ? 0.01 : -0.01));
  return {
    at,
    residualMs,
    delayMs: at.map((t, i) => t * 0.02 + stepMs + residualMs[i]!),
    say: at.map((_, i) => (i % 10 === 4 ? 0 : 1)),
  };
};

describe("the drawing of a comparison", () => {
  const pair = { reference: "A.mov", other: "B.mp4", hue: "b" as const };
  const size = { width: 320, height: 236 };

  it("puts used windows on the line's way, and what was left out at the edge", () => {
    const drawing = delayDrawing({ ...pair, pieces: [heard(0, 600, 0)] }, size, words);
    // Time runs down, and later is further right: 60 windows less 6 that were left out, in both panels.
    const used = dots(drawing, "fill-b");
    expect(used).toHaveLength(2 * 54);
    const late = used.filter((_, i) => i % 2 === 0);
    late.slice(1).forEach((dot, i) => {
      expect(dot.y).toBeGreaterThan(late[i]!.y);
      expect(dot.x).toBeGreaterThan(late[i]!.x);
    });
    expect(isInside(drawing)).toBe(true);
    expect(drawing.says).toBe(
      "B.mp4 on A.mov: 54 of the 60 stretches shown lie on the line, on average 0.010 ms off it.",
    );
  });

  it("marks a step with its size", () => {
    const drawing = delayDrawing({ ...pair, pieces: [heard(0, 300, 0), heard(300, 600, 40)] }, size, words);
    // Forty milliseconds and what the clock loses between the two windows beside the step.
    expect(texts(drawing)).toContain("† 40.2 ms lost");
    expect(drawing.says).toContain("one step");
  });

  it("becomes an SVG that names itself and escapes what files are called", () => {
    const text = svgOf(delayDrawing({ ...pair, other: "B<1>&.mp4", pieces: [heard(0, 60, 0)] }, size, words));
    expect(text).toContain("<title>B&lt;1&gt;&amp;.mp4 on A.mov");
    expect(text.match(/<circle/g)!.length).toBeGreaterThan(8);
  });
});

describe("the plane of colours", () => {
  const patch = (name: string, a: [number, number], off: number): PlacedPatch => ({
    name,
    fill: "rgb(90 60 50)",
    a,
    before: [a[0] + off, a[1]],
    after: a,
  });
  const white = [0.1978, 0.4683] as const;

  it("draws equal steps of u' and v' equally long, and names the patches that lay furthest", () => {
    const patches = [
      patch("purple", [0.24, 0.38], 0.03),
      patch("green", [0.14, 0.54], 0.001),
      patch("red", [0.38, 0.5], 0.02),
      patch("blue", [0.17, 0.28], 0.025),
    ];
    const drawing = chromaticityDrawing(
      patches,
      { locus: spectralLocus, white },
      { width: 600, to: "A", from: "B" },
      words,
    );
    const swatches = dots(drawing, "swatch");
    const perU = (swatches[2]!.x - swatches[0]!.x) / (0.38 - 0.24);
    const perV = (swatches[0]!.y - swatches[1]!.y) / (0.54 - 0.38);
    expect(perU / perV).toBeCloseTo(1, 2);
    expect(texts(drawing)).toEqual(expect.arrayContaining(["purple", "blue", "red"]));
    expect(texts(drawing)).not.toContain("green");
    expect(isInside(drawing)).toBe(true);
    expect(drawing.says).toContain(
      "As recorded camera B lay 0.0190 from camera A on average, purple furthest; matched, 0.0000",
    );
  });
});

describe("the greys as curves", () => {
  it("shows a blue cast as a blue line apart, and none once it is matched", () => {
    const steps = [0.95, 0.6, 0.3, 0.1].map(
      (v, i): GreyStep => ({
        name: `grey ${i}`,
        fill: "rgb(0 0 0)",
        aCode: [v, v, v],
        bCode: [v, v, Math.min(1, v * 1.1)],
        a: [v, v, v],
        before: [v, v, v * 1.04],
        after: [v, v, v],
      }),
    );
    const drawing = greyDrawing(steps, { width: 600, to: "A", from: "B" }, words);
    expect(isInside(drawing)).toBe(true);
    // Red and green begin together, blue by itself.
    expect(texts(drawing)).toEqual(expect.arrayContaining(["r g", "b"]));
    // 4 % of 0.95.
    expect(drawing.says).toContain("up to 3.8 %");
    expect(drawing.says).toContain("matched, up to 0.0 %");
  });
});
