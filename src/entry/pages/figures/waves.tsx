import { memo, type ReactNode } from "react";
import type { ClockResult } from "#documents/chapter-results";
import { useMeasuredWidth } from "../parts/measured-width.ts";
import { deviceName, hue } from "../words/devices.ts";
import { number } from "../words/numbers.ts";
import { clockTime } from "../words/times.ts";
import { niceTicks, scale } from "./ticks.ts";
import { wavePath } from "./wave-path.ts";

/** The same moment in every recording: side by side as recorded, and as placed on the one clock. Time runs down. */
export const Waves = memo(function Waves({
  snippet,
}: {
  readonly snippet: NonNullable<ClockResult["snippet"]>;
}): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const height = 232;
  return (
    <div className="fig" ref={ref} style={{ minHeight: height, marginTop: 26 }}>
      {width > 0 && <Drawing snippet={snippet} width={width} height={height} />}
    </div>
  );
});

function Drawing({
  snippet,
  width,
  height,
}: {
  snippet: NonNullable<ClockResult["snippet"]>;
  width: number;
  height: number;
}) {
  const left = width < 520 ? 42 : 60;
  const gap = width < 520 ? 22 : 46;
  const top = 46;
  const bottom = height - 8;
  const samples = Math.max(1, ...snippet.traces.map((t) => Math.max(t.asRecorded.length, t.asPlaced.length)));
  const lengthMs = (samples / snippet.sampleRateHz) * 1000;
  const y = scale(0, lengthMs, top, bottom);
  const panel = (width - left - gap) / 2;
  const column = panel / Math.max(1, snippet.traces.length);
  const first = snippet.traces[0];
  const loudest = first ? (peakAt(first.asPlaced) / snippet.sampleRateHz) * 1000 : null;
  return (
    <svg
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={`${number(lengthMs)} ms of sound at ${clockTime(snippet.at)} from ${snippet.traces
        .map((t) => deviceName(t.device))
        .join(", ")}. By each file’s own time these are different sounds; as placed they are one.`}
    >
      {(["asRecorded", "asPlaced"] as const).map((kind, p) => {
        const x0 = left + p * (panel + gap);
        const line = kind === "asPlaced" ? loudest : null;
        return (
          <g key={kind}>
            <text className="head" x={x0} y={16}>
              {kind === "asRecorded" ? "By each file’s own time" : "As placed"}
            </text>
            <line className="axis" x1={x0} x2={x0 + panel} y1={top} y2={top} />
            {snippet.traces.map((trace, i) => {
              const centre = x0 + column * (i + 0.5);
              const wave = trace[kind];
              const full = Math.max(1e-9, ...trace.asRecorded.map(Math.abs), ...trace.asPlaced.map(Math.abs));
              const end = y((wave.length / snippet.sampleRateHz) * 1000);
              return (
                <g key={trace.hash}>
                  <line className="rule" x1={centre} x2={centre} y1={top} y2={bottom} />
                  <path
                    className={`fill-${hue(trace.device)}`}
                    d={wavePath(wave, full, top, end, centre, column * 0.46)}
                  />
                  <text className={`strong ${hue(trace.device)}`} x={centre} y={38} textAnchor="middle">
                    {/^[A-Z]$/.test(trace.device) ? trace.device : "rec."}
                  </text>
                </g>
              );
            })}
            {line !== null && (
              <line
                className="dim"
                x1={x0}
                x2={x0 + panel}
                y1={y(line)}
                y2={y(line)}
                strokeDasharray="1.5 3"
              />
            )}
          </g>
        );
      })}
      {niceTicks(0, lengthMs, 4).map((ms, i, all) => (
        <g key={ms}>
          <line className="axis" x1={left - 5} x2={left} y1={y(ms)} y2={y(ms)} />
          <text className="q" x={0} y={y(ms) + 4}>
            {number(ms)}
            {i === all.length - 1 ? " ms" : ""}
          </text>
        </g>
      ))}
    </svg>
  );
}

function peakAt(samples: readonly number[]): number {
  let best = 0;
  for (let i = 1; i < samples.length; i++) if (Math.abs(samples[i]!) > Math.abs(samples[best]!)) best = i;
  return best;
}
