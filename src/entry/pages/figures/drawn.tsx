import { memo, type ReactNode } from "react";
import type { Drawing, FigureWords, Mark } from "#science/drawing/marks";
import { number } from "../words/numbers.ts";
import { clockTime } from "../words/times.ts";

/** Figures in the reader's own locale. */
export const pageWords: FigureWords = { number, moment: (seconds) => clockTime(seconds) };

/** A laid-out drawing on the page. */
export const Drawn = memo(function Drawn({ drawing }: { readonly drawing: Drawing }): ReactNode {
  const { width, height, marks, says } = drawing;
  return (
    <svg height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={says}>
      {marks.map((mark, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: marks have no life of their own; the whole drawing is replaced
        <Element key={i} mark={mark} />
      ))}
    </svg>
  );
});

function Element({ mark }: { readonly mark: Mark }): ReactNode {
  switch (mark.kind) {
    case "path":
      return <path className={mark.look} d={mark.d} opacity={mark.opacity} />;
    case "dot":
      return (
        <circle
          className={mark.look}
          cx={mark.x}
          cy={mark.y}
          r={mark.r}
          opacity={mark.opacity}
          style={mark.fill ? { fill: mark.fill } : undefined}
        />
      );
    case "box":
      return (
        <rect
          className={mark.look}
          x={mark.x}
          y={mark.y}
          width={mark.width}
          height={mark.height}
          style={mark.fill ? { fill: mark.fill } : undefined}
        />
      );
    case "text":
      return (
        <text className={mark.look} x={mark.x} y={mark.y} textAnchor={mark.anchor}>
          {mark.text}
        </text>
      );
  }
}
