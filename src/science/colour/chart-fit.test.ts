import { describe, expect, it } from "vitest";
import { publishedJson } from "../../../test/helpers/published-colour.ts";
import { fitColourMix, leastSquaresMix } from "./colour-mix.ts";
import { leastSquares } from "./linear-solve.ts";
import type { Triple } from "./matrix3.ts";
import { rootPolynomialTerms } from "./root-polynomial.ts";

interface Case {
  test: Triple[];
  reference: Triple[];
  matrix_3x3: number[][];
  matrix_root_deg2: number[][];
  matrix_root_deg3: number[][];
  expansion_input: Triple;
  expansion_root_deg2: number[];
  expansion_root_deg3: number[];
}
// colour-science/colour 0.4.6, tests of characterisation/correction.py.
const published = publishedJson<Case>("ccm_finlayson_case.json");

describe("rootPolynomialTerms, against Finlayson, Mackiewicz & Hurlbert 2015", () => {
  it.each([2, 3] as const)("gives the published terms of degree %i", (degree) => {
    const terms = rootPolynomialTerms(published.expansion_input, degree);
    const printed = published[`expansion_root_deg${degree}`];
    expect(terms).toHaveLength(printed.length);
    terms.forEach((value, i) => {
      expect(value).toBeCloseTo(printed[i]!, 7);
    });
  });
  it("doubles with the light", () => {
    const one = rootPolynomialTerms([0.1, 0.2, 0.3], 3);
    rootPolynomialTerms([0.2, 0.4, 0.6], 3).forEach((value, i) => {
      expect(value).toBeCloseTo(2 * one[i]!, 12);
    });
  });
});

describe("leastSquares, against the published 24-patch case", () => {
  it.each([
    [1, published.matrix_3x3],
    [2, published.matrix_root_deg2],
    [3, published.matrix_root_deg3],
  ] as const)("gives the published matrix of degree %i", (degree, matrix) => {
    const terms = published.test.map((rgb) => rootPolynomialTerms(rgb, degree));
    matrix.forEach((row, c) => {
      const solved = leastSquares(
        terms,
        published.reference.map((rgb) => rgb[c]!),
      )!;
      // Degree 3's normal equations are poorly conditioned: fewer digits survive.
      row.forEach((value, k) => {
        expect(Math.abs(solved[k]! - value)).toBeLessThan(degree === 3 ? 1e-3 : 1e-6);
      });
    });
  });
  it("answers null where the rows do not determine the answer", () => {
    expect(
      leastSquares(
        [
          [1, 1],
          [2, 2],
        ],
        [1, 2],
      ),
    ).toBeNull();
  });
});

describe("fitColourMix", () => {
  const truth = (light: Triple): Triple => [
    0.8 * light[0] + 0.15 * light[1] + 0.05 * light[2],
    0.1 * light[0] + 1.0 * light[1] - 0.1 * light[2],
    0.02 * light[0] - 0.1 * light[1] + 1.3 * light[2],
  ];
  const task = {
    from: published.test,
    to: published.test.map(truth),
    whiteFrom: [0.9, 0.9, 0.9] as Triple,
    whiteTo: truth([0.9, 0.9, 0.9]),
    toLab: (light: Triple): Triple => [
      116 * Math.cbrt(Math.max(light[1], 1e-4)) - 16,
      500 * (Math.cbrt(Math.max(light[0], 1e-4)) - Math.cbrt(Math.max(light[1], 1e-4))),
      200 * (Math.cbrt(Math.max(light[1], 1e-4)) - Math.cbrt(Math.max(light[2], 1e-4))),
    ],
  };
  it.each(["matrix", "rootPolynomial"] as const)("finds a 3×3 that is there, as %s", (level) => {
    for (const solve of [leastSquaresMix, fitColourMix]) {
      const mix = solve(task, level);
      for (const light of published.test) {
        mix.apply(light).forEach((value, c) => {
          expect(Math.abs(value - truth(light)[c]!)).toBeLessThan(2e-3);
        });
      }
    }
  });
  it.each(["gains", "matrix", "rootPolynomial"] as const)(
    "takes every grey exactly to a grey, as %s",
    (level) => {
      const mix = fitColourMix({ ...task, to: published.reference }, level);
      for (const k of [0.05, 0.5, 2]) {
        const out = mix.apply([0.9 * k, 0.9 * k, 0.9 * k]);
        out.forEach((value, c) => {
          expect(value).toBeCloseTo(task.whiteTo[c]! * k, 9);
        });
      }
    },
  );
});
