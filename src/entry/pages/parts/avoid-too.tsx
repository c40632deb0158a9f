import { type ReactNode, useState } from "react";
import type { WatchResult } from "#documents/chapter-results";
import type { Recording } from "#documents/recording";
import { say } from "../data/say.ts";
import { fileName } from "../words/addresses.ts";
import { deviceName } from "../words/devices.ts";
import { clockTime } from "../words/times.ts";
import { MomentField } from "./moment-field.tsx";

/** A stretch of a camera's file that the cut is to stay off although nothing was seen there. */
export function AvoidToo({
  watch,
  recordings,
}: {
  readonly watch: WatchResult;
  readonly recordings: readonly Recording[];
}): ReactNode {
  const [hash, setHash] = useState(watch.recordings[0]?.hash ?? "");
  const [from, setFrom] = useState(0);
  const [to, setTo] = useState(2);
  const own = watch.recordings.find((r) => r.hash === hash) ?? watch.recordings[0];
  if (!own) return null;
  const known = recordings.find((r) => r.hash === own.hash);
  const end = known ? (known.readableSeconds ?? known.probe.durationSeconds) : (own.looks.at(-1)?.at ?? 0);
  const problem =
    to <= from
      ? "It must end after it begins."
      : from >= end
        ? `The file ends at ${clockTime(end, true)}.`
        : null;
  const frame = (at: number): string =>
    `api/frame?${new URLSearchParams({ hash: own.hash, at: Math.min(at, Math.max(0, end - 0.1)).toFixed(2), width: "480" })}`;
  return (
    <fieldset className="by-hand">
      <legend>Avoid this too</legend>
      <div className="times">
        {watch.recordings.length > 1 && (
          <label>
            Recording
            <select value={own.hash} onChange={(event) => setHash(event.target.value)}>
              {watch.recordings.map((r) => (
                <option key={r.hash} value={r.hash}>
                  {deviceName(r.device)}, {fileName(r.path)}
                </option>
              ))}
            </select>
          </label>
        )}
        <MomentField label="From, of its file" value={from} onSet={setFrom} />
        <MomentField label="To" value={to} onSet={setTo} />
      </div>
      {problem ? (
        <p role="status">{problem}</p>
      ) : (
        <div className="frames">
          <img
            src={frame(from)}
            alt={`${deviceName(own.device)} at ${clockTime(from, true)} of its file`}
            loading="lazy"
          />
          <img
            src={frame(to)}
            alt={`${deviceName(own.device)} at ${clockTime(to, true)} of its file`}
            loading="lazy"
          />
        </div>
      )}
      <p className="acts" style={{ marginTop: 8 }}>
        <button
          type="button"
          className="link"
          disabled={problem !== null}
          onClick={() => say({ kind: "picture", hash: own.hash, from, to: Math.min(to, end), says: "avoid" })}
        >
          Keep it out of the cut
        </button>
      </p>
    </fieldset>
  );
}
