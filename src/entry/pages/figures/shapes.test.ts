import { describe, expect, it } from "vitest";
import { envelopePath } from "#science/drawing/envelope-path";
import { spreadLabels } from "./spread-labels.ts";
import { wavePath } from "./wave-path.ts";

const points = (path: string) =>
  [...path.matchAll(/(-?[\d.]+) (-?[\d.]+)/g)].map((m) => ({ x: Number(m[1]), y: Number(m[2]) }));

describe("an envelope's outline", () => {
  const envelope = {
    from: 0,
    perSecond: 100,
    peaks: Array.from({ length: 1000 }, (_, i) => (i === 537 ? 1 : 0.01)),
  };

  it("keeps a single peak however long the sound: it reaches the full width", () => {
    const path = envelopePath(envelope, { start: 0, end: 10 }, (t) => t * 5, 100, 40);
    expect(Math.max(...points(path).map((p) => p.x))).toBe(140);
    expect(Math.min(...points(path).map((p) => p.x))).toBe(60);
  });

  it("draws only the stretch asked for", () => {
    const ys = points(envelopePath(envelope, { start: 2, end: 4 }, (t) => t * 10, 0, 10)).map((p) => p.y);
    expect(Math.min(...ys)).toBeGreaterThanOrEqual(20);
    expect(Math.max(...ys)).toBeLessThanOrEqual(40);
  });

  it("is nothing where there is no sound", () => {
    expect(envelopePath({ from: 0, perSecond: 10, peaks: [] }, { start: 0, end: 3 }, (t) => t, 0, 1)).toBe(
      "",
    );
  });
});

describe("an upright waveform", () => {
  it("keeps a click of one sample among thousands, on its own side", () => {
    const samples = Array.from({ length: 9600 }, (_, i) => (i === 4800 ? 1 : 0));
    const all = points(wavePath(samples, 1, 0, 200, 50, 30));
    const click = all.find((p) => p.x === 80);
    expect(click?.y).toBeCloseTo(100.5, 1);
    expect(Math.min(...all.map((p) => p.x))).toBe(49.6);
  });
});

describe("labels beside a figure", () => {
  it("move down until none lies on another, in order", () => {
    const wishes = [0, 2, 40].map((y) => ({ y, height: 10 }));
    expect(spreadLabels(wishes, 100)).toEqual([0, 14, 40]);
  });

  it("move up again from the end where they would leave the figure", () => {
    expect(
      spreadLabels(
        [90, 95].map((y) => ({ y, height: 10 })),
        100,
      ),
    ).toEqual([76, 90]);
  });
});
