import { memo, type ReactNode } from "react";
import type { ClockResult } from "#documents/chapter-results";
import type { Recording } from "#documents/recording";
import { signs } from "../parts/marks.tsx";
import { useMeasuredWidth } from "../parts/measured-width.ts";
import { fileName } from "../words/addresses.ts";
import { hue } from "../words/devices.ts";
import { number, significant } from "../words/numbers.ts";
import { closeTime } from "../words/times.ts";
import { leanAt, leans } from "./lean.ts";
import { spreadLabels } from "./spread-labels.ts";
import { niceTicks, scale, timeTicks } from "./ticks.ts";

/** Delays against time as lines that lean from a plumb one; beside them what is left, on the same scale. */
export const Plumb = memo(function Plumb({
  clock,
  recordings,
}: {
  readonly clock: ClockResult;
  readonly recordings: readonly Recording[];
}): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const isNarrow = width < 520;
  const height = isNarrow ? 440 : 520;
  return (
    <div className="fig" ref={ref} style={{ minHeight: height }}>
      {width > 0 && (
        <Drawing clock={clock} recordings={recordings} width={width} height={height} isNarrow={isNarrow} />
      )}
    </div>
  );
});

function Drawing({
  clock,
  recordings,
  width,
  height,
  isNarrow,
}: {
  readonly clock: ClockResult;
  readonly recordings: readonly Recording[];
  readonly width: number;
  readonly height: number;
  readonly isNarrow: boolean;
}): ReactNode {
  const placed = clock.recordings.filter((r) => r.offset !== null);
  const others = placed.filter((r) => r.path !== clock.master);
  const master = clock.recordings.find((r) => r.path === clock.master);
  const spans = placed.map((r) => ({ r, lines: leans(r) }));
  const from = Math.min(0, ...spans.flatMap((s) => s.lines.map((l) => l.from)));
  const to = Math.max(1, ...spans.flatMap((s) => s.lines.map((l) => l.to)));

  const dots = others.flatMap((r) =>
    r.windows.map((w) => ({ r, w, delay: w.delay * 1000, left: (w.delay - (leanAt(r, w.at) ?? 0)) * 1000 })),
  );
  const used = dots.filter((d) => d.w.used);
  const ends = spans.flatMap((s) => s.lines.flatMap((l) => [l.delayFrom * 1000, l.delayTo * 1000]));
  // Outliers that the fit left out may lie far off; the scale serves those it used.
  const span = Math.max(
    0.2,
    Math.max(...ends, ...used.map((d) => d.delay), 0) - Math.min(...ends, ...used.map((d) => d.delay), 0),
  );
  const recordedMin = Math.min(...ends, ...used.map((d) => d.delay), 0) - span * 0.08;
  const recordedMax = Math.max(...ends, ...used.map((d) => d.delay), 0) + span * 0.3;
  const rest = Math.max(span * 0.12, ...used.map((d) => Math.abs(d.left) * 1.15));

  const left = isNarrow ? 42 : 60;
  const gap = isNarrow ? 22 : 64;
  const perMs = (width - left - gap - 14) / (recordedMax - recordedMin + 2 * rest);
  const x = scale(recordedMin, recordedMin + 1, left, left + perMs);
  const right = x(recordedMax);
  const restCentre = right + gap + rest * perMs;
  const top = 66;
  const bottom = height - 46;
  const y = scale(from, to, top, bottom - 14);

  const rows = timeTicks(from, to, isNarrow ? 5 : 7);
  const columns = niceTicks(recordedMin, recordedMax, Math.max(2, Math.floor((right - left) / 64)));
  const digits = Math.max(0, -Math.floor(Math.log10((columns[1] ?? 1) - (columns[0] ?? 0)) + 1e-9));
  const restTick = columns.length > 1 ? Math.max(0, columns[1]! - columns[0]!) : 0;
  const rate =
    recordings.find((r) => r.device === "A")?.probe.picture?.frameRate ??
    recordings.find((r) => r.probe.picture)?.probe.picture?.frameRate;
  const pictureMs = rate ? (1000 * rate.den) / rate.num : null;
  const masterDevice = master?.device ?? "A";
  const plumbName = /^[A-Z]$/.test(masterDevice) ? `camera ${masterDevice}` : "the sound recorder";

  const names = others
    .map((r) => {
      const lines = leans(r);
      const middle = lines[Math.floor(lines.length / 2)];
      if (!middle) return null;
      const at = (middle.from + middle.to) / 2;
      return { r, y: y(at), x: x((leanAt(r, at) ?? 0) * 1000) };
    })
    .filter((n) => n !== null)
    .sort((p, q) => p.y - q.y);
  // A line that leans right has its free side above, one that leans left below.
  const tops = spreadLabels(
    names.map((n) => ({ y: (n.r.ratePpm ?? 0) >= 0 ? n.y - 38 : n.y + 2, height: 32 })),
    bottom - 20,
  );
  const labelX = Math.max(...names.map((n) => n.x), x(0)) + (isNarrow ? 10 : 22);
  const several = (device: string) => others.filter((o) => o.device === device).length > 1;

  return (
    <svg
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={`Delay of each recording against ${plumbName}, time running down. ${others
        .map((r) => `${fileName(r.path)} drifts ${significant(r.ratePpm ?? 0)} parts in a million`)
        .join("; ")}. After correction all stay on the plumb line.`}
    >
      <text className="head" x={left} y={16}>
        As recorded
      </text>
      <text
        className="head"
        x={isNarrow ? width : restCentre - rest * perMs}
        y={16}
        textAnchor={isNarrow ? "end" : "start"}
      >
        As corrected
      </text>

      {pictureMs !== null && pictureMs <= recordedMax && (
        <g>
          <rect className="wash" x={x(0)} y={top} width={x(pictureMs) - x(0)} height={bottom - top} />
          <path className="axis" fill="none" d={`M${x(0)} ${44} V${38} H${x(pictureMs)} V${44}`} />
          <text x={(x(0) + x(pictureMs)) / 2} y={34} textAnchor="middle">
            one picture, {number(pictureMs, pictureMs % 1 > 0.01 ? 1 : 0)} ms
          </text>
        </g>
      )}
      {pictureMs !== null && pictureMs > recordedMax && right - x(0) > 340 && (
        <text className="q" x={x(0)} y={34}>
          one picture, {number(pictureMs, pictureMs % 1 > 0.01 ? 1 : 0)} ms, is{" "}
          {number(pictureMs / (recordedMax - recordedMin))} times this wide
        </text>
      )}
      <text className="q" x={right} y={34} textAnchor="end">
        ms late
      </text>
      {columns.map((value) => (
        <g key={value}>
          <text x={x(value)} y={54} textAnchor="middle" className={value === 0 ? "" : "q"}>
            {value === 0 ? "0" : number(value, digits)}
          </text>
          <line className="axis" x1={x(value)} x2={x(value)} y1={top - 5} y2={top} />
        </g>
      ))}
      {[-restTick, 0, restTick]
        .filter((v) => Math.abs(v) <= rest)
        .map((value) => (
          <g key={value}>
            <text
              x={restCentre + value * perMs}
              y={54}
              textAnchor="middle"
              className={value === 0 ? "" : "q"}
            >
              {value === 0 ? "0" : number(value, digits)}
            </text>
            <line
              className="axis"
              x1={restCentre + value * perMs}
              x2={restCentre + value * perMs}
              y1={top - 5}
              y2={top}
            />
          </g>
        ))}

      {rows.map((tick, i) => (
        <g key={tick.at}>
          <text className="q" x={0} y={y(tick.at) + 4}>
            {tick.label}
          </text>
          <line className={i === 0 ? "axis" : "rule"} x1={left} x2={right} y1={y(tick.at)} y2={y(tick.at)} />
          <line
            className={i === 0 ? "axis" : "rule"}
            x1={restCentre - rest * perMs}
            x2={restCentre + rest * perMs}
            y1={y(tick.at)}
            y2={y(tick.at)}
          />
        </g>
      ))}

      {clock.claps.slice(0, 12).map((clap, i, claps) => (
        <g key={clap.at}>
          <line className="dots" x1={left} x2={right} y1={y(clap.at)} y2={y(clap.at)} />
          <line
            className="dots"
            x1={restCentre - rest * perMs}
            x2={restCentre + rest * perMs}
            y1={y(clap.at)}
            y2={y(clap.at)}
          />
          {(i === 0 || y(clap.at) - y(claps[i - 1]!.at) > 15) && (
            <text
              className="halo"
              x={right}
              y={y(clap.at) - 5 < top + 12 ? y(clap.at) + 14 : y(clap.at) - 5}
              textAnchor="end"
            >
              clap
            </text>
          )}
        </g>
      ))}

      {clock.findings
        .filter(
          (f) => f.evidence?.from !== undefined && !recordings.some((r) => r.path === f.evidence?.where),
        )
        .map((f) => (
          <text
            key={`${f.code}${f.evidence?.from}`}
            className="sign"
            x={right + 8}
            y={y(f.evidence?.from ?? 0) + 5}
          >
            {signs[f.weight]}
          </text>
        ))}

      {dots.map(({ r, w, delay, left: residual }) => {
        const isFar = delay > recordedMax || delay < recordedMin;
        const tone = w.used ? `fill-${hue(r.device)}` : "faint";
        return (
          <g key={`${r.hash}${w.at}`} opacity={w.used ? 0.35 + 0.3 * Math.min(1, w.weight) : 1}>
            {!isFar && <circle className={tone} cx={x(delay)} cy={y(w.at)} r={1.7} />}
            {w.used && <circle className={tone} cx={restCentre + residual * perMs} cy={y(w.at)} r={1.7} />}
          </g>
        );
      })}

      {[x(0), restCentre].map((centre) => (
        <g key={centre}>
          <line className="zero" x1={centre} x2={centre} y1={top} y2={bottom} />
          <circle className="fill-n" cx={centre} cy={top} r={2.4} />
          <path
            className="fill-n"
            d={`M${centre - 4} ${bottom} h8 v3 h1 l-1.5 13 l-3.5 7 l-3.5 -7 l-1.5 -13 h1z`}
          />
        </g>
      ))}
      {spans
        .filter((s) => s.r.path !== clock.master)
        .map(({ r, lines }) =>
          lines.map((l) => (
            <g key={`${r.hash}${l.from}`} className={`stroke-${hue(r.device)}`}>
              <line
                className="data"
                x1={x(l.delayFrom * 1000)}
                x2={x(l.delayTo * 1000)}
                y1={y(l.from)}
                y2={y(l.to)}
              />
              <line
                className="data"
                x1={x(l.delayFrom * 1000) - 5}
                x2={x(l.delayFrom * 1000) + 5}
                y1={y(l.from)}
                y2={y(l.from)}
              />
              <line
                className="data"
                x1={x(l.delayTo * 1000) - 5}
                x2={x(l.delayTo * 1000) + 5}
                y1={y(l.to)}
                y2={y(l.to)}
              />
            </g>
          )),
        )}
      {clock.claps.slice(0, 12).flatMap((clap) =>
        clap.heardBy.map((heard) => {
          const r = placed.find((p) => p.hash === heard.hash);
          if (!r || r.offset === null) return null;
          const delay = (clap.at - heard.localTime - r.offset) * 1000;
          const tone = r.path === clock.master ? "n" : hue(r.device);
          return (
            <g key={`${clap.at}${heard.hash}`} className={`stroke-${tone}`} strokeWidth={1.2}>
              {delay <= recordedMax && delay >= recordedMin && (
                <circle className="open" cx={x(delay)} cy={y(clap.at)} r={3.8} />
              )}
              <circle
                className="open"
                cx={restCentre + (delay - (leanAt(r, clap.at) ?? 0) * 1000) * perMs}
                cy={y(clap.at)}
                r={3.8}
              />
            </g>
          );
        }),
      )}
      {names.map((n, i) => {
        const top = tops[i]!;
        const ppm = n.r.ratePpm ?? 0;
        return (
          <g key={n.r.hash}>
            <path className="leader" d={`M${n.x + 5} ${n.y} L${labelX - 5} ${top + 12}`} />
            <text className={`halo strong ${hue(n.r.device)}`} x={labelX} y={top + 12}>
              {/^[A-Z]$/.test(n.r.device) ? n.r.device : "recorder"}
              {several(n.r.device)
                ? `, ${ordinal(others.filter((o) => o.device === n.r.device).indexOf(n.r))}`
                : ""}
            </text>
            <text className="halo" x={labelX} y={top + 27}>
              {ppm === 0 ? "true" : `${significant(Math.abs(ppm))} ppm ${ppm > 0 ? "slow" : "fast"}`}
            </text>
          </g>
        );
      })}
      <text x={Math.max(left - 10, x(0) - 40)} y={height - 6}>
        {plumbName}, hung plumb
      </text>
      {others.length > 0 && used.length > 0 && (
        <text
          x={isNarrow ? width : Math.min(restCentre, width - 52)}
          y={height - 6}
          textAnchor={isNarrow ? "end" : "middle"}
        >
          plumb to {closeTime(rms(used.map((d) => d.left)) / 1000)}
        </text>
      )}
    </svg>
  );
}

function ordinal(i: number): string {
  return ["first", "second", "third", "fourth"][i] ?? `file ${i + 1}`;
}

function rms(values: readonly number[]): number {
  return Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / Math.max(1, values.length));
}
