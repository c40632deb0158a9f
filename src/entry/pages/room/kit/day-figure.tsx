import type { ReactNode } from "react";
import type { KitResult } from "#documents/kit-result";
import type { Plan } from "#documents/plan";
import { clockOfMinutes, minutesOfClock } from "#science/sun/local-time";
import { hoursMinutes } from "#science/units/time-figures";
import { hue } from "../../words/devices.ts";

/** The day down the page: blocks and breaks, and for every camera each card and battery with its changes. */
export function DayFigure({
  figures,
  plan,
  width,
}: {
  readonly figures: KitResult;
  readonly plan: Plan;
  readonly width: number;
}): ReactNode {
  const { day, cameras } = figures;
  const total = Math.max(30, day.minutes);
  const top = 26;
  const height = Math.max(180, Math.min(460, total * 1.3));
  const y = (minutes: number): number => top + (minutes / total) * height;
  const start = plan.when ? minutesOfClock(plan.when.from) : null;
  const clock = (minutes: number): string =>
    start === null ? hoursMinutes(minutes) : clockOfMinutes(start + minutes);
  const left = 58;
  const lane = Math.min(96, Math.max(48, (width - left - 150) / Math.max(1, cameras.length)));
  const lanes = left + 150;
  const every = total > 300 ? 60 : total > 120 ? 30 : 15;
  const ticks = Array.from({ length: Math.floor(total / every) + 1 }, (_, i) => i * every);
  const says = `${hoursMinutes(day.minutes)} with ${hoursMinutes(day.recordedMinutes)} recorded; ${cameras.flatMap((c) => c.swaps).length} changes of cards and batteries.`;
  return (
    <svg className="day-figure" width={width} height={top + height + 31} role="img" aria-label={says}>
      {ticks.map((minutes) => (
        <g key={minutes}>
          <path className="rule" d={`M${left - 6} ${y(minutes)}H${left}`} />
          <text x={left - 10} y={y(minutes) + 4} textAnchor="end">
            {clock(minutes)}
          </text>
        </g>
      ))}
      <path className="rule" d={`M${left} ${top}V${top + height}`} />
      {day.blocks.map((block) => (
        <g key={block.name}>
          <rect
            className="block"
            x={left + 8}
            y={y(block.from)}
            width={118}
            height={Math.max(2, y(block.to) - y(block.from))}
          />
          <text className="strong" x={left + 16} y={Math.min(y(block.to) - 4, y(block.from) + 16)}>
            {block.name}
          </text>
          {block.breakMinutes > 0 && y(block.to + block.breakMinutes) - y(block.to) > 13 && (
            <text x={left + 16} y={(y(block.to) + y(block.to + block.breakMinutes)) / 2 + 4}>
              {hoursMinutes(block.breakMinutes)} off
            </text>
          )}
        </g>
      ))}
      {cameras.map((camera, i) => {
        const x = lanes + i * lane;
        const columns = (
          [
            ["card", camera.cards ? camera.cards.minutesEach : null],
            ["battery", camera.onMains ? null : (camera.battery?.minutesEach ?? null)],
          ] as const
        ).filter(([, minutes]) => minutes !== null);
        return (
          <g key={camera.id} className={hue(camera.id)}>
            <text className="letter" x={x} y={16}>
              {camera.id}
            </text>
            {columns.map(([what], j) => {
              const at = x + 6 + j * 22;
              const swaps = camera.swaps.filter((swap) => swap.what === what);
              return (
                <g key={what}>
                  <path className="lane" d={`M${at} ${top}V${top + height}`} />
                  {swaps.map((swap) => (
                    <path
                      key={swap.at}
                      className={swap.inBreak ? "swap" : "swap inside"}
                      d={`M${at - 7} ${y(swap.at)}h14`}
                    />
                  ))}
                  <text x={at} y={top + height + 14 + j * 13} textAnchor="middle">
                    {what}
                  </text>
                </g>
              );
            })}
          </g>
        );
      })}
    </svg>
  );
}
