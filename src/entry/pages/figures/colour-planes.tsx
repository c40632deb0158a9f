import { memo, type ReactNode, useMemo } from "react";
import type { ColourResult } from "#documents/chapter-results";
import { spectralLocus } from "#science/colour/spectral-locus";
import { xyzToUvPrime } from "#science/colour/uv-prime";
import { chromaticityToXyz, whiteD65 } from "#science/colour/white-points";
import { chromaticityDrawing } from "#science/drawing/chromaticity-drawing";
import { type GreyStep, greyDrawing } from "#science/drawing/grey-drawing";
import { useMeasuredWidth } from "../parts/measured-width.ts";
import { Drawn, pageWords } from "./drawn.tsx";
import { css } from "./seam-plate.tsx";

type Match = NonNullable<ColourResult["match"]>;

const plane = { locus: spectralLocus, white: xyzToUvPrime(chromaticityToXyz(whiteD65)) };

/** Where the match moves each patch on the plane of colours. */
export const ChromaticityPlane = memo(function ChromaticityPlane({
  match,
}: {
  readonly match: Match;
}): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const drawing = useMemo(() => {
    const patches = match.patches.flatMap(({ name, aRgb, aUv, beforeUv, afterUv }) =>
      aUv && beforeUv && afterUv ? [{ name, fill: css(aRgb), a: aUv, before: beforeUv, after: afterUv }] : [],
    );
    if (width === 0 || patches.length === 0) return null;
    return chromaticityDrawing(patches, plane, { width, to: match.to, from: match.from }, pageWords);
  }, [match, width]);
  if (!match.patches.some((p) => p.aUv)) return null;
  return (
    <div>
      <h3>Colour without lightness</h3>
      <p className="caption">
        The CIE 1976 plane of u′ and v′: equal distances look about equally different. A ring where{" "}
        {match.from} put a patch, an arrow to where the match brings it, a cross where {match.to} has it.
      </p>
      <div className="fig" ref={ref} style={{ minHeight: 300 }}>
        {drawing && <Drawn drawing={drawing} />}
      </div>
    </div>
  );
});

/** Published numbers of the six greys, less one: white, four greys, black. */
const greys = [18, 19, 20, 21, 22, 23] as const;

/** The chart's greys as steps of a ladder, with what each camera recorded. */
export function greySteps(colour: ColourResult, match: Match): GreyStep[] {
  const codes = (camera: string, index: number) =>
    colour.charts.find((c) => c.camera === camera && !c.forCurve)?.patches.find((p) => p.index === index)
      ?.rgb ?? null;
  return greys.flatMap((index): GreyStep[] => {
    const patch = match.patches.find((p) => p.index === index);
    if (!patch) return [];
    return [
      {
        name: patch.name,
        fill: css(patch.aRgb),
        aCode: codes(match.to, index),
        bCode: codes(match.from, index),
        a: patch.aRgb,
        before: patch.beforeRgb,
        after: patch.afterRgb,
      },
    ];
  });
}

/** The neutral ladder as curves: as recorded, and what the match leaves. */
export const GreyLadder = memo(function GreyLadder({
  colour,
  match,
}: {
  readonly colour: ColourResult;
  readonly match: Match;
}): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const steps = useMemo(() => greySteps(colour, match), [colour, match]);
  const drawing = useMemo(
    () =>
      width === 0 || steps.length === 0
        ? null
        : greyDrawing(steps, { width, to: match.to, from: match.from }, pageWords),
    [steps, width, match],
  );
  if (steps.length === 0) return null;
  return (
    <div>
      <h3>The six greys</h3>
      <p className="caption">
        At the left what each camera recorded, a line each for red (r), green (g) and blue (b). At the right
        how far {match.from} then lies from {match.to} on a screen: dotted with rings as recorded, the
        exposure taken out; full as matched. Where the lines part, the grey is tinted.
      </p>
      <div className="fig" ref={ref} style={{ minHeight: 282 }}>
        {drawing && <Drawn drawing={drawing} />}
      </div>
    </div>
  );
});
