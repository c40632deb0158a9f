import { memo, type ReactNode } from "react";
import type { ColourResult } from "#documents/chapter-results";
import { number } from "../words/numbers.ts";

type Match = NonNullable<ColourResult["match"]>;

/** Each patch cut in two without a gap, A left and B right, on the neutral mount: where a seam shows, they differ. */
export const SeamPlates = memo(function SeamPlates({ match }: { readonly match: Match }): ReactNode {
  return (
    <div className="plates">
      <Plate
        title="As recorded"
        mean={match.before.mean}
        patches={match.patches.map((p) => ({
          name: p.name,
          a: p.aRgb,
          b: p.beforeRgb,
          difference: p.before,
        }))}
      />
      <Plate
        title="Matched"
        mean={match.after.mean}
        patches={match.patches.map((p) => ({ name: p.name, a: p.aRgb, b: p.afterRgb, difference: p.after }))}
      />
    </div>
  );
});

function Plate({
  title,
  mean,
  patches,
}: {
  readonly title: string;
  readonly mean: number;
  readonly patches: readonly {
    name: string;
    a: readonly number[];
    b: readonly number[];
    difference: number;
  }[];
}): ReactNode {
  return (
    <div className="plate">
      <header>
        <i>{title}</i>
        <span>differ by {number(mean, 1)}</span>
      </header>
      <ol aria-label={`${title}: difference of each patch`}>
        {patches.map((p) => (
          <li key={p.name} title={`${p.name}, ${number(p.difference, 1)}`}>
            <span className="seam" aria-hidden="true">
              <i style={{ background: css(p.a) }} />
              <i style={{ background: css(p.b) }} />
            </span>
            <span className="unseen">{p.name} </span>
            {number(p.difference, 1)}
          </li>
        ))}
      </ol>
    </div>
  );
}

/** A colour for the screen from sRGB 0..1; with fractions of a 255th, since some screens show them. */
export function css(rgb: readonly number[]): string {
  return `rgb(${rgb.map((v) => (Math.min(1, Math.max(0, v)) * 255).toFixed(2)).join(" ")})`;
}
