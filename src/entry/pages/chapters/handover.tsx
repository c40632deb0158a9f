import type { ReactNode } from "react";
import type { HandoverResult, StoryResult } from "#documents/chapter-results";
import type { ChapterOnPage, SittingPage } from "#documents/page";
import { ChapterSection } from "../parts/chapter-section.tsx";
import { after } from "../parts/chapters.ts";
import { CutVideo } from "../parts/cut-video.tsx";
import { Table } from "../parts/figure.tsx";
import { fileAddress, fileName } from "../words/addresses.ts";
import { bytes, number } from "../words/numbers.ts";
import { clockTime } from "../words/times.ts";

export function Handover({
  chapter,
  page,
  story,
}: {
  readonly chapter: ChapterOnPage<"handover">;
  readonly page: SittingPage;
  readonly story: StoryResult | null;
}): ReactNode {
  const handover = chapter.result;
  const cut = handover?.firstCut ?? null;
  const middle = story?.events[Math.floor((story?.events.length ?? 0) / 2)];
  return (
    <ChapterSection
      place={after[6]!}
      chapter={chapter}
      page={page}
      evidence={
        <>
          {cut && (
            <CutVideo
              cut={cut}
              poster={middle?.stills?.[middle.camera]}
              label="The first cut, as handed over"
              isFilled={false}
            />
          )}
          <div style={{ marginTop: cut ? 22 : 0 }}>
            <Files files={handover?.files ?? []} />
          </div>
        </>
      }
      details={cut && <Facts cut={cut} />}
      actions={
        cut && (
          <a className="press" href={fileAddress(cut.path)} download={fileName(cut.path)}>
            Save the first cut
          </a>
        )
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
