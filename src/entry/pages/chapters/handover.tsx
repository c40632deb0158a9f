import type { ReactNode } from "react";
import type { HandoverResult } from "#documents/chapter-results";
import type { ChapterOnPage, SittingPage } from "#documents/page";
import type { Said } from "#documents/said";
import { useAlone } from "../parts/alone.ts";
import { ChapterSection } from "../parts/chapter-section.tsx";
import { after } from "../parts/chapters.ts";
import { Table } from "../parts/figure.tsx";
import { LoudnessChoice } from "../parts/loudness-choice.tsx";
import { RunAgain } from "../parts/run-again.tsx";
import { fileAddress, fileName } from "../words/addresses.ts";
import { bytes, number } from "../words/numbers.ts";
import { clockTime } from "../words/times.ts";

export function Handover({
  chapter,
  page,
  said,
  isRendered,
}: {
  readonly chapter: ChapterOnPage<"handover">;
  readonly page: SittingPage;
  readonly said: Said | null;
  /** Whether the rendered first cut is the cut as it stands. */
  readonly isRendered: boolean;
}): ReactNode {
  const handover = chapter.result;
  const cut = handover?.firstCut ?? null;
  const alone = useAlone();
  const isLouder =
    cut?.loudnessTarget !== undefined && said !== null && cut.loudnessTarget !== said.loudnessTarget;
  const isStale = cut !== null && (!isRendered || isLouder);
  return (
    <ChapterSection
      place={after[6]!}
      chapter={chapter}
      page={page}
      evidence={
        <>
          {cut && (
            <div className="player">
              <div className="screen">
                {/* biome-ignore lint/a11y/useMediaCaption: the cut's words are the sitter's own; captions come with the transcript */}
                <video
                  ref={alone}
                  src={fileAddress(cut.path)}
                  poster={cut.poster ? fileAddress(cut.poster) : undefined}
                  preload="metadata"
                  controls
                  playsInline
                  aria-label="The first cut, as handed over"
                />
              </div>
            </div>
          )}
          <div className="written" style={{ marginTop: cut ? 22 : 0 }}>
            <Files files={handover?.files ?? []} />
          </div>
        </>
      }
      details={
        <>
          {isStale && (
            <p className="said none-needed" role="status">
              {isRendered
                ? "Another loudness was asked for since these files were written."
                : "The cut has changed since these files were written. They hold the cut as it was before."}{" "}
              {page.running
                ? "They are being written anew; only shots that are new are rendered."
                : "Write them anew when you are done; only shots that are new are rendered."}
            </p>
          )}
          {cut && <Facts cut={cut} />}
          {said && <LoudnessChoice said={said} />}
        </>
      }
      actions={
        <>
          {isStale && <RunAgain page={page} text="Write the files anew" />}
          {cut && (
            <a
              className={isStale ? "link" : "press"}
              href={fileAddress(cut.path)}
              download={fileName(cut.path)}
            >
              Save the first cut{isStale ? " of before" : ""}
            </a>
          )}
        </>
      }
    />
  );
}

function Files({ files }: { readonly files: HandoverResult["files"] }): ReactNode {
  return (
    <Table
      caption="What was written"
      rows={files}
      columns={[
        {
          head: "File",
          cell: (f) => (
            <a
              className="link path"
              style={{ display: "inline" }}
              href={fileAddress(f.path)}
              download={fileName(f.path)}
            >
              {fileName(f.path)}
            </a>
          ),
        },
        { head: "What it is", cell: (f) => f.what },
        { head: "Size", numeric: true, cell: (f) => bytes(f.bytes) },
      ]}
    />
  );
}

function Facts({ cut }: { readonly cut: NonNullable<HandoverResult["firstCut"]> }): ReactNode {
  const rate = cut.frameRate.num / cut.frameRate.den;
  return (
    <div>
      <h3>The first cut</h3>
      <dl className="facts">
        <dt>Runs</dt>
        <dd>{clockTime(cut.durationSeconds, true)}</dd>
        <dt>Picture</dt>
        <dd>
          {cut.width} × {cut.height}
        </dd>
        <dt>Pictures a second</dt>
        <dd>{number(rate, cut.frameRate.den === 1 ? 0 : 3)}</dd>
        <dt>Loudness</dt>
        <dd>{number(cut.loudness.integrated, 1)} LUFS</dd>
        <dt>Highest true peak</dt>
        <dd>{number(cut.loudness.truePeak, 1)} dBTP</dd>
        <dt>Loudness range</dt>
        <dd>{number(cut.loudness.range, 1)} LU</dd>
      </dl>
    </div>
  );
}
