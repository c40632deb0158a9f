import { ExplainedError } from "#errors/explained-error";
import type { Curve } from "./curve.ts";
import { curveOfTransferTag, gammaCurve } from "./h273-transfer.ts";
import type { Triple } from "./matrix3.ts";
import { linearToNamedLog, type NamedLog, namedLogToLinear } from "./named-log.ts";
import { acescctToLinear, linearToAcescct } from "./transfer-functions.ts";

/** A curve as a person gives it: by name, by log parameters, or as light at evenly spaced code values from 0 to 1. */
export type GivenCurve =
  | { readonly name: string }
  | { readonly [parameter in keyof NamedLog]: NamedLog[parameter] | undefined }
  | { readonly from: string; readonly light: readonly number[] };

// Rec. ITU-T H.273 (07/2021), Table 3: the names that its rows give, and the document numbers they name.
const codePointByName: Readonly<Record<string, number>> = {
  bt709: 1,
  rec709: 1,
  bt470m: 4,
  bt470bg: 5,
  bt601: 6,
  smpte170m: 6,
  linear: 8,
  iec6196624: 11,
  xvycc: 11,
  srgb: 13,
  iec6196621: 13,
  bt2020: 14,
  pq: 16,
  bt2100pq: 16,
  st2084: 16,
  smptest2084: 16,
  hlg: 18,
  bt2100hlg: 18,
  aribstdb67: 18,
};

/** The names that {@link givenCurve} knows, for people. */
export const curveNames: readonly string[] = [
  "BT.709",
  "BT.601",
  "BT.2020",
  "sRGB",
  "HLG",
  "PQ",
  "linear",
  "ACEScct",
  "gamma 2.4 (any number)",
];

/**
 * The curve that a person gave.
 *
 * @throws ExplainedError `CURVE_UNKNOWN`: no published curve has that name.
 * @throws ExplainedError `LUT_INVALID`: the table does not rise.
 */
export function givenCurve(given: GivenCurve): Curve {
  if ("light" in given && "from" in given) return tableCurve(given.from, given.light);
  if ("name" in given) return { ...namedCurve(given.name), known: "given" };
  const log = Object.fromEntries(
    Object.entries(given).filter(([, v]) => v !== undefined),
  ) as unknown as NamedLog;
  return {
    name: "the log curve of the parameters",
    known: "given",
    toLight: (code) => namedLogToLinear(log, code),
    toCode: (light) => linearToNamedLog(log, light),
  };
}

function namedCurve(name: string): Curve {
  const plain = name.toLowerCase().replace(/[^a-z0-9]/g, "");
  const gamma = /^\s*gamma\s*([0-9.]+)\s*$/i.exec(name);
  if (gamma && Number(gamma[1]) > 0.5 && Number(gamma[1]) < 5)
    return gammaCurve(`gamma ${gamma[1]}`, Number(gamma[1]));
  if (plain === "acescct")
    return { name: "ACEScct", known: "given", toLight: acescctToLinear, toCode: linearToAcescct };
  const curve = curveOfTransferTag(codePointByName[plain] ?? (/^\d+$/.test(plain) ? Number(plain) : -1));
  if (curve) return curve;
  throw new ExplainedError(
    "CURVE_UNKNOWN",
    {
      happened: `No published curve is called "${name}".`,
      means: "Nothing was matched by it.",
      doNext: `Name one of ${curveNames.join(", ")}, or give the curve's parameters or a table of it.`,
    },
    { name },
  );
}

/** Points that a table of another spacing is read at. */
const tablePoints = 1025;
/** How far a channel may differ from the others, as a part of the table's span: more is a mixing of colours. */
const mostMixed = 0.01;

/**
 * Light at evenly spaced code values, from a table that a person gave as a camera's curve: code values to linear
 * light, or the other way about, whichever its bend says (light rises ever faster with code values).
 *
 * @param name - The file's, for messages.
 * @param through - A colour through the table.
 * @param most - The highest input that the table takes, 1 for most.
 * @throws ExplainedError `LUT_INVALID`: it mixes the channels, or does not rise.
 */
export function lightOfTable(name: string, through: (colour: Triple) => Triple, most = 1): number[] {
  const at = (x: number): number => through([x, x, x])[1];
  const low = at(0);
  const span = at(most) - low;
  if (!(span > 0)) throw notACurve(name, "it does not rise");
  const mixes = [0.2, 0.5, 0.8].some((x) => {
    const own = at(x * most);
    return [
      through([x * most, x * most, x * most]),
      [through([x * most, 0, 0])[0], through([0, x * most, 0])[1], through([0, 0, x * most])[2]],
    ].some((seen) => seen.some((v) => Math.abs(v! - own) > mostMixed * span));
  });
  if (mixes) throw notACurve(name, "it mixes the channels or tints greys");
  const isToLight = at(0.5 * most) - low < 0.5 * span;
  const steps = Array.from({ length: tablePoints }, (_, i) => i / (tablePoints - 1));
  if (isToLight) return steps.map((code) => at(code * most));
  // Light to code values: the way back, by halving.
  return steps.map((code) => {
    let [below, above] = [0, most];
    for (let i = 0; i < 50; i++) {
      const middle = (below + above) / 2;
      if (at(middle) < code) below = middle;
      else above = middle;
    }
    return (below + above) / 2;
  });
}

function tableCurve(name: string, light: readonly number[]): Curve {
  const n = light.length - 1;
  if (!light.every((v, i) => i === 0 || v >= light[i - 1]!) || !(light[n]! > light[0]!))
    throw notACurve(name, "it does not rise");
  // Outside the table the curve goes on as steep as at its end.
  const first = Math.max(light.findIndex((v) => v > light[0]!) - 1, 0);
  let last = n;
  while (last > 0 && light[last - 1]! >= light[n]!) last--;
  const slopeAt = (i: number): number => Math.max((light[i + 1]! - light[i]!) * n, 1e-9);
  return {
    name,
    known: "given",
    toLight: (code) => {
      const at = code * n;
      if (at <= first) return light[first]! + ((at - first) / n) * slopeAt(first);
      if (at >= last) return light[last]! + ((at - last) / n) * slopeAt(last - 1);
      const i = Math.floor(at);
      return light[i]! + (at - i) * (light[i + 1]! - light[i]!);
    },
    toCode: (value) => {
      if (value <= light[first]!) return first / n + (value - light[first]!) / slopeAt(first);
      if (value >= light[last]!) return last / n + (value - light[last]!) / slopeAt(last - 1);
      let [low, high] = [first, last];
      while (high - low > 1) {
        const middle = (low + high) >> 1;
        if (light[middle]! <= value) low = middle;
        else high = middle;
      }
      const rise = light[high]! - light[low]!;
      return (low + (rise > 0 ? (value - light[low]!) / rise : 0)) / n;
    },
  };
}

function notACurve(name: string, why: string): ExplainedError {
  return new ExplainedError(
    "LUT_INVALID",
    {
      happened: `${name} cannot be a camera's curve: ${why}.`,
      means: "A curve takes each channel's code values to its own linear light, and greys to greys.",
      doNext:
        "Give a one-dimensional table between code values and linear light, or the log curve's parameters. A look for viewing is not a curve.",
    },
    { name },
  );
}
