import { memo, type ReactNode } from "react";
import type { ClockResult } from "#documents/chapter-results";
import { fileAddress, fileName } from "../words/addresses.ts";
import { deviceName, hue } from "../words/devices.ts";
import { number } from "../words/numbers.ts";
import { clockTime, smallTime } from "../words/times.ts";

/** A local time to the thousandth: "0:12.345". */
const exact = (seconds: number): string =>
  `${clockTime(Math.floor(seconds))}${number(seconds - Math.floor(seconds), 3).slice(1)}`;

/** The claps that every recording shares: the frame of each camera and the time in each file. */
export const ClapFrames = memo(function ClapFrames({ clock }: { readonly clock: ClockResult }): ReactNode {
  const byHash = new Map(clock.recordings.map((r) => [r.hash, r]));
  const pictured = clock.claps.filter((clap) => clap.heardBy.some((h) => h.still));
  const slates = clock.recordings.filter((r) => (r.picture?.slate?.stills?.length ?? 0) > 0);
  if (pictured.length === 0 && slates.length === 0) return null;
  return (
    <section className="claps" aria-label="Claps">
      {pictured.length > 0 && <h3>The frame of each camera as a clap is heard</h3>}
      {pictured.map((clap) => (
        <div key={clap.at} className="clap">
          <p className="caption">
            <span className="tnum">{clockTime(clap.at, true)}</span> of the sitting
          </p>
          <ul>
            {clap.heardBy.map((heard) => {
              const recording = byHash.get(heard.hash);
              if (!recording) return null;
              return (
                <li key={heard.hash}>
                  {heard.still ? (
                    <img
                      src={fileAddress(heard.still)}
                      alt={`${deviceName(recording.device)}, the frame as the clap is heard`}
                    />
                  ) : (
                    <span className="no-picture">sound only</span>
                  )}
                  <b className={hue(recording.device)}>{recording.device}</b>{" "}
                  <span className="path">{fileName(recording.path)}</span>
                  <br />
                  <span className="tnum">{exact(heard.localTime)}</span>
                  {heard.frame !== undefined && <span className="least">, frame {number(heard.frame)}</span>}
                </li>
              );
            })}
          </ul>
        </div>
      ))}
      <div className="slates">
        {slates.map((r) => (
          <Slate key={r.hash} recording={r} />
        ))}
      </div>
    </section>
  );
});

const perFrame = 118;

/** Three frames down the page, and beside them when the clap happened and when it was heard. */
function Slate({ recording }: { readonly recording: ClockResult["recordings"][number] }): ReactNode {
  const slate = recording.picture!.slate!;
  const stills = slate.stills!;
  const first = stills[0]!.at;
  const height = perFrame * stills.length;
  const y = (at: number): number =>
    Math.min(height - 4, Math.max(4, ((at - first) / slate.frameSeconds) * perFrame));
  // What is late is measured against the moment it happened; the sound was on its way from then.
  const happened = slate.seenAt - slate.late;
  const isIn = (at: number): boolean => at >= first && at < first + slate.frameSeconds * stills.length;
  const moments = [
    { at: happened, name: "it happened", look: "data stroke-n" },
    { at: slate.heardAt, name: "it was heard", look: "dots" },
  ];
  const tops =
    y(slate.heardAt) - y(happened) < 18
      ? [y(happened) - 6, y(happened) + 14]
      : [y(happened), y(slate.heardAt)];
  return (
    <div className="slate">
      <h3>
        Seen against heard, camera <b className={hue(recording.device)}>{recording.device}</b>
      </h3>
      <p className="caption">
        The first frame that shows it begins {smallTime(Math.abs(slate.late))}{" "}
        {slate.late < 0 ? "before" : "after"} it happened; a frame lasts {smallTime(slate.frameSeconds)}.
        {recording.picture!.by === "slate" ? " The picture was moved by that." : " That is within a frame."}
      </p>
      <div className="slate-frames" style={{ height }}>
        <ul>
          {stills.map(({ at, path }) => (
            <li key={at} style={{ height: perFrame }}>
              <img src={fileAddress(path)} alt={`Camera ${recording.device} at ${exact(at)}`} />
              <span className="tnum least">{exact(at)}</span>
            </li>
          ))}
        </ul>
        <div className="fig">
          <svg
            width="170"
            height={height}
            role="img"
            aria-label={`It happened at ${exact(happened)} and was heard at ${exact(slate.heardAt)} of the file; the first frame that shows it begins at ${exact(slate.seenAt)}.`}
          >
            <line className="axis" x1={8} x2={8} y1={0} y2={height} />
            {stills.map(({ at }) => (
              <line key={at} className="axis" x1={2} x2={14} y1={y(at)} y2={y(at)} />
            ))}
            {moments.map(({ at, name, look }, i) => (
              <g key={name}>
                <path className={look} fill="none" d={`M8 ${y(at)}H24L34 ${tops[i]}`} />
                <text x={38} y={tops[i]! + 4}>
                  {name}
                  {isIn(at) ? "" : at < first ? ", further up" : ", further down"}
                </text>
              </g>
            ))}
          </svg>
        </div>
      </div>
    </div>
  );
}
