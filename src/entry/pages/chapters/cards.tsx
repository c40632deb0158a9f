import { type ReactNode, useRef, useState } from "react";
import type { CardsResult } from "#documents/chapter-results";
import type { ChapterOnPage, SittingPage } from "#documents/page";
import { CopyLadder } from "../figures/copy-ladder.tsx";
import { AddRecordings } from "../parts/add-recordings.tsx";
import { ChapterSection } from "../parts/chapter-section.tsx";
import { after } from "../parts/chapters.ts";
import { Table } from "../parts/figure.tsx";
import { fileName } from "../words/addresses.ts";
import { hue } from "../words/devices.ts";
import { bytes, number } from "../words/numbers.ts";
import { length } from "../words/times.ts";

export function Cards({
  chapter,
  page,
}: {
  readonly chapter: ChapterOnPage<"cards">;
  readonly page: SittingPage;
}): ReactNode {
  const cards = chapter.result;
  const files = cards?.files ?? [];
  const [adds, setAdds] = useState(false);
  const button = useRef<HTMLButtonElement>(null);
  const close = () => {
    setAdds(false);
    requestAnimationFrame(() => button.current?.focus());
  };
  return (
    <ChapterSection
      place={after[0]!}
      chapter={chapter}
      page={page}
      evidence={
        <>
          {adds && <AddRecordings page={page} onDone={close} onLeave={close} />}
          {cards && files.length > 0 && <CopyLadder cards={cards} recordings={page.recordings} />}
          <Files files={files} page={page} />
        </>
      }
      details={
        <>
          {cards && cards.copies.length > 0 && <Copies copies={cards.copies} />}
          {files.length > 0 && (
            <dl className="facts">
              <dt>Files</dt>
              <dd>{number(files.length)}</dd>
              <dt>Altogether</dt>
              <dd>{bytes(files.reduce((sum, f) => sum + f.bytes, 0))}</dd>
            </dl>
          )}
        </>
      }
      actions={
        !adds && (
          <button ref={button} type="button" className="link" onClick={() => setAdds(true)}>
            Add recordings
          </button>
        )
      }
    />
  );
}

function Files({
  files,
  page,
}: {
  readonly files: CardsResult["files"];
  readonly page: SittingPage;
}): ReactNode {
  const known = (file: CardsResult["files"][number]) =>
    page.recordings.find((r) => r.hash === file.hash || fileName(r.path) === fileName(file.path));
  return (
    <div style={{ marginTop: 22 }}>
      <Table
        caption="What was on the cards"
        rows={files}
        columns={[
          {
            head: "File, and the hash of its content",
            cell: (f) => {
              const recording = known(f);
              return (
                <>
                  {recording && (
                    <b className={hue(recording.device)}>
                      {/^[A-Z]$/.test(recording.device) ? recording.device : "Recorder"}{" "}
                    </b>
                  )}
                  <span className="path">{fileName(f.path)}</span>
                  <br />
                  <span className="hash">{f.hash}</span>
                </>
              );
            },
          },
          {
            head: "Runs",
            numeric: true,
            cell: (f) => {
              const recording = known(f);
              return recording ? length(recording.probe.durationSeconds) : "–";
            },
          },
          { head: "Size", numeric: true, cell: (f) => bytes(f.bytes) },
        ]}
      />
    </div>
  );
}

function Copies({ copies }: { readonly copies: CardsResult["copies"] }): ReactNode {
  return (
    <Table
      caption="The copies"
      rows={copies}
      columns={[
        {
          head: "Place",
          cell: (c) => (
            <>
              <span className="path">{c.place}</span>
              {c.manifest && (
                <>
                  <br />
                  <span className="least path">{fileName(c.manifest)}</span>
                </>
              )}
            </>
          ),
        },
        { head: "Read back alike", numeric: true, cell: (c) => number(c.verified) },
        { head: "Not alike", numeric: true, cell: (c) => (c.failed > 0 ? <b>‡ {number(c.failed)}</b> : "0") },
      ]}
    />
  );
}
