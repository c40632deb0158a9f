import type { ReactNode } from "react";
import type { VoiceResult } from "#documents/chapter-results";
import { useMeasuredWidth } from "../parts/measured-width.ts";
import { number } from "../words/numbers.ts";
import { scale } from "./ticks.ts";

/** A ruler from quiet to full scale: where the dialogue was wanted, where it is, and its highest peak. */
export function LoudnessRule({ loudness }: { readonly loudness: VoiceResult["loudness"] }): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const low = Math.min(-30, Math.floor((loudness.integrated - 4) / 5) * 5);
  const x = scale(low, 0, 8, width - 14);
  const height = 62;
  return (
    <div className="fig" ref={ref} style={{ minHeight: height }}>
      {width > 0 && (
        <svg
          height={height}
          viewBox={`0 0 ${width} ${height}`}
          role="img"
          aria-label={`Loudness ${number(loudness.integrated, 1)} LUFS where ${number(loudness.target, 1)} is wanted; highest true peak ${number(loudness.truePeak, 1)} decibels.`}
        >
          <rect
            className="wash"
            x={x(loudness.target - 0.5)}
            width={x(loudness.target + 0.5) - x(loudness.target - 0.5)}
            y={16}
            height={24}
          />
          <text x={x(loudness.target)} y={11} textAnchor="middle">
            wanted
          </text>
          <line className="dim" x1={x(low)} x2={x(0)} y1={40} y2={40} />
          {Array.from({ length: -low / 5 + 1 }, (_, i) => low + i * 5).map((db) => (
            <g key={db}>
              <line className="dim" x1={x(db)} x2={x(db)} y1={36} y2={40} />
              <text className="q" x={x(db)} y={55} textAnchor="middle">
                {number(db)}
                {db === 0 ? " dB" : ""}
              </text>
            </g>
          ))}
          <circle className="fill-n" cx={x(loudness.integrated)} cy={28} r={4.5} />
          <path className="stroke-n" strokeWidth={1.6} d={`M${x(loudness.truePeak)} 18 V40`} />
          <text x={x(loudness.truePeak) - 5} y={24} textAnchor="end">
            peak
          </text>
        </svg>
      )}
    </div>
  );
}
