import type { ReactNode } from "react";
import type { Finding, Weight } from "#documents/finding";
import type { ChapterState } from "#documents/page";

export const signs: Record<Weight, string> = { stop: "‡", warn: "†", note: "*" };
export const signNames: Record<Weight, string> = {
  stop: "must be dealt with before going on",
  warn: "will be seen or heard",
  note: "worth knowing",
};
const order: readonly Weight[] = ["stop", "warn", "note"];

/** Worst first; otherwise as the chapter gave them. */
export function worstFirst<F extends { readonly weight: Weight }>(findings: readonly F[]): F[] {
  return findings.toSorted((p, q) => order.indexOf(p.weight) - order.indexOf(q.weight));
}

/** The worst weight among findings and how many carry it; null without findings. */
export function worst(findings: readonly Finding[]): { weight: Weight; many: number } | null {
  const weight = order.find((w) => findings.some((f) => f.weight === w));
  return weight ? { weight, many: findings.filter((f) => f.weight === weight).length } : null;
}

export function Sign({ weight }: { readonly weight: Weight }): ReactNode {
  return (
    <span className="sign" title={signNames[weight]}>
      <span aria-hidden="true">{signs[weight]}</span>
      <span className="unseen">{signNames[weight]}: </span>
    </span>
  );
}

const stateNames: Record<ChapterState, string> = {
  settled: "settled",
  working: "working",
  notBegun: "not begun",
  failed: "failed",
};

/** A chapter's mark in the spine: its worst finding with a count, else a disc, a half disc or a ring. */
export function ChapterMark({
  state,
  findings,
}: {
  readonly state: ChapterState;
  readonly findings: readonly Finding[];
}): ReactNode {
  const found = state === "settled" ? worst(findings) : null;
  if (found)
    return (
      <span className="mark" title={`${found.many}: ${signNames[found.weight]}`}>
        <span className="sign" aria-hidden="true">
          {signs[found.weight]}
        </span>
        <span aria-hidden="true">{found.many}</span>
        <span className="unseen">
          settled; {found.many}: {signNames[found.weight]}
        </span>
      </span>
    );
  if (state === "failed")
    return (
      <span className="mark" title="failed">
        <span className="sign" aria-hidden="true">
          ‡
        </span>
        <span className="unseen">failed</span>
      </span>
    );
  return (
    <span className="mark" title={stateNames[state]}>
      <svg viewBox="0 0 11 11" aria-hidden="true">
        {state === "settled" ? (
          <circle cx="5.5" cy="5.5" r="4" fill="currentColor" />
        ) : (
          <circle cx="5.5" cy="5.5" r="3.6" fill="none" stroke="currentColor" />
        )}
        {state === "working" && <path d="M5.5 1.9a3.6 3.6 0 0 0 0 7.2z" fill="currentColor" />}
      </svg>
      <span className="unseen">{stateNames[state]}</span>
    </span>
  );
}
