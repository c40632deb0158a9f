import { memo, type ReactNode, useMemo } from "react";
import type { ClockResult } from "#documents/chapter-results";
import { delayDrawing, type HeardPair } from "#science/drawing/delay-drawing";
import { useMeasuredWidth } from "../parts/measured-width.ts";
import { fileName } from "../words/addresses.ts";
import { hue } from "../words/devices.ts";
import { number } from "../words/numbers.ts";
import { closeTime } from "../words/times.ts";
import { Drawn, pageWords } from "./drawn.tsx";

type Edge = NonNullable<ClockResult["edges"]>[number];

/** A pair with all its pieces, as measured. */
export interface EdgePair {
  readonly reference: ClockResult["recordings"][number];
  readonly other: ClockResult["recordings"][number];
  readonly edges: readonly Edge[];
}

/** Comparisons by pair, in the order of the recordings; a recording with steps has several in one pair. */
export function edgePairs(clock: ClockResult): EdgePair[] {
  const byHash = new Map(clock.recordings.map((r) => [r.hash, r]));
  const pairs = new Map<string, Edge[]>();
  for (const edge of clock.edges ?? []) {
    const key = `${edge.reference} ${edge.other}`;
    pairs.set(key, [...(pairs.get(key) ?? []), edge]);
  }
  return [...pairs.values()].flatMap((edges) => {
    const reference = byHash.get(edges[0]!.reference);
    const other = byHash.get(edges[0]!.other);
    return reference && other ? [{ reference, other, edges: edges.toSorted((p, q) => p.from - q.from) }] : [];
  });
}

/** More pairs than these are told by the table alone. */
const mostDrawn = 8;

/** Every comparison that the placements rest on: delays with the fitted line, and what the line leaves. */
export const HeardPairs = memo(function HeardPairs({ clock }: { readonly clock: ClockResult }): ReactNode {
  const pairs = useMemo(() => edgePairs(clock), [clock]);
  if (pairs.length === 0) return null;
  return (
    <section className="pairs" aria-label="Each comparison">
      <h3>Each comparison, and what its line leaves</h3>
      <div className="pair-grid">
        {pairs.slice(0, mostDrawn).map((pair) => (
          <Pair key={`${pair.reference.hash}${pair.other.hash}`} pair={pair} />
        ))}
      </div>
      {pairs.length > mostDrawn && (
        <p className="caption">{number(pairs.length - mostDrawn)} more comparisons are in the table below.</p>
      )}
    </section>
  );
});

function Pair({ pair }: { readonly pair: EdgePair }): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const { reference, other, edges } = pair;
  const drawing = useMemo(() => {
    if (width === 0) return null;
    const heard: HeardPair = {
      reference: fileName(reference.path),
      other: fileName(other.path),
      hue: hue(other.device),
      pieces: edges,
    };
    return delayDrawing(heard, { width, height: 236 }, pageWords);
  }, [width, reference, other, edges]);
  const used = edges.reduce((sum, e) => sum + e.used, 0);
  const windows = edges.reduce((sum, e) => sum + e.windows, 0);
  return (
    <div className="pair">
      <p className="caption">
        <b className={hue(other.device)}>{fileName(other.path)}</b> on{" "}
        <b className={hue(reference.device)}>{fileName(reference.path)}</b>: {number(used)} of{" "}
        {number(windows)} stretches used,{" "}
        <span className="together">within {closeTime(Math.max(...edges.map((e) => e.scatter)))}</span>
      </p>
      <div className="fig" ref={ref} style={{ minHeight: 236 }}>
        {drawing && <Drawn drawing={drawing} />}
      </div>
    </div>
  );
}
