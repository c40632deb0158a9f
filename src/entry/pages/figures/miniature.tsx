import { memo, type ReactNode } from "react";
import type { StoryResult } from "#documents/chapter-results";
import { useCutTime } from "../data/cut-player.ts";
import { signs } from "../parts/marks.tsx";
import { sittingToProgram } from "../words/cut-time.ts";
import { hue } from "../words/devices.ts";
import { scale, timeTicks } from "./ticks.ts";

/** The whole cut as narrow bars: A at the left, B at the right, with the place that plays. */
export const Miniature = memo(function Miniature({
  story,
  height,
}: {
  readonly story: StoryResult;
  readonly height: number;
}): ReactNode {
  const end = story.events.at(-1)?.end ?? 1;
  const y = scale(0, end, 6, height - 6);
  const cameras = [...new Set(story.events.map((e) => e.camera))].sort();
  const x = (camera: string) => (camera === cameras[0] ? 8 : 17);
  return (
    <div className="fig">
      <svg
        height={height}
        viewBox={`0 0 64 ${height}`}
        role="img"
        aria-label={`The whole cut: ${story.events.length} shots, ${cameras
          .map((c) => `${story.events.filter((e) => e.camera === c).length} of camera ${c}`)
          .join(", ")}.`}
      >
        {story.events.map((e, i) => {
          const next = story.events[i + 1];
          return (
            <g key={e.start}>
              <rect
                className={`fill-${hue(e.camera)}`}
                x={x(e.camera)}
                y={y(e.start)}
                width={8}
                height={Math.max(1, y(e.end) - y(e.start) - 0.6)}
              />
              {next && next.camera !== e.camera && (
                <line
                  className="dim"
                  x1={8}
                  x2={25}
                  y1={y(e.end) - 0.3}
                  y2={y(e.end) - 0.3}
                  stroke="var(--ink-3)"
                />
              )}
            </g>
          );
        })}
        {timeTicks(0, end, Math.max(3, Math.floor(height / 44))).map((t) => (
          <g key={t.at}>
            <line className="axis" x1={28} x2={32} y1={y(t.at)} y2={y(t.at)} />
            <text className="q" x={35} y={y(t.at) + 4}>
              {t.label}
            </text>
          </g>
        ))}
        {story.findings.map((f) => {
          const at = f.evidence?.from === undefined ? null : sittingToProgram(story.events, f.evidence.from);
          return (
            at !== null && (
              <text key={`${f.code}${at}`} className="sign" x={-9} y={y(at) + 5}>
                {signs[f.weight]}
              </text>
            )
          );
        })}
        <Now y={y} />
      </svg>
    </div>
  );
});

function Now({ y }: { readonly y: (time: number) => number }): ReactNode {
  const at = y(useCutTime());
  return <path className="fill-n" d={`M0 ${at - 4.5} L6.5 ${at} L0 ${at + 4.5}Z M0 ${at - 0.5}h27v1h-27z`} />;
}
