import { describe, expect, it } from "vitest";
import { evolution, type SearchProblem } from "./evolution.ts";

/** A box about 0. */
function box(n: number, half: number, cost: SearchProblem["cost"]): SearchProblem {
  return { low: new Float64Array(n).fill(-half), high: new Float64Array(n).fill(half), cost };
}

// Definitions and minima as collected in X. Yao, Y. Liu and G. Lin, Evolutionary programming made faster, IEEE
// Transactions on Evolutionary Computation 3 (1999), Table I: f5, f9, f10; each minimum is 0.

/** f5 [H. H. Rosenbrock, 1960]: minimum 0 at (1, ..., 1). */
function rosenbrock(x: Float64Array): number {
  let sum = 0;
  for (let i = 0; i + 1 < x.length; i++) sum += 100 * (x[i + 1]! - x[i]! ** 2) ** 2 + (x[i]! - 1) ** 2;
  return sum;
}

/** f9 [L. A. Rastrigin, 1974]: minimum 0 at 0, with about 10^n others. */
function rastrigin(x: Float64Array): number {
  let sum = 0;
  for (const v of x) sum += v * v - 10 * Math.cos(2 * Math.PI * v) + 10;
  return sum;
}

/** f10 [D. H. Ackley, 1987]: minimum 0 at 0. */
function ackley(x: Float64Array): number {
  let [square, cosine] = [0, 0];
  for (const v of x) {
    square += v * v;
    cosine += Math.cos(2 * Math.PI * v);
  }
  const n = x.length;
  return -20 * Math.exp(-0.2 * Math.sqrt(square / n)) - Math.exp(cosine / n) + 20 + Math.E;
}

describe("evolution, on published test functions in ten dimensions", () => {
  it.each([1, 2, 3, 4, 5])("finds Rosenbrock's minimum at (1, ..., 1), seed %i", (seed) => {
    const search = evolution(box(10, 30, rosenbrock), { seed, population: 100 });
    search.run(60_000, 4);
    expect(search.bestCost()).toBeLessThan(1e-6);
    for (const x of search.best) expect(x).toBeCloseTo(1, 3);
  });
  it.each([1, 2, 3, 4, 5])("finds Rastrigin's minimum among its many others, seed %i", (seed) => {
    const search = evolution(box(10, 5.12, rastrigin), { seed, population: 100 });
    search.run(60_000, 4);
    expect(search.bestCost()).toBeLessThan(1e-6);
    for (const x of search.best) expect(x).toBeCloseTo(0, 4);
  });
  it.each([1, 2, 3, 4, 5])("finds Ackley's minimum, seed %i", (seed) => {
    const search = evolution(box(10, 32, ackley), { seed, population: 100 });
    search.run(40_000, 4);
    expect(search.bestCost()).toBeLessThan(1e-6);
  });
});

describe("evolution", () => {
  // Worked by hand: the least x + y with x·y >= 4 and both above 0 is 4, at (2, 2).
  it("keeps a constraint whose breach costs more than anything else", () => {
    const search = evolution(
      {
        low: Float64Array.of(0, 0),
        high: Float64Array.of(10, 10),
        cost: ([x, y]) => (x! * y! < 4 ? 100 + 4 - x! * y! : x! + y!),
      },
      { seed: 1, population: 30 },
    );
    search.run(6000, 4);
    expect(search.bestCost()).toBeCloseTo(4, 4);
    expect(search.best[0]! * search.best[1]!).toBeGreaterThanOrEqual(4);
  });
  it("never leaves its bounds and never loses its best", () => {
    let least = Number.POSITIVE_INFINITY;
    const problem = box(4, 2, (x) => {
      for (const v of x) expect(Math.abs(v)).toBeLessThanOrEqual(2);
      // Falls outwards: the minimum is in a corner.
      const cost = -x.reduce((a, b) => a + b, 0);
      least = Math.min(least, cost);
      return cost;
    });
    const search = evolution(problem, { seed: 5, population: 20 });
    for (let run = 0; run < 10; run++) {
      search.run(200, 8);
      expect(search.bestCost()).toBe(least);
    }
    expect(search.bestCost()).toBeLessThan(-7.9);
    expect(search.size()).toBe(8);
    for (let rank = 1; rank < 8; rank++)
      expect(search.memberCost(rank)).toBeGreaterThanOrEqual(search.memberCost(rank - 1));
    expect(problem.cost(Float64Array.from(search.member(0)), 0)).toBe(search.memberCost(0));
  });
  it("does not care what is answered for a place that is dearer than the one it would replace", () => {
    const run = (dearer: number): number[] => {
      const search = evolution(
        box(6, 5.12, (x, atMost) => {
          const cost = rastrigin(x);
          return cost > atMost ? cost + dearer : cost;
        }),
        { seed: 2, population: 30 },
      );
      search.run(3000, 6);
      return [...search.best, search.bestCost()];
    };
    expect(run(0)).toEqual(run(1000));
  });
  it("gives the same answer for the same seed, and begins at the places given", () => {
    const run = (seed: number): number[] => {
      const search = evolution(box(6, 5.12, rastrigin), { seed, population: 30 });
      search.run(3000, 6);
      return [...search.best, search.tried()];
    };
    expect(run(9)).toEqual(run(9));
    expect(run(9)).not.toEqual(run(10));
    const begun = evolution(box(6, 5.12, rastrigin), {
      seed: 1,
      population: 10,
      starts: [new Float64Array(6)],
    });
    expect(begun.bestCost()).toBe(0);
  });
});
