import { memo, type ReactNode } from "react";
import { cutPlayer } from "../data/cut-player.ts";
import { clockTime } from "../words/times.ts";
import type { WordRow } from "./word-rows.ts";

/** A pennant: a moment that somebody pointed at. */
export function Pennant(): ReactNode {
  return (
    <svg className="pennant" viewBox="0 0 10 14" width="10" height="14" aria-hidden="true">
      <path d="M1 0v14M1 1l8 3-8 3" fill="none" stroke="currentColor" strokeWidth="1.4" />
    </svg>
  );
}

/** What is said and marked, beside the pictures; a press goes there. */
export const BraidWords = memo(function BraidWords({
  rows,
  left,
  width,
  part,
}: {
  readonly rows: readonly WordRow[];
  readonly left: number;
  readonly width: number;
  /** What is drawn of the braid, pixels. */
  readonly part: { readonly from: number; readonly to: number };
}): ReactNode {
  return rows
    .filter(({ y, height }) => y + height >= part.from && y <= part.to)
    .map(({ kind, y, height, text, at }) => (
      <button
        key={`${kind}${at}`}
        type="button"
        className={`braid-words ${kind}`}
        style={{
          left,
          width,
          top: y,
          maxHeight: height,
          WebkitLineClamp: Math.max(1, Math.floor(height / 19)),
        }}
        aria-label={`${kind === "mark" ? "Mark" : "Said"} at ${clockTime(at)}: ${text}. Go there.`}
        title={`${clockTime(at)}: ${text}`}
        onClick={() => cutPlayer.seek(at)}
      >
        {kind === "mark" && <Pennant />}
        {text}
      </button>
    ));
});
