import { type ReactNode, useState } from "react";
import type { WatchResult } from "#documents/chapter-results";
import type { PictureSaid, Said } from "#documents/said";
import { say } from "../data/say.ts";
import { SaidBar } from "../parts/said-bar.tsx";
import { fileAddress, fileName } from "../words/addresses.ts";
import { deviceName, hue } from "../words/devices.ts";
import { number } from "../words/numbers.ts";
import { Prose } from "../words/prose.tsx";
import { clockTime } from "../words/times.ts";
import { kinds } from "./watch-columns.tsx";

type Watched = WatchResult["recordings"][number];
type Range = Watched["ranges"][number];

/** One thing that was seen, with what was said of it since. */
interface Proof {
  readonly recording: Watched;
  readonly range: Range;
  /** As said now; it may not be measured yet. */
  readonly isFine: boolean;
}

/** Seen ranges and those called fine, worst first. */
export function proofsOf(watch: WatchResult, said: Said | null): Proof[] {
  const fine = (hash: string, { start, end }: Range): boolean =>
    (said?.pictures ?? []).some(
      (one) => one.hash === hash && one.says === "fine" && one.from <= start + 0.05 && one.to >= end - 0.05,
    );
  return watch.recordings
    .flatMap((recording) => [
      ...recording.ranges
        // What was to be avoided and is taken back goes at once.
        .filter((range) => !range.said || stillAsked(recording.hash, range, said))
        .map((range) => ({ recording, range, isFine: fine(recording.hash, range) })),
      ...(recording.overruled ?? []).map((range) => ({
        recording,
        range,
        isFine: said === null || fine(recording.hash, range),
      })),
    ])
    .sort((p, q) => Number(p.isFine) - Number(q.isFine) || q.range.severity - p.range.severity);
}

function stillAsked(hash: string, { start, end }: Range, said: Said | null): boolean {
  return (
    said === null ||
    said.pictures.some((one) => one.hash === hash && one.says === "avoid" && one.from < end && one.to > start)
  );
}

const firstShown = 6;

/** Each range with the frame that proves it between good ones, and what a person may say of it. */
export function WatchProofs({
  watch,
  said,
}: {
  readonly watch: WatchResult;
  readonly said: Said | null;
}): ReactNode {
  const [showsAll, setShowsAll] = useState(false);
  const proofs = proofsOf(watch, said);
  // Said here, and not measured yet.
  const waiting = (said?.pictures ?? []).filter(
    (one) =>
      one.says === "avoid" &&
      !watch.recordings.some(
        (r) =>
          r.hash === one.hash && r.ranges.some((k) => k.said && k.start === one.from && k.end === one.to),
      ),
  );
  if (proofs.length === 0 && waiting.length === 0) return null;
  const shown = showsAll ? proofs : proofs.slice(0, firstShown);
  return (
    <section className="proofs" aria-label="What was seen, frame by frame">
      <h3>The frames that prove it</h3>
      {shown.map((proof) => (
        <Row
          key={`${proof.recording.hash}${proof.range.kind}${proof.range.start}`}
          proof={proof}
          canSay={said !== null}
        />
      ))}
      {waiting.map((one) => (
        <Waiting key={`${one.hash}${one.from}`} one={one} watch={watch} />
      ))}
      {proofs.length > firstShown && (
        <p>
          <button
            type="button"
            className="link"
            aria-expanded={showsAll}
            onClick={() => setShowsAll(!showsAll)}
          >
            {showsAll ? "Only the worst" : `All ${number(proofs.length)}`}
          </button>
        </p>
      )}
      <SaidBar only="picture" />
    </section>
  );
}

function Row({ proof, canSay }: { readonly proof: Proof; readonly canSay: boolean }): ReactNode {
  const { recording, range, isFine } = proof;
  const name = `${deviceName(recording.device)} ${kinds[range.kind]} at ${clockTime(range.start, true)}`;
  const stretch = { hash: recording.hash, from: range.start, to: range.end };
  return (
    <article className={isFine ? "proof-row fine" : "proof-row"} aria-label={name}>
      <p>
        <b className={hue(recording.device)}>{recording.device}</b> <b>{kinds[range.kind]}</b>{" "}
        <span className="tnum">
          {clockTime(range.start, true)}–{clockTime(range.end, true)}
        </span>{" "}
        of <span className="path">{fileName(recording.path)}</span>
        {isFine && ", called fine: the cut may use it"}
      </p>
      {range.still ? (
        <ul>
          <Frame path={range.before?.path} says="before" at={range.before?.at} of={name} />
          <Frame path={range.still} says={kinds[range.kind]} at={range.stillAt} of={name} isBad />
          <Frame path={range.after?.path} says="after" at={range.after?.at} of={name} />
        </ul>
      ) : null}
      <p className="caption">
        <Prose text={range.evidence} />
      </p>
      {canSay && range.kind !== "stopped" && (
        <p className="acts">
          {range.said ? (
            <button
              type="button"
              className="link"
              aria-label={`Use it after all: ${name}`}
              onClick={() => say({ kind: "picture", ...stretch, says: null })}
            >
              Use it after all
            </button>
          ) : isFine ? (
            <button
              type="button"
              className="link"
              aria-label={`Avoid it after all: ${name}`}
              onClick={() => say({ kind: "picture", ...stretch, says: null })}
            >
              Avoid it after all
            </button>
          ) : (
            <button
              type="button"
              className="link"
              aria-label={`This is fine: ${name}`}
              onClick={() => say({ kind: "picture", ...stretch, says: "fine" })}
            >
              This is fine
            </button>
          )}
        </p>
      )}
    </article>
  );
}

function Frame({
  path,
  says,
  at,
  of,
  isBad = false,
}: {
  readonly path: string | undefined;
  readonly says: string;
  readonly at: number | undefined;
  readonly of: string;
  readonly isBad?: boolean;
}): ReactNode {
  if (path === undefined)
    return (
      <li>
        <span className="empty">
          {says === "before" ? "nothing good before it" : "nothing good after it"}
        </span>
      </li>
    );
  return (
    <li className={isBad ? "bad" : undefined}>
      <img src={fileAddress(path)} alt={isBad ? of : `${of}: ${says}`} />
      {says} <span className="tnum least">{at === undefined ? "" : clockTime(at, true)}</span>
    </li>
  );
}

function Waiting({ one, watch }: { readonly one: PictureSaid; readonly watch: WatchResult }): ReactNode {
  const recording = watch.recordings.find((r) => r.hash === one.hash);
  if (!recording) return null;
  return (
    <p className="caption" role="status">
      {deviceName(recording.device)}, {clockTime(one.from, true)}–{clockTime(one.to, true)} of{" "}
      {fileName(recording.path)}: to be avoided; its frames are being taken.
    </p>
  );
}
