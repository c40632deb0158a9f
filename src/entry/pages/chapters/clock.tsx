import type { ReactNode } from "react";
import type { ClockResult } from "#documents/chapter-results";
import type { ChapterOnPage, SittingPage } from "#documents/page";
import { useSaid } from "../data/held-sitting.ts";
import { ClapFrames } from "../figures/clap-frames.tsx";
import { EmptyAxes } from "../figures/empty-axes.tsx";
import { edgePairs, HeardPairs } from "../figures/heard-pairs.tsx";
import { Plumb } from "../figures/plumb.tsx";
import { Waves } from "../figures/waves.tsx";
import { ChapterSection } from "../parts/chapter-section.tsx";
import { after } from "../parts/chapters.ts";
import { Figure, Table } from "../parts/figure.tsx";
import { MicrophoneDistances } from "../parts/microphone-distances.tsx";
import { fileName } from "../words/addresses.ts";
import { hue } from "../words/devices.ts";
import { number } from "../words/numbers.ts";
import { clockTime, smallTime } from "../words/times.ts";

const placers: Record<ClockResult["recordings"][number]["placedBy"], string> = {
  sound: "sound",
  slate: "the slate",
  timecode: "timecode",
  deviceClock: "its own clock",
  none: "not placed",
};

export function Clock({
  chapter,
  page,
}: {
  readonly chapter: ChapterOnPage<"clock">;
  readonly page: SittingPage;
}): ReactNode {
  const clock = chapter.result;
  const said = useSaid();
  return (
    <ChapterSection
      place={after[1]!}
      chapter={chapter}
      page={page}
      evidence={
        clock && clock.recordings.length > 0 ? (
          <>
            <Figure
              how="Time runs down the page. Each dot is a stretch of sound heard by two recordings; the sideways distance from the plumb line is how late that recording’s clock had become since its start. A leaning line is a clock that drifts; a ring is a sharp sound, a clap or a door, that several heard. Below, one moment in every recording: first by the time since each file began, then as placed, where one sound stands in all at one height."
              table={<Windows clock={clock} />}
            >
              <Plumb clock={clock} recordings={page.recordings} />
              {clock.snippet && clock.snippet.traces.length > 0 && <Waves snippet={clock.snippet} />}
            </Figure>
            {(clock.edges?.length ?? 0) > 0 && (
              <Figure
                how="Two recordings at a time, on scales of their own: at the left how late each stretch of sound is, with the line that was fitted; at the right what the line leaves. Hollow dots were left out of the fit; a short stroke at the edge is one that lies further off than the scale goes."
                table={<Comparisons clock={clock} />}
              >
                <HeardPairs clock={clock} />
              </Figure>
            )}
            {clock.claps.length > 0 && (
              <Figure
                how="The frame that is on each camera’s screen as a clap that all heard happens, and its time in each file. Where a slate was seen, the frames around it stand beside the moment it happened and the moment its sound reached the microphone."
                table={<Claps clock={clock} />}
              >
                <ClapFrames clock={clock} />
              </Figure>
            )}
          </>
        ) : (
          <EmptyAxes across="ms late" columns={["As recorded", "As corrected"]} />
        )
      }
      details={
        clock && (
          <>
            <Recordings clock={clock} />
            {said && <MicrophoneDistances clock={clock} said={said} />}
          </>
        )
      }
    />
  );
}

function Recordings({ clock }: { readonly clock: ClockResult }): ReactNode {
  return (
    <Table
      caption="The recordings"
      rows={clock.recordings}
      columns={[
        {
          head: "Recording",
          cell: (r) => (
            <>
              <b className={hue(r.device)}>{/^[A-Z]$/.test(r.device) ? r.device : "Recorder"}</b>{" "}
              <span className="path">{fileName(r.path)}</span>
              <br />
              <span className="least">
                {r.path === clock.master
                  ? "the master"
                  : r.placedBy === "none"
                    ? "not placed"
                    : `by ${placers[r.placedBy]}`}
              </span>
            </>
          ),
        },
        {
          head: "Runs",
          numeric: true,
          cell: (r) =>
            r.offset === null ? "–" : `${clockTime(r.offset)}–${clockTime(r.offset + r.durationSeconds)}`,
        },
        {
          head: "Offset, s",
          numeric: true,
          cell: (r) => (r.offset === null ? "–" : r.path === clock.master ? "0" : number(r.offset, 4)),
        },
        {
          head: "ppm",
          numeric: true,
          cell: (r) => (r.ratePpm === null ? "–" : r.path === clock.master ? "0" : number(r.ratePpm, 1)),
        },
        {
          head: "Picture later by",
          numeric: true,
          cell: (r) =>
            r.pictureOffset === null || r.offset === null || r.path === clock.master
              ? "–"
              : smallTime(r.pictureOffset - r.offset),
        },
        {
          head: "Sure to",
          numeric: true,
          cell: (r) =>
            r.uncertainty === null || r.path === clock.master ? "–" : `±${smallTime(r.uncertainty)}`,
        },
      ]}
    />
  );
}

function Windows({ clock }: { readonly clock: ClockResult }): ReactNode {
  const rows = clock.recordings.flatMap((r) => r.windows.map((w) => ({ r, w })));
  return (
    <Table
      caption="Delay of each recording against the master, stretch by stretch"
      hideCaption
      rows={rows.slice(0, 400)}
      columns={[
        { head: "Recording", cell: ({ r }) => fileName(r.path) },
        { head: "Sitting time", numeric: true, cell: ({ w }) => clockTime(w.at, true) },
        { head: "Late by, ms", numeric: true, cell: ({ w }) => number(w.delay * 1000, 2) },
        { head: "Used in the fit", cell: ({ w }) => (w.used ? "yes" : "no") },
      ]}
    />
  );
}

function Comparisons({ clock }: { readonly clock: ClockResult }): ReactNode {
  const pairs = edgePairs(clock);
  if (pairs.length === 0) return null;
  return (
    <Table
      caption="Each comparison"
      rows={pairs.flatMap(({ reference, other, edges }) => edges.map((edge) => ({ reference, other, edge })))}
      columns={[
        { head: "Recording", cell: ({ other }) => fileName(other.path) },
        { head: "Laid on", cell: ({ reference }) => fileName(reference.path) },
        { head: "From, of its file", numeric: true, cell: ({ edge }) => clockTime(edge.from, true) },
        {
          head: "Stretches used",
          numeric: true,
          cell: ({ edge }) => `${number(edge.used)} of ${number(edge.windows)}`,
        },
        {
          head: "Off the line by, ms",
          numeric: true,
          cell: ({ edge }) => number(Math.max(edge.scatter * 1000, 0.01), 2),
        },
      ]}
    />
  );
}

function Claps({ clock }: { readonly clock: ClockResult }): ReactNode {
  const rows = clock.claps.flatMap((clap) => clap.heardBy.map((heard) => ({ clap, heard })));
  return (
    <Table
      caption="Claps that the recordings share"
      rows={rows}
      columns={[
        { head: "Sitting time", numeric: true, cell: ({ clap }) => clockTime(clap.at, true) },
        {
          head: "Recording",
          cell: ({ heard }) => fileName(clock.recordings.find((r) => r.hash === heard.hash)?.path ?? "–"),
        },
        { head: "In its file, s", numeric: true, cell: ({ heard }) => number(heard.localTime, 3) },
        {
          head: "Frame",
          numeric: true,
          cell: ({ heard }) => (heard.frame === undefined ? "–" : number(heard.frame)),
        },
      ]}
    />
  );
}
