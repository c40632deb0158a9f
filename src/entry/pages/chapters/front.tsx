import { type ReactNode, useState } from "react";
import type { ChapterOnPage, SittingPage } from "#documents/page";
import type { Said } from "#documents/said";
import { SmallBraid } from "../figures/braid.tsx";
import { AddRecordings } from "../parts/add-recordings.tsx";
import { Verdict } from "../parts/chapter-section.tsx";
import { after, before } from "../parts/chapters.ts";
import { CutVideo, type Played } from "../parts/cut-video.tsx";
import { FindingList } from "../parts/finding-list.tsx";
import { ChapterMark } from "../parts/marks.tsx";
import { useMeasuredWidth } from "../parts/measured-width.ts";
import { TitleInPlace } from "../parts/title-in-place.tsx";
import { fileAddress } from "../words/addresses.ts";
import { chapterVerdict } from "../words/finding-words.ts";
import { Prose } from "../words/prose.tsx";
import { sittingVerdict } from "../words/sitting-verdict.ts";

/** What the page opens on: the cut playing beside its braid, every chapter's sentence, every finding. */
export function Front({
  page,
  said,
  story: chapter,
  played,
}: {
  readonly page: SittingPage;
  readonly said: Said | null;
  /** Story as it stands with all that is said. */
  readonly story: ChapterOnPage<"story">;
  readonly played: Played | null;
}): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const story = chapter.result;
  const first = story?.events[0];
  const firstStill = first?.stills?.[first.camera];
  // A sheet of paper plays nothing: it shows the cut's first picture.
  const printed = played?.kind === "file" ? (played.poster ?? firstStill) : firstStill;
  const findings = page.chapters.flatMap((chapter) =>
    chapter.findings.map((f) => ({
      ...f,
      chapter: {
        id: chapter.name,
        name: [...before, ...after].find((p) => p.id === chapter.name)?.name ?? chapter.name,
      },
    })),
  );
  const working = page.chapters.find((c) => c.state === "working");
  const [all, setAll] = useState(false);
  const most = 6;
  return (
    <section className="chapter" id="sitting" aria-labelledby="sitting-name" tabIndex={-1}>
      <header className="opener">
        <TitleInPlace title={said?.title ?? page.title} />
        <span className="question">What has become of it?</span>
      </header>
      <Verdict chapter={working} text={sittingVerdict(page, story)} />
      {played && (
        <div className="front">
          <div ref={ref}>
            {printed && <img className="on-paper" src={fileAddress(printed)} alt="The cut as it opens" />}
            <CutVideo played={played} poster={firstStill} label="The first cut" />
          </div>
          {story && story.events.length > 0 && width > 0 && (
            <SmallBraid story={story} height={Math.max(300, Math.min(560, Math.round((width * 9) / 16)))} />
          )}
        </div>
      )}
      {isBare(page) && (
        <div className="bring">
          <AddRecordings page={page} />
        </div>
      )}
      <div className={played ? "spread front-second" : "spread"}>
        <div>
          <h2 className="section-head" style={{ font: "500 18px/24px var(--serif)" }}>
            Chapter by chapter
          </h2>
          <ul className="contents-list">
            {[...before.filter(({ id }) => id !== "day"), ...after].map((place) => {
              const chapter = page.chapters.find((c) => c.name === place.id);
              return (
                <li key={place.id}>
                  <a href={`#${place.id}`}>
                    <span className="number">{place.number}</span>
                    <span className="name">{place.name}</span>
                    <span className="line">
                      <Prose text={chapter ? chapterVerdict(chapter, page) : "Not begun."} />
                    </span>
                    <ChapterMark state={chapter?.state ?? "notBegun"} findings={chapter?.findings ?? []} />
                  </a>
                </li>
              );
            })}
          </ul>
        </div>
        <div>
          <h2 style={{ font: "500 18px/24px var(--serif)", paddingBottom: 4 }}>Worth a look</h2>
          <FindingList
            findings={all ? findings : firstOf(findings, most)}
            page={page}
            none={
              page.chapters.some((c) => c.state === "settled")
                ? "Nothing need be done."
                : "Nothing has been found yet."
            }
          />
          {findings.length > most && (
            <p style={{ marginTop: 12 }}>
              <button type="button" className="link" aria-expanded={all} onClick={() => setAll(!all)}>
                {all ? "Show the worst only" : `Show all ${findings.length}`}
              </button>
            </p>
          )}
        </div>
      </div>
    </section>
  );
}

/** Whether nobody brought a recording yet, and none is on its way. */
function isBare(page: SittingPage): boolean {
  const cards = page.chapters.find(({ name }) => name === "cards");
  return (
    page.recordings.length === 0 && !page.running && cards?.state !== "working" && cards?.state !== "failed"
  );
}

function firstOf<F extends { readonly weight: "stop" | "warn" | "note" }>(
  findings: readonly F[],
  most: number,
): F[] {
  const order = { stop: 0, warn: 1, note: 2 };
  return findings.toSorted((p, q) => order[p.weight] - order[q.weight]).slice(0, most);
}
