import { describe, expect, it } from "vitest";
import { publishedJson } from "../../../test/helpers/published-colour.ts";
import { curveOfTransferTag, isDisplayTransfer } from "./h273-transfer.ts";
import {
  acescctToLinear,
  bt709ToLinear,
  bt1886ToLuminance,
  hlgToLinear,
  linearToAcescct,
  linearToBt709,
  linearToHlg,
  linearToSrgb,
  luminanceToPq,
  pqToLuminance,
  srgbToLinear,
} from "./transfer-functions.ts";

type Table = Record<string, { in: number[]; out: number[]; in_cd_m2: number[]; std: string }>;
const table = publishedJson<Table>("transfer_functions.json");

// Values of colour-science/colour 0.4.6, which evaluates the standard named in each row in float64.
describe("transfer functions, against their standards", () => {
  it.each([
    ["bt709_oetf", linearToBt709],
    ["bt1886_eotf_Lb0_Lw1", (v: number) => bt1886ToLuminance(v)],
    ["bt1886_eotf_Lb0.1_Lw100", (v: number) => bt1886ToLuminance(v, 0.1, 100)],
    ["srgb_inverse_eotf", linearToSrgb],
    ["hlg_oetf", linearToHlg],
    ["acescct_encode", linearToAcescct],
    ["acescct_decode", acescctToLinear],
  ] as const)("%s", (name, ours) => {
    const { in: inputs, out } = table[name]!;
    expect(inputs.length).toBeGreaterThan(7);
    inputs.forEach((x, i) => {
      // Relative where values are large; HLG's constants are printed with eight decimals.
      expect(Math.abs(ours(x) - out[i]!)).toBeLessThan(1e-7 * Math.max(1, Math.abs(out[i]!)));
    });
  });

  it("PQ, by candela per square metre", () => {
    const { in_cd_m2: inputs, out } = table.pq_inverse_eotf!;
    inputs.forEach((x, i) => {
      expect(luminanceToPq(x)).toBeCloseTo(out[i]!, 10);
    });
  });

  it.each([
    ["BT.709", linearToBt709, bt709ToLinear],
    ["sRGB", linearToSrgb, srgbToLinear],
    ["HLG", linearToHlg, hlgToLinear],
    ["ACEScct", linearToAcescct, acescctToLinear],
  ] as const)("%s comes back to the same light", (_name, there, back) => {
    for (const x of [-0.02, 0, 0.001, 0.01, 0.02, 0.18, 0.5, 0.9, 1]) {
      // BT.709's rounded constants leave a gap of 2e-4 at its break.
      expect(Math.abs(back(there(x)) - x)).toBeLessThan(1e-4);
    }
  });

  it("PQ comes back to the same luminance", () => {
    for (const x of [0, 0.1, 1, 100, 1000, 10_000]) expect(pqToLuminance(luminanceToPq(x))).toBeCloseTo(x, 6);
  });
});

describe("curveOfTransferTag, against Rec. ITU-T H.273 (07/2021), Table 3", () => {
  it.each([
    [1, "BT.709"],
    [6, "BT.601"],
    [8, "linear"],
    [13, "sRGB"],
    [14, "BT.2020"],
    [16, "PQ"],
    [18, "HLG"],
  ])("code point %i is %s", (code, name) => {
    const curve = curveOfTransferTag(code)!;
    expect(curve.name).toBe(name);
    for (const x of [0.01, 0.18, 0.6]) expect(curve.toLight(curve.toCode(x))).toBeCloseTo(x, 6);
  });
  it("does not know 2, unspecified, nor reserved values", () => {
    for (const code of [0, 2, 3, 19, 255]) expect(curveOfTransferTag(code)).toBeNull();
  });
  it("tells display-like tags from those that need a view", () => {
    expect([1, 6, 13, 14, 15].every(isDisplayTransfer)).toBe(true);
    expect([2, 8, 16, 18].some(isDisplayTransfer)).toBe(false);
  });
});
