import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { applyCdl, type Cdl, invertCdl } from "./cdl.ts";
import { fitCdl } from "./fit-cdl.ts";
import type { Triple } from "./matrix3.ts";

const { cases } = JSON.parse(
  readFileSync(new URL("../../../test/published/cdl/cdl_vectors.json", import.meta.url), "utf8"),
) as {
  cases: {
    slope: Triple;
    offset: Triple;
    power: Triple;
    sat: number;
    style: string;
    in: Triple[];
    out: Triple[];
  }[];
};

describe("applyCdl, against the vectors of an independent ASC CDL v1.2 implementation", () => {
  it.each(cases.map((one, i) => [i, one.style, one] as const))("gives case %i, %s", (_, style, one) => {
    const cdl: Cdl = { ...one, saturation: one.sat };
    const clamp = !style.includes("NoClamp");
    one.in.forEach((colour, i) => {
      applyCdl(cdl, colour, clamp).forEach((value, c) => {
        // Six decimals printed; the source itself allows 3e-5.
        expect(Math.abs(value - one.out[i]![c]!)).toBeLessThan(3e-6);
      });
    });
  });
  it("comes back through its inverse where nothing was clamped", () => {
    const cdl: Cdl = {
      slope: [1.1, 0.9, 1],
      offset: [-0.02, 0.03, 0],
      power: [1.2, 1, 0.8],
      saturation: 0.9,
    };
    const there = applyCdl(cdl, [0.3, 0.5, 0.4]);
    invertCdl(cdl, there).forEach((value, c) => {
      expect(value).toBeCloseTo([0.3, 0.5, 0.4][c]!, 9);
    });
  });
});

describe("fitCdl", () => {
  it("finds a CDL that is there", () => {
    const truth: Cdl = {
      slope: [1.1, 0.95, 1.05],
      offset: [0.02, -0.01, 0.01],
      power: [1.1, 0.95, 1],
      saturation: 1.1,
    };
    const codes: Triple[] = Array.from({ length: 24 }, (_, i) => [
      0.2 + (0.5 * ((i * 7) % 24)) / 24,
      0.2 + (0.5 * ((i * 11) % 24)) / 24,
      0.2 + (0.5 * ((i * 5) % 24)) / 24,
    ]);
    const toLab = ([r, g, b]: Triple): Triple => [100 * g, 100 * (r - g), 100 * (g - b)];
    const found = fitCdl(
      codes,
      codes.map((code) => toLab(applyCdl(truth, code))),
      toLab,
    );
    for (const code of codes) {
      applyCdl(found, code).forEach((value, c) => {
        expect(Math.abs(value - applyCdl(truth, code)[c]!)).toBeLessThan(0.004);
      });
    }
  });
});
