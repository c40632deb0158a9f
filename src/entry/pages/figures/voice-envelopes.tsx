import { memo, type ReactNode, useEffect, useMemo, useRef } from "react";
import type { VoiceResult } from "#documents/chapter-results";
import type { Said } from "#documents/said";
import { envelopePath } from "#science/drawing/envelope-path";
import { signs } from "../parts/marks.tsx";
import { useMeasuredWidth } from "../parts/measured-width.ts";
import { stretchesOf } from "../parts/microphone-choice.tsx";
import { weightAt } from "../parts/sign-at.ts";
import { fileName } from "../words/addresses.ts";
import { clockTime } from "../words/times.ts";
import { spreadLabels } from "./spread-labels.ts";
import { scale, timeTicks } from "./ticks.ts";

export const faultNames: Record<VoiceResult["faults"][number]["kind"], string> = {
  clipping: "clipped",
  rustle: "rustle",
  wind: "wind",
  hum: "hum",
  dropout: "dropout",
  noise: "noise",
};

type Chosen = Pick<VoiceResult["segments"][number], "start" | "end" | "source">;

/** Both microphones down the page, the chosen one inked, and the dialogue made of them; a line follows what plays. */
export const VoiceEnvelopes = memo(function VoiceEnvelopes({
  voice,
  audio,
  said,
  onPlayFrom,
}: {
  readonly voice: VoiceResult;
  readonly audio: HTMLAudioElement | null;
  readonly said: Said | null;
  /** A place was pressed: of which sound, and when, sitting time. */
  readonly onPlayFrom: (name: string, at: number) => void;
}): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const segments = useMemo(() => (said ? stretchesOf(voice, said) : voice.segments), [voice, said]);
  const height = 560;
  const top = 34;
  const from = Math.min(...voice.envelopes.map((e) => e.from), 0);
  const to = Math.max(1, ...voice.envelopes.map((e) => e.from + e.peaks.length / e.perSecond));
  const y = scale(from, to, top, height - 8);
  return (
    // biome-ignore lint/a11y/useKeyWithClickEvents: the slide beside it takes the keys, and does the same
    // biome-ignore lint/a11y/noStaticElementInteractions: as above
    <div
      className="fig"
      ref={ref}
      style={{ minHeight: height, cursor: "pointer" }}
      onClick={(event) => {
        const box = event.currentTarget.getBoundingClientRect();
        const { left, column } = columnsOf(width, voice.envelopes.length);
        const index = Math.floor((event.clientX - box.left - left) / column);
        const at = from + ((event.clientY - box.top - top) / (height - 8 - top)) * (to - from);
        const name = voice.envelopes[index]?.name;
        if (name && at >= from && at < to) onPlayFrom(name, at);
      }}
    >
      {width > 0 && (
        <Drawing
          voice={voice}
          segments={segments}
          width={width}
          height={height}
          top={top}
          from={from}
          to={to}
          y={y}
        />
      )}
      <Place audio={audio} dialogueStart={voice.dialogueStart} y={y} left={width < 520 ? 32 : 48} />
    </div>
  );
});

/** Where the columns of the sounds begin, and how wide each is. */
function columnsOf(width: number, many: number): { left: number; labels: number; column: number } {
  const left = width < 520 ? 40 : 56;
  const labels = width < 520 ? 62 : 92;
  return { left, labels, column: (width - left - labels) / Math.max(1, many) };
}

function Drawing({
  voice,
  segments,
  width,
  height,
  top,
  from,
  to,
  y,
}: {
  readonly voice: VoiceResult;
  /** With all that is said, measured or not. */
  readonly segments: readonly Chosen[];
  readonly width: number;
  readonly height: number;
  readonly top: number;
  readonly from: number;
  readonly to: number;
  readonly y: (time: number) => number;
}): ReactNode {
  const { left, labels, column } = columnsOf(width, voice.envelopes.length);
  const half = Math.min(90, column * 0.42);
  const isChosen = (name: string) => (s: Chosen) => s.source === name || s.source === "both";
  const roleOf = (fault: VoiceResult["faults"][number]) =>
    voice.roles.find((r) => r.path === fault.path && r.channel === fault.channel)?.role;
  const centreOf = (name: string) =>
    left + column * (voice.envelopes.findIndex((e) => e.name === name) + 0.5);
  // Only so many have room for their names: the longest. The others keep their bands, and the table has all.
  const named = new Set(voice.faults.toSorted((p, q) => q.end - q.start - (p.end - p.start)).slice(0, 16));
  const faults = voice.faults.filter((f) => named.has(f)).sort((p, q) => p.start - q.start);
  const tops = spreadLabels(
    faults.map((f) => ({ y: y((f.start + f.end) / 2) - 8, height: 30 })),
    height,
    2,
  );

  return (
    <svg
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={`Loudness of ${voice.envelopes.map((e) => e.name).join(", ")}, time running down. ${segments
        .map(
          (s) =>
            `${s.source === "both" ? "both microphones" : `the ${s.source}`} from ${clockTime(s.start)} to ${clockTime(s.end)}`,
        )
        .slice(0, 30)
        .join(
          "; ",
        )}. ${faults.map((f) => `${faultNames[f.kind]} on the ${roleOf(f) ?? "channel"} at ${clockTime(f.start)}`).join("; ")}`}
    >
      {timeTicks(from, to, 9).map((tick) => (
        <g key={tick.at}>
          <text className="q" x={0} y={y(tick.at) + 4}>
            {tick.label}
          </text>
          <line className="rule" x1={left} x2={width - labels} y1={y(tick.at)} y2={y(tick.at)} />
        </g>
      ))}
      <line className="axis" x1={left} x2={width - labels} y1={top - 6} y2={top - 6} />
      {voice.faults
        .filter((f) => !named.has(f))
        .map((f) => (
          <rect
            key={`${f.kind}${f.start}`}
            className="wash"
            x={centreOf(roleOf(f) ?? "lav") - half - 5}
            width={half * 2 + 10}
            y={y(f.start)}
            height={Math.max(3, y(f.end) - y(f.start))}
          />
        ))}
      {faults.map((f, i) => {
        const centre = centreOf(roleOf(f) ?? "lav");
        const height = Math.max(3, y(f.end) - y(f.start));
        const labelY = tops[i]! + 8;
        return (
          <g key={`${f.kind}${f.start}`}>
            <rect
              className="wash"
              x={centre - half - 5}
              width={half * 2 + 10}
              y={y(f.start)}
              height={height}
            />
            <path
              className="leader"
              d={`M${centre + half + 5} ${y(f.start) + height / 2} H${width - labels} L${width - labels + 8} ${labelY}`}
            />
            <text className="sign" x={width - labels + 12} y={labelY + 5}>
              {
                signs[
                  weightAt(voice.findings, { from: f.start, to: f.end }, [f.path, fileName(f.path)]) ?? "note"
                ]
              }
            </text>
            <text x={width - labels + 22} y={labelY + 4}>
              {faultNames[f.kind]}
            </text>
            <text className="q" x={width - labels + 22} y={labelY + 18}>
              {clockTime(f.start)}
            </text>
          </g>
        );
      })}
      {voice.envelopes.map((e) => {
        const centre = centreOf(e.name);
        const end = e.from + e.peaks.length / e.perSecond;
        return (
          <g key={e.name}>
            <text className="head" x={centre} y={16} textAnchor="middle">
              {e.name}
            </text>
            <path className="faint" d={envelopePath(e, { start: e.from, end }, y, centre, half)} />
            {(e.name === "dialogue"
              ? [{ start: e.from, end }]
              : joined(segments.filter(isChosen(e.name)))
            ).map((s) => (
              <path key={s.start} className="fill-n" d={envelopePath(e, s, y, centre, half)} />
            ))}
          </g>
        );
      })}
    </svg>
  );
}

/** Neighbouring stretches as one, so that no seam shows where nothing changes. */
function joined(
  segments: readonly { readonly start: number; readonly end: number }[],
): { start: number; end: number }[] {
  const whole: { start: number; end: number }[] = [];
  for (const s of segments) {
    const last = whole.at(-1);
    if (last && s.start - last.end < 1e-3) last.end = s.end;
    else whole.push({ start: s.start, end: s.end });
  }
  return whole;
}

/** The playing line; it moves with the sound without drawing the figure again. */
function Place({
  audio,
  dialogueStart,
  y,
  left,
}: {
  readonly audio: HTMLAudioElement | null;
  readonly dialogueStart: number;
  readonly y: (time: number) => number;
  readonly left: number;
}): ReactNode {
  const line = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (!audio) return;
    let frame = 0;
    const move = () => {
      const element = line.current;
      if (element) {
        element.style.top = `${y(dialogueStart + audio.currentTime)}px`;
        element.hidden = audio.currentTime === 0 && audio.paused;
      }
      if (!audio.paused) frame = requestAnimationFrame(move);
    };
    move();
    for (const event of ["play", "pause", "seeked"]) audio.addEventListener(event, move);
    return () => {
      cancelAnimationFrame(frame);
      for (const event of ["play", "pause", "seeked"]) audio.removeEventListener(event, move);
    };
  }, [audio, dialogueStart, y]);
  return <div ref={line} hidden className="play-line" style={{ left, right: 0 }} />;
}
