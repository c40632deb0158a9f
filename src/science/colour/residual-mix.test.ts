import { describe, expect, it } from "vitest";
import { sensorChart } from "../../../test/helpers/published-colour.ts";
import { matchCameras } from "./camera-match.ts";
import type { Triple } from "./matrix3.ts";
import { linearToBt709 } from "./transfer-functions.ts";

/** A look that a camera bakes in: reds turned and deepened, other colours nearly as they were; greys untouched. */
function look(light: Triple): Triple {
  const [r, g, b] = light.map(Math.cbrt) as unknown as Triple;
  const middle = (r + g + b) / 3;
  const [x, y] = [r - middle, g - b];
  const angle = Math.atan2(y, 1.5 * x);
  const near = Math.exp(-((angle / 0.9) ** 2));
  const strength = Math.min(1, Math.hypot(x, y) / 0.15);
  const turn = 0.09 * near * strength;
  return [middle + (r - middle) * (1 + 0.12 * near), g + turn * 0.5, b - turn * 0.5].map(
    (v) => Math.max(v, 0) ** 3,
  ) as unknown as Triple;
}

const coded = (lights: readonly Triple[], k: number): Triple[] =>
  lights.map(
    (light, i) =>
      light.map((v, c) => linearToBt709(v) + 0.0004 * Math.sin(7 * i + 3 * c + k)) as unknown as Triple,
  );
const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;

describe("a residual in three dimensions, the ladder's last rung", () => {
  const one = sensorChart(1, "D65");
  const a = { codes: coded(one, 0), transfer: 1 };

  it("is taken where a camera bakes a look in, and leaves less on patches that it never saw", () => {
    const match = matchCameras(a, { codes: coded(one.map(look), 1), transfer: 1 });
    expect(match.mix.level).toBe("residual");
    const plain = match.tried.filter(({ level }) => level !== "residual").map(({ leftOut }) => leftOut);
    const own = match.tried.find(({ level }) => level === "residual")!.leftOut;
    expect(own).toBeLessThan(Math.min(...plain) - 0.3);
    expect(mean(match.after)).toBeLessThan(own);
  });

  it("is not taken between two sensors, whose difference a mix explains", () => {
    const match = matchCameras(a, { codes: coded(sensorChart(2, "D65", [0.7, 0.75, 0.9]), 2), transfer: 1 });
    expect(match.mix.level).not.toBe("residual");
  });

  it("keeps greys grey, moves no colour far and bends smoothly, on the chart and beyond", () => {
    const { mix, whiteA, transform } = matchCameras(a, { codes: coded(one.map(look), 1), transfer: 1 });
    for (const k of [0.02, 0.2, 0.9, 1.5]) {
      const grey = mix.apply(look([k, k, k]));
      expect(Math.max(...grey) / Math.min(...grey)).toBeLessThan(1.03);
    }
    expect(whiteA[1]).toBeGreaterThan(0.5);
    // Along every edge and diagonal of the cube equal steps in give like steps out: no fold, no jump.
    const ends: Triple[] = [
      [1, 0.1, 0.1],
      [0.1, 1, 0.1],
      [0.1, 0.1, 1],
      [1, 1, 0.1],
      [1, 0.1, 1],
      [0.1, 1, 1],
    ];
    for (const end of ends) {
      let before = transform([0.3, 0.3, 0.3]);
      for (let t = 1; t <= 40; t++) {
        const here = transform(end.map((v) => 0.3 + ((v - 0.3) * t) / 40) as unknown as Triple);
        expect(Math.hypot(...here.map((v, c) => v - before[c]!))).toBeLessThan(0.09);
        before = here;
      }
    }
  });
});
