import type { ReactNode } from "react";
import { useMeasuredWidth } from "../parts/measured-width.ts";

/** A figure before there is anything to draw: its axes only. */
export function EmptyAxes({
  across,
  columns,
}: {
  readonly across: string;
  readonly columns: readonly string[];
}): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const height = 220;
  const left = 52;
  const step = (width - left) / columns.length;
  return (
    <div className="fig" ref={ref} style={{ minHeight: height }}>
      {width > 0 && (
        <svg
          height={height}
          viewBox={`0 0 ${width} ${height}`}
          role="img"
          aria-label={`An empty figure: time down, ${across} across.`}
        >
          <text x={0} y={32} className="q">
            0 min
          </text>
          <line className="axis" x1={left} x2={width} y1={28} y2={28} />
          <line className="axis" x1={left} x2={left} y1={28} y2={height} />
          <text x={width} y={20} textAnchor="end" className="q">
            {across}
          </text>
          {columns.map((name, i) => (
            <text key={name} className="head q" x={left + step * i + (i ? 10 : 0)} y={18}>
              {name}
            </text>
          ))}
          {[1, 2, 3].map((i) => (
            <line key={i} className="rule" x1={left} x2={width} y1={28 + i * 60} y2={28 + i * 60} />
          ))}
        </svg>
      )}
    </div>
  );
}
