import type { ReactNode } from "react";
import type { ClockResult } from "#documents/chapter-results";
import type { ChapterOnPage, SittingPage } from "#documents/page";
import { useSaid } from "../data/held-sitting.ts";
import { EmptyAxes } from "../figures/empty-axes.tsx";
import { kinds, WatchColumns } from "../figures/watch-columns.tsx";
import { WatchProofs } from "../figures/watch-proofs.tsx";
import { AvoidToo } from "../parts/avoid-too.tsx";
import { ChapterSection } from "../parts/chapter-section.tsx";
import { after } from "../parts/chapters.ts";
import { Figure, Table } from "../parts/figure.tsx";
import { fileName } from "../words/addresses.ts";
import { hue } from "../words/devices.ts";
import { number } from "../words/numbers.ts";
import { Prose } from "../words/prose.tsx";
import { clockTime, length } from "../words/times.ts";

export function Watch({
  chapter,
  page,
  clock,
}: {
  readonly chapter: ChapterOnPage<"watch">;
  readonly page: SittingPage;
  readonly clock: ClockResult | null;
}): ReactNode {
  const watch = chapter.result;
  const said = useSaid();
  const ranges = watch?.recordings.flatMap((r) => r.ranges.map((range) => ({ r, range }))) ?? [];
  const devices = [...new Set(watch?.recordings.map((r) => r.device) ?? [])].sort();
  return (
    <ChapterSection
      place={after[2]!}
      chapter={chapter}
      page={page}
      evidence={
        watch && watch.recordings.length > 0 ? (
          <Figure
            how="Time runs down the page, one column for each camera. The line is how sharp each looked-at picture is against that recording’s usual; the inked stretches are what the cut avoids, each with the picture that proves it. Below, each of them between the good frames before and after it."
            table={
              <Table
                caption="What the cut avoids"
                hideCaption
                rows={ranges}
                columns={[
                  { head: "Recording", cell: ({ r }) => fileName(r.path) },
                  { head: "What", cell: ({ range }) => kinds[range.kind] },
                  {
                    head: "Local time",
                    numeric: true,
                    cell: ({ range }) => `${clockTime(range.start, true)}–${clockTime(range.end, true)}`,
                  },
                  { head: "Evidence", cell: ({ range }) => <Prose text={range.evidence} /> },
                ]}
              />
            }
          >
            <WatchColumns watch={watch} clock={clock} />
            <WatchProofs watch={watch} said={said} />
          </Figure>
        ) : (
          <EmptyAxes across="sharpness" columns={["A", "B"]} />
        )
      }
      details={
        watch && (
          <>
            <Table
              caption="The cameras"
              rows={devices}
              columns={[
                { head: "Camera", cell: (d) => <b className={hue(d)}>{d}</b> },
                {
                  head: "Looked at",
                  numeric: true,
                  cell: (d) =>
                    `${number(watch.recordings.filter((r) => r.device === d).reduce((n, r) => n + r.looks.length, 0))} pictures`,
                },
                {
                  head: "To avoid",
                  numeric: true,
                  cell: (d) => {
                    const seconds = ranges
                      .filter(({ r }) => r.device === d)
                      .reduce((n, { range }) => n + range.end - range.start, 0);
                    return seconds === 0 ? "nothing" : length(seconds);
                  },
                },
              ]}
            />
            {said && watch.recordings.length > 0 && <AvoidToo watch={watch} recordings={page.recordings} />}
          </>
        )
      }
    />
  );
}
