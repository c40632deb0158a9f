import { type ReactNode, useState } from "react";
import type { Finding } from "#documents/finding";
import type { SittingPage } from "#documents/page";
import { cutPlayer } from "../data/cut-player.ts";
import { sittingToProgram } from "../words/cut-time.ts";
import { findingSays, recordingOf } from "../words/finding-words.ts";
import { Prose } from "../words/prose.tsx";
import { clockTime } from "../words/times.ts";
import { Sign, worstFirst } from "./marks.tsx";
import { PictureAreas } from "./picture-areas.tsx";

/** Findings, worst first, each with its remedy and at most one thing to do. */
export function FindingList({
  findings,
  page,
  none,
  of,
  first = 0,
}: {
  readonly findings: readonly (Finding & { readonly chapter?: { id: string; name: string } })[];
  readonly page: SittingPage;
  readonly none: string;
  /** The chapter whose own list this is; a list of all chapters jumps to theirs. */
  readonly of?: string;
  /** How many of the chapter's findings come before these. */
  readonly first?: number;
}): ReactNode {
  if (findings.length === 0) return <p className="none-needed said">{none}</p>;
  return (
    <ul className="findings">
      {worstFirst(findings).map((finding, i) => (
        <li
          // biome-ignore lint/suspicious/noArrayIndexKey: two findings may be word for word alike
          key={`${finding.code}-${i}`}
          className="finding"
          id={of && `${of}-finding-${first + i}`}
          data-finding
          tabIndex={-1}
        >
          <Sign weight={finding.weight} />
          <div>
            <p className="says">
              <Prose text={findingSays(finding, page)} />
            </p>
            <p className="remedy">
              <Prose text={finding.remedy} /> <Action finding={finding} page={page} />
            </p>
          </div>
        </li>
      ))}
    </ul>
  );
}

/** The id of a finding's row in its own chapter, beside the evidence. */
function rowOf(finding: Finding, chapter: string, page: SittingPage): string {
  const own = page.chapters.find((c) => c.name === chapter)?.findings ?? [];
  const at = worstFirst(own).findIndex((f) => f.code === finding.code && f.says === finding.says);
  return at < 0 ? chapter : `${chapter}-finding-${at}`;
}

/** The evidence: in its chapter where the list is of all chapters, else in the cut where that moment was kept. */
function Action({
  finding,
  page,
}: {
  readonly finding: Finding & { readonly chapter?: { id: string; name: string } };
  readonly page: SittingPage;
}): ReactNode {
  const about = finding.chapter;
  if (about)
    return (
      <a className="link" href={`#${rowOf(finding, about.id, page)}`}>
        See it in {about.name}
      </a>
    );
  const from = finding.evidence?.from;
  if (from === undefined) return null;
  const program = programTime(finding, page);
  if (program === null) return <Picture finding={finding} page={page} />;
  return (
    <button type="button" className="link" onClick={() => cutPlayer.playFrom(Math.max(0, program - 1))}>
      Play the cut at {clockTime(program)}
    </button>
  );
}

/** The frame that proves a finding about a recording, which the cut does not show. */
function Picture({ finding, page }: { readonly finding: Finding; readonly page: SittingPage }): ReactNode {
  const [isShown, setShown] = useState(false);
  const recording = recordingOf(finding, page);
  const { from = 0, to = from } = finding.evidence ?? {};
  if (!recording?.probe.picture) return null;
  const areas = finding.evidence?.areas ?? [];
  const { width, height, rotationDegrees } = recording.probe.picture;
  const size = rotationDegrees % 180 === 0 ? { width, height } : { width: height, height: width };
  const at = (from + to) / 2;
  return (
    <>
      <button type="button" className="link" aria-expanded={isShown} onClick={() => setShown(!isShown)}>
        {isShown ? "Hide the picture" : "See the picture"}
      </button>
      {isShown && (
        <div className="found-at proof">
          <img
            src={`api/frame?${new URLSearchParams({ hash: recording.hash, at: at.toFixed(3), width: "960" })}`}
            alt={`Camera ${recording.device}, ${clockTime(at, true)} of its file${areas.length > 0 ? "; where it is seen is outlined" : ""}`}
          />
          {areas.length > 0 && <PictureAreas size={size} areas={areas} />}
        </div>
      )}
    </>
  );
}

/** Where the finding's moment is seen in the cut; null where it is not, or where its time is not known. */
function programTime(finding: Finding, page: SittingPage): number | null {
  const story = page.chapters.find((c) => c.name === "story")?.result;
  if (!story || !("events" in story)) return null;
  const from = finding.evidence?.from ?? 0;
  const recording = recordingOf(finding, page);
  if (!recording) return sittingToProgram(story.events, from);
  const event = story.events.find(
    (e) => e.hash === recording.hash && from >= e.sourceStart && from < e.sourceEnd,
  );
  return event ? event.start + from - event.sourceStart : null;
}
