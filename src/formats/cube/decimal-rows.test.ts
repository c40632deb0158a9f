import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { decimalRows } from "./decimal-rows.ts";

describe("decimalRows", () => {
  it("writes six decimals, as the Cube LUT Specification 1.0 does in its examples", () => {
    expect(decimalRows(2, (row) => row * 3, [0, 1, 0.5, -0.25, 12.345678, 1e-7])).toBe(
      "0.000000 1.000000 0.500000\n-0.250000 12.345678 0.000000\n",
    );
  });
  test.prop([
    fc.array(fc.double({ min: -70_000, max: 70_000, noNaN: true }), { minLength: 3, maxLength: 3 }),
  ])("reads back to half a millionth, however large", (values) => {
    const read = decimalRows(1, () => 0, values)
      .trim()
      .split(" ")
      .map(Number);
    read.forEach((value, c) => {
      expect(Math.abs(value - values[c]!)).toBeLessThanOrEqual(0.5e-6 + 1e-9);
    });
  });
});
