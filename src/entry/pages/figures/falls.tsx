import { memo, type ReactNode } from "react";
import type { ColourResult } from "#documents/chapter-results";
import { useMeasuredWidth } from "../parts/measured-width.ts";
import { number } from "../words/numbers.ts";
import { layOutFalls, patchRows } from "./falls-layout.ts";
import { css } from "./seam-plate.tsx";

/** Every patch falls from its difference as recorded (open) to what is left (filled). */
export const Falls = memo(function Falls({
  match,
}: {
  readonly match: NonNullable<ColourResult["match"]>;
}): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const height = 232;
  return (
    <div className="fig" ref={ref} style={{ minHeight: height, marginTop: 22 }}>
      {width > 0 && <Drawing match={match} width={width} height={height} />}
    </div>
  );
});

function Drawing({
  match,
  width,
  height,
}: {
  readonly match: NonNullable<ColourResult["match"]>;
  readonly width: number;
  readonly height: number;
}): ReactNode {
  const isNarrow = width < 520;
  const left = isNarrow ? 26 : 46;
  const right = isNarrow ? width : width - 66;
  const bottom = height - 50;
  const { falls, ticks, y, max, step } = layOutFalls(match.patches, { left, right, top: 30, bottom });
  const r = Math.min(4.2, step * 0.3);
  const worst = match.patches.reduce<(typeof match.patches)[number] | null>(
    (w, p) => (!w || p.before > w.before ? p : w),
    null,
  );
  const fallOfWorst = falls.find((f) => f.index === worst?.index);
  return (
    <svg
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={`Difference of each patch before and after the match, in CIEDE2000 units. The mean falls from ${number(match.before.mean, 1)} to ${number(match.after.mean, 1)}, the worst from ${number(match.before.max, 1)} to ${number(match.after.max, 1)}.`}
    >
      <rect className="wash" x={left} width={width - left} y={y(1)} height={y(0) - y(1)} />
      {ticks.map((t) => (
        <g key={t.value}>
          <line className={t.value === 0 ? "axis" : "rule"} x1={left} x2={width} y1={t.y} y2={t.y} />
          <text className="q" x={0} y={t.y + 4}>
            {number(t.value, max < 5 && t.value % 1 !== 0 ? 1 : 0)}
            {t.value === ticks.at(-1)?.value && !isNarrow ? " units" : ""}
          </text>
        </g>
      ))}
      {isNarrow ? (
        <text className="q" x={left} y={10}>
          CIEDE2000 units; below 1, no seam
        </text>
      ) : (
        <text className="q" x={width} y={y(1) - 6} textAnchor="end">
          below 1,
          <tspan x={width} dy={14}>
            no seam
          </tspan>
        </text>
      )}
      {falls.map((f) => {
        const patch = match.patches.find((p) => p.index === f.index)!;
        const isUp = f.to < f.from;
        const tip = f.to + (isUp ? r : -r);
        return (
          <g key={f.index}>
            <line className="dim" x1={f.x} x2={f.x} y1={f.from} y2={f.to} />
            {Math.abs(f.to - f.from) > 3 * r && (
              <path
                className="dim"
                fill="none"
                d={
                  isUp
                    ? `M${f.x - 2.6} ${tip + 4} L${f.x} ${tip} L${f.x + 2.6} ${tip + 4}`
                    : `M${f.x - 2.6} ${tip - 4} L${f.x} ${tip} L${f.x + 2.6} ${tip - 4}`
                }
              />
            )}
            <circle className="open stroke-n" strokeWidth={1.2} cx={f.x} cy={f.from} r={r} />
            <circle className="fill-n" cx={f.x} cy={f.to} r={r} />
            <rect
              x={f.x - step * 0.43}
              y={bottom + 9}
              width={step * 0.86}
              height={12}
              fill={css(patch.aRgb)}
              stroke="var(--line)"
              strokeWidth={0.6}
            />
          </g>
        );
      })}
      {worst && fallOfWorst && !isNarrow && (
        <text
          className="halo"
          x={fallOfWorst.x + (fallOfWorst.x > (left + right) * 0.7 ? 4 : -4)}
          y={fallOfWorst.from - 9}
          textAnchor={fallOfWorst.x > (left + right) * 0.7 ? "end" : "start"}
        >
          {worst.name}, {number(worst.before, 1)} as recorded
        </text>
      )}
      {patchRows.map((name, i) => {
        const first = falls.find((f) => Math.floor(f.index / 6) === i);
        return (
          first && (
            <text
              key={name}
              className={isNarrow ? "" : "q"}
              x={first.x - step * 0.43}
              y={bottom + 38}
              style={isNarrow ? { fontSize: 11 } : undefined}
            >
              {isNarrow ? name.split(" ").at(name === "skin and sky" ? 0 : -1) : name}
            </text>
          )
        );
      })}
    </svg>
  );
}
