import type { ReactNode } from "react";
import type { ChapterOnPage, SittingPage } from "#documents/page";
import { chapterVerdict } from "../words/finding-words.ts";
import { percent } from "../words/numbers.ts";
import { Prose } from "../words/prose.tsx";
import { leftWords } from "../words/times.ts";
import type { ChapterPlace } from "./chapters.ts";
import { FindingList } from "./finding-list.tsx";
import { signNames } from "./marks.tsx";

/** Number, name, question and command, over paired rules. */
export function Opener({
  place,
  question,
}: {
  readonly place: { readonly id: string; readonly name: string; readonly number?: number };
  readonly question: string;
}): ReactNode {
  return (
    <header className="opener">
      {place.number !== undefined && <span className="number">{place.number}</span>}
      <h2 id={`${place.id}-name`}>{place.name}</h2>
      <span className="question">{question}</span>
      {place.number !== undefined && place.number > 3 && <code>gemel {place.id}</code>}
    </header>
  );
}

/** The opening sentence, with the state of the work beneath it while there is any. */
export function Verdict({
  chapter,
  text,
}: {
  readonly chapter?: ChapterOnPage | undefined;
  readonly text: string;
}): ReactNode {
  const progress =
    chapter?.state === "working" ? (chapter.progress ?? { done: 0, doing: "beginning" }) : null;
  const secondsLeft = chapter?.progress?.secondsLeft ?? null;
  return (
    <>
      <p className="verdict">
        {chapter?.state === "failed" && (
          <span className="sign" title={signNames.stop}>
            <span aria-hidden="true">‡</span>
            <span className="unseen">failed: </span>
          </span>
        )}
        <Prose text={text} />
      </p>
      {progress && (
        <div
          className="working"
          role="progressbar"
          aria-label={progress.doing}
          aria-valuemin={0}
          aria-valuemax={100}
          aria-valuenow={Math.round(progress.done * 100)}
        >
          <span className="tnum">{percent(progress.done)}</span> <Prose text={progress.doing} />
          {secondsLeft !== null && `, ${leftWords(secondsLeft)}`}
          <div className="track">
            <i style={{ width: `${(progress.done * 100).toFixed(1)}%` }} />
          </div>
        </div>
      )}
    </>
  );
}

/** One chapter: verdict, evidence, details, findings, actions, always in that order. */
export function ChapterSection({
  place,
  chapter,
  page,
  evidence,
  details,
  actions,
}: {
  readonly place: ChapterPlace;
  readonly chapter: ChapterOnPage;
  readonly page: SittingPage;
  readonly evidence: ReactNode;
  readonly details?: ReactNode;
  readonly actions?: ReactNode;
}): ReactNode {
  const isOver = chapter.state === "settled" || chapter.state === "failed";
  return (
    <section className="chapter" id={place.id} aria-labelledby={`${place.id}-name`} tabIndex={-1}>
      <Opener place={place} question={chapter.question} />
      <Verdict chapter={chapter} text={chapterVerdict(chapter, page)} />
      <div className="spread">
        <div className="evidence">{evidence}</div>
        <div className="margin">
          {details}
          {(isOver || chapter.findings.length > 0) && (
            <FindingList findings={chapter.findings} page={page} none="Nothing to do." of={place.id} />
          )}
          {actions && <div className="actions">{actions}</div>}
        </div>
      </div>
    </section>
  );
}
