import { memo, type ReactNode } from "react";
import type { ClockResult, WatchResult } from "#documents/chapter-results";
import { picturePlacement, sittingFromLocal } from "#science/placement/placement";
import { signs } from "../parts/marks.tsx";
import { useMeasuredWidth } from "../parts/measured-width.ts";
import { weightAt } from "../parts/sign-at.ts";
import { fileAddress, fileName } from "../words/addresses.ts";
import { deviceName, hue } from "../words/devices.ts";
import { clockTime } from "../words/times.ts";
import { spreadLabels } from "./spread-labels.ts";
import { niceCeiling, scale, timeTicks } from "./ticks.ts";

type Watched = WatchResult["recordings"][number];
type Range = Watched["ranges"][number];
/** Of one camera's ranges. */
const mostNamed = 14;
const mostShown = 7;

export const kinds: Record<Watched["ranges"][number]["kind"], string> = {
  soft: "soft",
  moved: "moved",
  bright: "too bright",
  dark: "too dark",
  "white-drift": "white drifted",
  flicker: "flicker",
  bump: "bumped",
  stopped: "stopped",
  black: "black",
  frozen: "frozen",
  unwanted: "unwanted",
};

/** Each camera down the page: its sharpness, what the cut must avoid, and the picture that proves it. */
export const WatchColumns = memo(function WatchColumns({
  watch,
  clock,
}: {
  readonly watch: WatchResult;
  readonly clock: ClockResult | null;
}): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  return (
    <div className="fig" ref={ref} style={{ minHeight: 480 }}>
      {width > 0 && <Drawing watch={watch} clock={clock} width={width} />}
    </div>
  );
});

function Drawing({
  watch,
  clock,
  width,
}: {
  readonly watch: WatchResult;
  readonly clock: ClockResult | null;
  readonly width: number;
}): ReactNode {
  const toSitting = (r: Watched) => {
    const placed = clock?.recordings.find((c) => c.hash === r.hash);
    const placement = placed ? picturePlacement(placed) : null;
    return (t: number) => (placement ? sittingFromLocal(placement, t) : t);
  };
  const devices = [...new Set(watch.recordings.map((r) => r.device))].sort();
  const lengthOf = (r: Watched) =>
    clock?.recordings.find((c) => c.hash === r.hash)?.durationSeconds ??
    Math.max(r.looks.at(-1)?.at ?? 0, ...r.ranges.map((k) => k.end));
  const from = Math.min(0, ...watch.recordings.map((r) => toSitting(r)(0)));
  const to = Math.max(1, ...watch.recordings.map((r) => toSitting(r)(lengthOf(r))));

  const left = width < 520 ? 40 : 56;
  const column = (width - left) / Math.max(1, devices.length);
  const strip = Math.max(46, Math.min(150, column * 0.36));
  const labelLeft = strip + 16;
  const labelWidth = Math.max(60, Math.min(200, column - labelLeft - 18));
  const stillHeight = (labelWidth * 9) / 16 + 3;
  const perLabel = 34;
  // The worst of many ranges are named, the very worst shown; the others stay inked, and the table has all.
  const worstOf = new Map(
    devices.map((d) => [
      d,
      watch.recordings
        .filter((r) => r.device === d)
        .flatMap((r) => r.ranges)
        .sort((p, q) => q.severity - p.severity)
        .slice(0, mostNamed),
    ]),
  );
  const isShown = (device: string, range: Range) =>
    range.still !== undefined && (worstOf.get(device) ?? []).indexOf(range) < mostShown;
  const needed = devices.map((d) =>
    (worstOf.get(d) ?? []).reduce((sum, k) => sum + (isShown(d, k) ? stillHeight : 0) + perLabel + 12, 0),
  );
  const top = 52;
  const bottom = Math.max(520, top + Math.max(0, ...needed));
  const height = bottom + 10;
  const y = scale(from, to, top, bottom);
  const full = niceCeiling(
    Math.min(2.5, Math.max(1.25, ...watch.recordings.flatMap((r) => r.looks.map((l) => l.sharpness)))),
  );

  return (
    <>
      <svg
        height={height}
        viewBox={`0 0 ${width} ${height}`}
        role="img"
        aria-label={`Sharpness of ${devices.map(deviceName).join(" and ")}, time running down. ${
          watch.recordings
            .flatMap((r) =>
              r.ranges.map(
                (k) =>
                  `${deviceName(r.device)} ${kinds[k.kind]} from ${clockTime(toSitting(r)(k.start))} to ${clockTime(toSitting(r)(k.end))}`,
              ),
            )
            .join("; ") || "Nothing that the cut must avoid"
        }.`}
      >
        {timeTicks(from, to, 9).map((tick) => (
          <g key={tick.at}>
            <text className="q" x={0} y={y(tick.at) + 4}>
              {tick.label}
            </text>
            {devices.map((d, i) => (
              <line
                key={d}
                className="rule"
                x1={left + column * i}
                x2={left + column * i + strip}
                y1={y(tick.at)}
                y2={y(tick.at)}
              />
            ))}
          </g>
        ))}
        {devices.map((device, i) => {
          const x0 = left + column * i;
          const x = scale(0, full, x0, x0 + strip);
          const own = watch.recordings.filter((r) => r.device === device);
          return (
            <g key={device}>
              <text
                x={x0}
                y={16}
                className={`strong ${hue(device)}`}
                style={{ font: "600 19px var(--serif)" }}
              >
                {/^[A-Z]$/.test(device) ? device : deviceName(device)}
              </text>
              <text className="q" x={x0 + 20} y={16}>
                sharpness
              </text>
              <text className="q" x={x0} y={42}>
                0
              </text>
              <text className="q" x={x(1)} y={42} textAnchor="middle">
                usual
              </text>
              <line className="axis" x1={x0} x2={x0 + strip} y1={top - 4} y2={top - 4} />
              <line className="axis" x1={x0} x2={x0} y1={top - 4} y2={bottom} />
              <line className="dots" x1={x(1)} x2={x(1)} y1={top - 4} y2={bottom} />
              {own.map((r) => {
                const at = toSitting(r);
                return (
                  <g key={r.hash}>
                    <rect
                      className="wash"
                      x={x0 + 0.5}
                      y={y(at(0))}
                      width={strip}
                      height={Math.max(1, y(at(lengthOf(r))) - y(at(0)))}
                      opacity={0.55}
                    />
                    {r.ranges.map((k) => (
                      <g key={`${k.kind}${k.start}`}>
                        <rect
                          x={x0 + 0.5}
                          y={y(at(k.start))}
                          width={strip}
                          height={Math.max(3, y(at(k.end)) - y(at(k.start)))}
                          fill="var(--ink)"
                          opacity={0.13 + 0.12 * k.severity}
                        />
                        <rect
                          x={x0 + strip}
                          y={y(at(k.start))}
                          width={4}
                          height={Math.max(3, y(at(k.end)) - y(at(k.start)))}
                          className="fill-n"
                        />
                      </g>
                    ))}
                    <path
                      className={`data stroke-${hue(device)}`}
                      strokeWidth={1.2}
                      strokeLinejoin="round"
                      d={r.looks
                        .map(
                          (l, n) =>
                            `${n ? "L" : "M"}${x(Math.min(full, l.sharpness)).toFixed(1)} ${y(at(l.at)).toFixed(1)}`,
                        )
                        .join("")}
                    />
                    <line className="dim" x1={x0} x2={x0 + strip} y1={y(at(0))} y2={y(at(0))} />
                    <line
                      className="dim"
                      x1={x0}
                      x2={x0 + strip}
                      y1={y(at(lengthOf(r)))}
                      y2={y(at(lengthOf(r)))}
                    />
                  </g>
                );
              })}
              {gaps(own.map((r) => ({ start: toSitting(r)(0), end: toSitting(r)(lengthOf(r)) }))).map((g) => (
                <text
                  key={g.start}
                  className="q halo"
                  x={x0 + strip / 2}
                  y={(y(g.start) + y(g.end)) / 2 + 4}
                  textAnchor="middle"
                >
                  no picture
                </text>
              ))}
            </g>
          );
        })}
        {devices.map((device, i) => (
          <Leaders
            key={device}
            labels={labelsOf(device)}
            x={left + column * i + strip + 5}
            to={left + column * i + labelLeft - 2}
          />
        ))}
      </svg>
      {devices.map((device, i) =>
        labelsOf(device).map((l) => (
          <div
            key={`${device}${l.range.kind}${l.range.start}`}
            className="watch-still"
            style={{ left: left + column * i + labelLeft, top: l.top, width: labelWidth }}
          >
            {l.still && (
              <img
                src={fileAddress(l.still)}
                alt={`${deviceName(device)} at ${clockTime(l.at)}: ${kinds[l.range.kind]}`}
              />
            )}
            <b>
              {signs[l.weight]} {kinds[l.range.kind]}
            </b>{" "}
            <span className="tnum">
              {clockTime(l.at)}–{clockTime(l.end)}
            </span>
          </div>
        )),
      )}
    </>
  );

  function labelsOf(device: string) {
    const own = watch.recordings
      .filter((r) => r.device === device)
      .flatMap((r) =>
        r.ranges
          .filter((range) => worstOf.get(device)?.includes(range))
          .map((range) => {
            const at = toSitting(r);
            return {
              range,
              still: isShown(device, range) ? range.still : undefined,
              at: at(range.start),
              end: at(range.end),
              middle: y((at(range.start) + at(range.end)) / 2),
              weight:
                weightAt(watch.findings, { from: range.start, to: range.end }, [
                  r.path,
                  fileName(r.path),
                  device,
                ]) ?? (range.severity >= 0.5 ? ("warn" as const) : ("note" as const)),
            };
          }),
      )
      .sort((p, q) => p.at - q.at);
    const tops = spreadLabels(
      own.map((l) => {
        const h = (l.still ? stillHeight : 0) + perLabel;
        return { y: Math.max(top - 8, l.middle - h / 2), height: h };
      }),
      height,
      10,
    );
    return own.map((l, n) => ({
      ...l,
      top: tops[n]!,
      target: tops[n]! + (l.still ? stillHeight / 2 : 9),
    }));
  }
}

function Leaders({
  labels,
  x,
  to,
}: {
  readonly labels: readonly { readonly middle: number; readonly target: number; readonly at: number }[];
  readonly x: number;
  readonly to: number;
}): ReactNode {
  return labels.map((l) => (
    <path key={`${l.at}${l.target}`} className="leader" d={`M${x} ${l.middle} L${to} ${l.target}`} />
  ));
}

/** The stretches between ranges that do not touch; longer than half a second. */
function gaps(
  ranges: readonly { readonly start: number; readonly end: number }[],
): { start: number; end: number }[] {
  const sorted = ranges.toSorted((p, q) => p.start - q.start);
  return sorted.slice(1).flatMap((next, i) => {
    const end = sorted[i]!.end;
    return next.start - end > 0.5 ? [{ start: end, end: next.start }] : [];
  });
}
