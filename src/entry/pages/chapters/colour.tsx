import type { ReactNode } from "react";
import type { ColourResult } from "#documents/chapter-results";
import type { ChapterOnPage, SittingPage } from "#documents/page";
import { Falls } from "../figures/falls.tsx";
import { SeamPlates } from "../figures/seam-plate.tsx";
import { ChapterSection } from "../parts/chapter-section.tsx";
import { after } from "../parts/chapters.ts";
import { Figure, Table } from "../parts/figure.tsx";
import { fileAddress, fileName } from "../words/addresses.ts";
import { hue } from "../words/devices.ts";
import { number } from "../words/numbers.ts";
import { clockTime } from "../words/times.ts";

const stillNames: Record<ColourResult["stills"][number]["name"], readonly [string, string]> = {
  "a-chart": ["A", "the chart"],
  "b-chart": ["B", "the chart"],
  a: ["A", "as recorded"],
  b: ["B", "as recorded"],
  "b-matched": ["B", "matched"],
};
const stillOrder = ["a", "b", "b-matched", "a-chart", "b-chart"] as const;

export function Colour({
  chapter,
  page,
}: {
  readonly chapter: ChapterOnPage<"colour">;
  readonly page: SittingPage;
}): ReactNode {
  const colour = chapter.result;
  const match = colour?.match ?? null;
  return (
    <ChapterSection
      place={after[4]!}
      chapter={chapter}
      page={page}
      evidence={
        <Figure
          how={
            match
              ? "Each patch is cut in two: A on the left, B on the right. Where you can see a seam, the cameras differ. Below, every patch falls from its difference as recorded (open) to what is left (filled), in CIEDE2000 units."
              : undefined
          }
          table={match && <PatchTable match={match} />}
        >
          {match ? (
            <>
              <SeamPlates match={match} />
              <Falls match={match} />
            </>
          ) : (
            <div className="plates" aria-hidden="true">
              {["As recorded", "Matched"].map((title) => (
                <div className="plate" key={title}>
                  <header>
                    <i>{title}</i>
                  </header>
                  <ol>
                    {Array.from({ length: 24 }, (_, i) => (
                      // biome-ignore lint/suspicious/noArrayIndexKey: 24 empty places
                      <li key={i}>
                        <span
                          className="seam"
                          style={{ outline: "1px solid currentColor", outlineOffset: -1, opacity: 0.3 }}
                        />
                        –
                      </li>
                    ))}
                  </ol>
                </div>
              ))}
            </div>
          )}
        </Figure>
      }
      details={
        colour && (
          <>
            {colour.stills.length > 0 && <Stills colour={colour} />}
            {match && <MatchTable match={match} />}
            {colour.charts.length > 0 && <Charts colour={colour} />}
          </>
        )
      }
    />
  );
}

function Stills({ colour }: { readonly colour: ColourResult }): ReactNode {
  const chart = colour.charts.find((c) => c.camera === "A") ?? colour.charts[0];
  const shown = stillOrder.flatMap((name) => colour.stills.filter((s) => s.name === name));
  return (
    <div>
      <h3 style={{ marginBottom: 6 }}>{chart ? "The same moment, and the chart" : "The same moment"}</h3>
      <div className="mounted">
        {shown.map((s) => {
          const [camera, what] = stillNames[s.name];
          return (
            <figure key={s.name}>
              <img src={fileAddress(s.path)} alt={`Camera ${camera}, ${what}`} />
              <figcaption>
                <b>{camera}</b> {what}
              </figcaption>
            </figure>
          );
        })}
      </div>
    </div>
  );
}

function MatchTable({ match }: { readonly match: NonNullable<ColourResult["match"]> }): ReactNode {
  return (
    <Table
      caption={`${match.from} against ${match.to}`}
      rows={
        [
          ["As recorded", match.before],
          ["Matched", match.after],
          ["Matched, patches left out of the fit", match.leftOut],
        ] as const
      }
      columns={[
        { head: "CIEDE2000", cell: ([name]) => name },
        { head: "Mean", numeric: true, cell: ([, d]) => number(d.mean, 1) },
        { head: "Worst", numeric: true, cell: ([, d]) => number(d.max, 1) },
      ]}
    />
  );
}

function Charts({ colour }: { readonly colour: ColourResult }): ReactNode {
  return (
    <Table
      caption="The chart, as found"
      rows={colour.charts}
      columns={[
        {
          head: "Recording",
          cell: (c) => (
            <>
              <b className={hue(c.camera)}>{c.camera}</b> <span className="path">{fileName(c.path)}</span>
            </>
          ),
        },
        { head: "At", numeric: true, cell: (c) => clockTime(c.at, true) },
        { head: "Patches", numeric: true, cell: (c) => number(c.patches.length) },
        { head: "Problems", cell: (c) => (c.problems.length === 0 ? "none" : c.problems.join("; ")) },
      ]}
    />
  );
}

function PatchTable({ match }: { readonly match: NonNullable<ColourResult["match"]> }): ReactNode {
  return (
    <Table
      caption="Every patch, in CIEDE2000 units"
      hideCaption
      rows={match.patches}
      columns={[
        { head: "Patch", cell: (p) => p.name },
        { head: "As recorded", numeric: true, cell: (p) => number(p.before, 2) },
        { head: "Matched", numeric: true, cell: (p) => number(p.after, 2) },
        { head: "Left out of the fit", numeric: true, cell: (p) => number(p.leftOut, 2) },
      ]}
    />
  );
}
