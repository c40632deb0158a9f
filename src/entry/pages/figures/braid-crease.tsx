import type { ReactNode } from "react";
import { clockTime, length } from "../words/times.ts";
import type { BraidCrease } from "./braid-layout.ts";

/** What was folded away at a crease; it opens to the single stretches. */
export function Crease({
  crease,
  left,
  onFold,
  isBetween,
}: {
  readonly crease: BraidCrease;
  readonly left: number;
  readonly onFold: () => void;
  readonly isBetween: boolean;
}): ReactNode {
  const whys = [...new Set(crease.parts.map((p) => p.why))];
  const label = whys.length > 2 ? `${whys.slice(0, 2).join(", ")} and more` : whys.join(", and ");
  const middle = crease.isUnfolded ? crease.y0 + 16 : (crease.y0 + crease.y1) / 2;
  return (
    <>
      <p
        className="crease-label"
        style={{
          left,
          right: 0,
          top: middle - 9,
          ...(isBetween
            ? {
                background: "var(--paper)",
                right: "auto",
                maxWidth: `calc(100% - ${left}px)`,
                paddingRight: 6,
              }
            : {}),
        }}
      >
        <span>
          <b>{length(crease.seconds)}</b> {label}
        </span>
        <button type="button" aria-expanded={crease.isUnfolded} onClick={onFold}>
          {crease.isUnfolded ? "fold" : "unfold"}
        </button>
      </p>
      {crease.isUnfolded && (
        <ul className="unfolded tnum" style={{ left, right: 0, top: crease.y0 + 30 }}>
          {crease.parts.map((p) => (
            <li key={p.start}>
              {clockTime(p.start, p.end - p.start < 2)}–{clockTime(p.end, p.end - p.start < 2)} {p.why}
            </li>
          ))}
        </ul>
      )}
    </>
  );
}
