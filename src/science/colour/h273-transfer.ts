import type { Curve } from "./curve.ts";
import {
  bt709ToLinear,
  hlgToLinear,
  linearToBt709,
  linearToHlg,
  linearToSrgb,
  luminanceToPq,
  pqToLuminance,
  srgbToLinear,
} from "./transfer-functions.ts";

/** BT.2408: diffuse white of PQ programmes, cd/m². PQ's light is scaled so that 1 is this white. */
const pqDiffuseWhite = 203;

/** A plain power: light = code ^ exponent. */
export const gammaCurve = (name: string, exponent: number): Curve => ({
  name,
  known: "tag",
  toLight: (code) => Math.sign(code) * Math.abs(code) ** exponent,
  toCode: (light) => Math.sign(light) * Math.abs(light) ** (1 / exponent),
});
const bt709Like = (name: string): Curve => ({
  name,
  known: "tag",
  toLight: bt709ToLinear,
  toCode: linearToBt709,
});

// Rec. ITU-T H.273 (07/2021), Table 3.
const byCodePoint: Readonly<Record<number, Curve>> = {
  1: bt709Like("BT.709"),
  4: gammaCurve("gamma 2.2", 2.2),
  5: gammaCurve("gamma 2.8", 2.8),
  6: bt709Like("BT.601"),
  8: { name: "linear", known: "tag", toLight: (code) => code, toCode: (light) => light },
  11: bt709Like("xvYCC"),
  13: { name: "sRGB", known: "tag", toLight: srgbToLinear, toCode: linearToSrgb },
  14: bt709Like("BT.2020"),
  15: bt709Like("BT.2020"),
  16: {
    name: "PQ",
    known: "tag",
    toLight: (code) => pqToLuminance(code) / pqDiffuseWhite,
    toCode: (light) => luminanceToPq(light * pqDiffuseWhite),
  },
  18: { name: "HLG", known: "tag", toLight: hlgToLinear, toCode: linearToHlg },
};

/**
 * The curve that a stream's transfer tag names, or null where the tag says nothing that we can use (2, "unspecified",
 * reserved values, and rare ones).
 *
 * @param transferCharacteristics - ITU-T H.273 code point.
 */
export function curveOfTransferTag(transferCharacteristics: number): Curve | null {
  return byCodePoint[transferCharacteristics] ?? null;
}

/** Whether pictures with this tag are meant to be shown on a BT.709 screen as they are. */
export function isDisplayTransfer(transferCharacteristics: number): boolean {
  return [1, 6, 11, 13, 14, 15].includes(transferCharacteristics);
}
