import { type ReactNode, useState } from "react";
import type { ColourResult } from "#documents/chapter-results";
import type { ChapterOnPage, SittingPage } from "#documents/page";
import { ChromaticityPlane, GreyLadder } from "../figures/colour-planes.tsx";
import { Falls } from "../figures/falls.tsx";
import { SeamPlates } from "../figures/seam-plate.tsx";
import { ChapterSection } from "../parts/chapter-section.tsx";
import { after } from "../parts/chapters.ts";
import { ChartCorners } from "../parts/chart-corners.tsx";
import { Figure, Table } from "../parts/figure.tsx";
import { PictureAreas } from "../parts/picture-areas.tsx";
import { SaidBar } from "../parts/said-bar.tsx";
import { fileAddress, fileName } from "../words/addresses.ts";
import { hue } from "../words/devices.ts";
import { number } from "../words/numbers.ts";
import { Prose } from "../words/prose.tsx";
import { clockTime } from "../words/times.ts";

const stillNames: Record<ColourResult["stills"][number]["name"], readonly [string, string]> = {
  "a-chart": ["A", "the chart"],
  "b-chart": ["B", "the chart"],
  a: ["A", "as recorded"],
  b: ["B", "as recorded"],
  "b-matched": ["B", "matched"],
};
const faceStills = ["a", "b", "b-matched"] as const;
const chartStills: ReadonlySet<string> = new Set(["a-chart", "b-chart"]);

export function Colour({
  chapter,
  page,
}: {
  readonly chapter: ChapterOnPage<"colour">;
  readonly page: SittingPage;
}): ReactNode {
  const colour = chapter.result;
  const matches = colour?.matches ?? (colour?.match ? [colour.match] : []);
  const [chosen, setChosen] = useState(0);
  const match = matches[chosen] ?? matches[0] ?? null;
  const hasPatches = match !== null && match.patches.length > 0;
  const [corrected, setCorrected] = useState<string | null>(null);
  const recording = page.recordings.find((r) => r.hash === corrected);
  const canSay = chapter.state === "settled" || chapter.state === "failed";
  // A chart is shown to every camera once: those without one can be told where it is.
  const without = page.recordings.filter(
    (r) =>
      r.kind === "camera" &&
      r.probe.picture !== null &&
      !(colour?.charts ?? []).some((c) => c.camera === r.device || c.hash === r.hash),
  );
  return (
    <ChapterSection
      place={after[4]!}
      chapter={chapter}
      page={page}
      evidence={
        <>
          {recording && (
            <ChartCorners
              key={recording.hash}
              page={page}
              recording={recording}
              chart={colour?.charts.find((c) => c.hash === recording.hash) ?? null}
              onDone={() => setCorrected(null)}
            />
          )}
          <Figure
            how={
              hasPatches
                ? "Each patch is cut in two: A on the left, B on the right. Where you can see a seam, the cameras differ. Below, every patch falls from its difference as recorded (open) to what is left (filled), in CIEDE2000 units. Then the same patches without their lightness, and the six greys as curves."
                : undefined
            }
            table={hasPatches && <PatchTable match={match} />}
          >
            {matches.length > 1 && (
              <fieldset className="choice">
                <legend className="unseen">Which match is shown</legend>
                {matches.map((one, i) => (
                  // biome-ignore lint/suspicious/noArrayIndexKey: matches stand in the result's own order
                  <label key={i}>
                    <input type="radio" name="match" checked={one === match} onChange={() => setChosen(i)} />
                    {one.from} against {one.to}
                    {one.setup === undefined ? "" : `, setup ${one.setup}`}
                  </label>
                ))}
              </fieldset>
            )}
            {colour && colour.stills.length > 0 && <Stills colour={colour} />}
            {match && hasPatches ? (
              <>
                <SeamPlates match={match} />
                <Falls match={match} />
                <div className="colour-figures">
                  <ChromaticityPlane match={match} />
                  <GreyLadder colour={colour!} match={match} />
                </div>
              </>
            ) : match ? null : (
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
        </>
      }
      details={
        colour && (
          <>
            {colour.stills.some((s) => chartStills.has(s.name)) && <ChartStills colour={colour} />}
            {colour.contactSheet && <ContactSheet path={colour.contactSheet} />}
            {match && <MatchTable match={match} />}
            {colour.charts.length > 0 && (
              <Charts colour={colour} onCorrect={canSay ? setCorrected : null} corrected={corrected} />
            )}
            {canSay && without.length > 0 && (
              <div>
                <h3>No chart was found</h3>
                <ul>
                  {without.map((r) => (
                    <li key={r.hash}>
                      <button type="button" className="link" onClick={() => setCorrected(r.hash)}>
                        <span>
                          <Prose text={`Show where it is in camera ${r.device}`} />, {fileName(r.path)}
                        </span>
                      </button>
                    </li>
                  ))}
                </ul>
              </div>
            )}
            <SaidBar only="chart" />
          </>
        )
      }
    />
  );
}

/** The sitter as each camera saw her at one moment, and as the match brings them together. */
function Stills({ colour }: { readonly colour: ColourResult }): ReactNode {
  const shown = faceStills.flatMap((name) => colour.stills.filter((s) => s.name === name));
  if (shown.length === 0) return null;
  return (
    <div className="mounted large">
      {shown.map((s) => (
        <Still key={s.name} still={s} />
      ))}
    </div>
  );
}

/** What goes onward beside the LUTs, as a colourist will see it. */
function ContactSheet({ path }: { readonly path: string }): ReactNode {
  return (
    <figure className="contact-sheet">
      <h3 style={{ marginBottom: 6 }}>The contact sheet</h3>
      <a href={fileAddress(path)} target="_blank" rel="noreferrer">
        <img
          src={fileAddress(path)}
          loading="lazy"
          alt="A, B as recorded and B matched, side by side; under them every patch of the chart in the same order"
        />
        <span className="unseen">, opened by itself</span>
      </a>
      <figcaption>
        A, B as recorded, B matched; each patch in the same order. It lies beside the LUTs in what is handed
        over.
      </figcaption>
    </figure>
  );
}

function ChartStills({ colour }: { readonly colour: ColourResult }): ReactNode {
  return (
    <div>
      <h3 style={{ marginBottom: 6 }}>The chart, where it was found</h3>
      <div className="mounted pair">
        {colour.stills
          .filter(({ name }) => chartStills.has(name))
          .map((s) => {
            const chart = colour.charts.find((c) => c.hash === s.hash && !c.forCurve);
            const areas = colour.findings
              .filter((f) => f.evidence?.where === chart?.path)
              .flatMap((f) => f.evidence?.areas ?? []);
            return (
              <Still key={s.name} still={s}>
                {chart?.picture && <PictureAreas size={chart.picture} areas={[chart.corners, ...areas]} />}
              </Still>
            );
          })}
      </div>
    </div>
  );
}

function Still({
  still,
  children,
}: {
  readonly still: ColourResult["stills"][number];
  readonly children?: ReactNode;
}): ReactNode {
  const [camera, what] = stillNames[still.name];
  return (
    <figure>
      <div className="found-at">
        <img src={fileAddress(still.path)} alt={`Camera ${camera}, ${what}`} />
        {children}
      </div>
      <figcaption>
        <b>{camera}</b> {what}
      </figcaption>
    </figure>
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

function Charts({
  colour,
  onCorrect,
  corrected,
}: {
  readonly colour: ColourResult;
  readonly onCorrect: ((hash: string) => void) | null;
  readonly corrected: string | null;
}): ReactNode {
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
        {
          head: "Corners",
          cell: (c) => (
            <>
              {c.byHand ? "by hand " : "as found "}
              {onCorrect && (
                <button
                  type="button"
                  className="link"
                  aria-label={`Correct the corners, camera ${c.camera}`}
                  aria-expanded={corrected === c.hash}
                  onClick={() => onCorrect(c.hash)}
                >
                  correct
                </button>
              )}
            </>
          ),
        },
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
