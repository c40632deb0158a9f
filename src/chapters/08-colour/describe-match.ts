import type { ColourResult } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import { bradfordAdaptation } from "#science/colour/bradford";
import type { CameraCurve } from "#science/colour/camera-curve";
import type { CameraMatch } from "#science/colour/camera-match";
import { chart24Names, chart24White } from "#science/colour/chart24";
import { d50ToSrgb } from "#science/colour/display-view";
import { applyMatrix3, type Triple } from "#science/colour/matrix3";
import { xyzToUvPrime } from "#science/colour/uv-prime";
import { chromaticityToXyz, whiteD65 } from "#science/colour/white-points";
import type { JudgedShot } from "./judge-shot.ts";
import { capital, oneDecimal } from "./words.ts";
import type { MatchFiles } from "./write-luts.ts";

/** From the white that the chart's values are published under to a screen's. */
const toD65 = bradfordAdaptation(chart24White, chromaticityToXyz(whiteD65));

/** Greys off by more than this under a curve that a person gave, L* units, are told. */
const givenDoubtful = 4;

type MatchResult = NonNullable<ColourResult["match"]>;

const levelWords = {
  gains: "one gain a channel in linear light",
  matrix: "3×3 in linear light, greys kept grey",
  rootPolynomial: "root-polynomial of degree 2 in linear light, greys kept grey",
  residual: "a mix in linear light with a gentle correction of saturated colours, greys kept grey",
} as const;

/** A match in the document's words and numbers. */
export function describeMatch(
  match: CameraMatch,
  to: string,
  from: string,
  { cdl, cdlLeaves }: Pick<MatchFiles, "cdl" | "cdlLeaves">,
): MatchResult {
  const shown = (xyz: Triple): [number, number, number] => [...d50ToSrgb(xyz)];
  const placed = (xyz: Triple): [number, number] => {
    const [u, v] = xyzToUvPrime(applyMatrix3(toD65, xyz));
    return [Number(u.toFixed(5)), Number(v.toFixed(5))];
  };
  return {
    from,
    to,
    model: `${levelWords[match.mix.level]}; camera ${to}'s curve ${curveWords(match.curveA)}, camera ${from}'s ${curveWords(match.curveB)}`,
    before: summary(match.before),
    beforeWithExposure: summary(match.beforeWithExposure),
    exposureStops: match.exposureStops,
    after: summary(match.after),
    leftOut: summary(match.leftOut),
    cdl: {
      slope: [...cdl.slope],
      offset: [...cdl.offset],
      power: [...cdl.power],
      saturation: cdl.saturation,
      after: summary(cdlLeaves),
    },
    patches: chart24Names.map((name, index) => ({
      index,
      name,
      before: match.before[index]!,
      after: match.after[index]!,
      leftOut: match.leftOut[index]!,
      aRgb: shown(match.xyzA[index]!),
      beforeRgb: shown(match.xyzBefore[index]!),
      afterRgb: shown(match.xyzAfter[index]!),
      aUv: placed(match.xyzA[index]!),
      beforeUv: placed(match.xyzBefore[index]!),
      afterUv: placed(match.xyzAfter[index]!),
    })),
  };
}

/** What is worth saying of a solved match. */
export function matchFindings(match: CameraMatch, a: JudgedShot, b: JudgedShot): Finding[] {
  const findings: Finding[] = [];
  const worst = match.after.indexOf(Math.max(...match.after));
  const leftOut = mean(match.leftOut);
  findings.push({
    code: "colour.worst-patch",
    weight: "note",
    says: `${capital(chart24Names[worst]!)} is worst in camera ${b.camera}, at ${oneDecimal(match.after[worst]!)}.`,
    remedy:
      match.after[worst]! > 6
        ? "Look at cloth of this colour before you rely on the match there."
        : "Nothing to do.",
    evidence: { where: b.camera, figure: `${oneDecimal(match.after[worst]!)} CIEDE2000` },
  });
  if (leftOut > 4) {
    findings.push({
      code: "colour.match-weak",
      weight: "warn",
      says: `Camera ${b.camera}'s match is weak: on patches that it was not fitted to it is off by ${oneDecimal(leftOut)} on average.`,
      remedy:
        "Compare the two faces before you use it. Film the chart again with both cameras in the same light at the same time.",
      evidence: { where: b.camera, figure: `${oneDecimal(leftOut)} CIEDE2000` },
    });
  }
  for (const [judged, curve] of [
    [a, match.curveA],
    [b, match.curveB],
  ] as const) {
    const { curve: used, tagRefused, tagError, residual } = curve;
    const evidence = {
      where: judged.camera,
      ...(residual === null ? {} : { figure: `greys to ${oneDecimal(100 * residual)} % of the range` }),
    };
    if (used.known === "given" && (tagError ?? 0) > givenDoubtful) {
      findings.push({
        code: "colour.curve-doubtful",
        weight: "warn",
        says: `Camera ${judged.camera}'s curve was given as ${used.name}, but the chart's greys are off by ${oneDecimal(tagError!)} units of lightness under it.`,
        remedy:
          "It was used as you gave it. Check the camera's setting, or take the curve back to have it found by the greys.",
        evidence: { where: judged.camera, figure: `${oneDecimal(tagError!)} L*` },
      });
    } else if (tagRefused) {
      findings.push({
        code: "colour.tag-contradicted",
        weight: "note",
        says: `Camera ${judged.camera}'s file names a curve that the chart's greys contradict.`,
        remedy:
          used.known === "recognised"
            ? `The greys fit ${used.name}, which was used instead. Nothing to do, unless you know better: then name the curve.`
            : "The curve was learned from the greys instead. Nothing to do, unless you know which it is: then name it.",
        evidence: { where: judged.camera, figure: `${oneDecimal(tagError ?? 0)} L*` },
      });
    } else if (used.known === "recognised") {
      findings.push({
        code: "colour.curve-recognised",
        weight: "note",
        says: `Camera ${judged.camera}'s file does not say which curve it was recorded with; the chart's greys fit ${used.name}.`,
        remedy: "That curve was used. Nothing to do, unless you know better: then name the curve.",
        evidence,
      });
    } else if (used.known === "learned") {
      findings.push({
        code: "colour.curve-learned",
        weight: "note",
        says: `Camera ${judged.camera}'s file does not say which curve it was recorded with.`,
        remedy:
          "The curve was learned from the chart's greys; it is surest between black and white of the chart. Name the curve if you know it.",
        evidence,
      });
    }
  }
  return findings;
}

function curveWords({ curve, tagRefused, residual }: CameraCurve): string {
  if (curve.known === "given") return `${curve.name} as given`;
  if (curve.known === "tag") return `${curve.name} by its tag`;
  const against = tagRefused ? ", which contradict its tag" : "";
  if (curve.known === "recognised") return `${curve.name} by the chart's greys${against}`;
  const sure = residual === null ? "" : ` to ${oneDecimal(100 * residual)} % of the range`;
  return `learned from the chart's greys${sure}${against}`;
}

function summary(values: readonly number[]): { mean: number; max: number } {
  return { mean: mean(values), max: Math.max(...values) };
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}
