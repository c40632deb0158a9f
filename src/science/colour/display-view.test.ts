import { describe, expect, it } from "vitest";
import { chart24White, chart24Xyz } from "./chart24.ts";
import { d50ToDisplayBt709, d50ToSrgb } from "./display-view.ts";
import type { Triple } from "./matrix3.ts";

const grey = (Y: number): Triple => [chart24White[0] * Y, chart24White[1] * Y, chart24White[2] * Y];

describe("d50ToDisplayBt709", () => {
  // Rec. ITU-R BT.709-6, item 1.2: 0.18 is 0.409.
  it("shows mid grey where BT.709 puts it, without a tint", () => {
    for (const value of d50ToDisplayBt709(grey(0.18))) expect(value).toBeCloseTo(0.409, 3);
  });

  it("rises from black to six times white without a step and ends at white", () => {
    let before = d50ToDisplayBt709(grey(0))[1];
    expect(before).toBe(0);
    for (let Y = 0.01; Y <= 6; Y += 0.01) {
      const now = d50ToDisplayBt709(grey(Y))[1];
      expect(now).toBeGreaterThan(before);
      expect(now - before).toBeLessThan(0.05);
      before = now;
    }
    expect(before).toBeGreaterThan(0.995);
    expect(d50ToDisplayBt709(grey(50))[1]).toBe(1);
  });

  it("keeps every colour within the screen and pales a bright orange instead of turning it yellow", () => {
    const orange = chart24Xyz[6]!;
    for (const k of [0.1, 1, 3, 10]) {
      const [r, g, b] = d50ToDisplayBt709([orange[0] * k, orange[1] * k, orange[2] * k]);
      for (const value of [r, g, b]) {
        expect(value).toBeGreaterThanOrEqual(0);
        expect(value).toBeLessThanOrEqual(1);
      }
      expect(r).toBeGreaterThan(g);
      expect(g).toBeGreaterThan(b);
    }
  });
});

describe("d50ToSrgb, against the chart's 8-bit values as colour-science/colour 0.4.6 has them", () => {
  it.each([
    [0, [116, 79, 65]],
    [7, [69, 90, 167]],
    [17, [0, 133, 165]],
    [18, [241, 242, 235]],
    [23, [50, 50, 50]],
  ])("patch %i is %j", (index, printed) => {
    expect(d50ToSrgb(chart24Xyz[index]!).map((v) => Math.round(255 * v))).toEqual(printed);
  });
});
