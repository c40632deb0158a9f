import { memo, type ReactNode, useDeferredValue, useMemo } from "react";
import type { StoryResult } from "#documents/chapter-results";
import type { ChapterOnPage, SittingPage } from "#documents/page";
import type { Said } from "#documents/said";
import { cutPlayer } from "../data/cut-player.ts";
import { dialogueOf } from "../data/played.ts";
import { say } from "../data/say.ts";
import { Braid } from "../figures/braid.tsx";
import type { BraidActs } from "../figures/braid-acts.ts";
import { EmptyAxes } from "../figures/empty-axes.tsx";
import { Miniature } from "../figures/miniature.tsx";
import { Opener, Verdict } from "../parts/chapter-section.tsx";
import { after } from "../parts/chapters.ts";
import { CutChoices } from "../parts/cut-choices.tsx";
import { CutVideo, type Played } from "../parts/cut-video.tsx";
import { Figure, Table } from "../parts/figure.tsx";
import { FindingList } from "../parts/finding-list.tsx";
import { RunAgain } from "../parts/run-again.tsx";
import { SaidBar } from "../parts/said-bar.tsx";
import { ShotActs } from "../parts/shot-acts.tsx";
import { WordsAndMarks } from "../parts/words-and-marks.tsx";
import { fileName } from "../words/addresses.ts";
import { sittingToProgram } from "../words/cut-time.ts";
import { hue } from "../words/devices.ts";
import { number, percent } from "../words/numbers.ts";
import { clockTime, length } from "../words/times.ts";

export function Story({
  chapter,
  page,
  said,
  played,
  isRendered,
}: {
  /** As it stands with all that is said. */
  readonly chapter: ChapterOnPage<"story">;
  readonly page: SittingPage;
  readonly said: Said | null;
  readonly played: Played | null;
  /** Whether the files handed over hold this cut. */
  readonly isRendered: boolean;
}): ReactNode {
  const place = after[5]!;
  const story = chapter.result;
  // The table beneath the figure may come a frame later than the figure.
  const tabled = useDeferredValue(story);
  const isOver = chapter.state === "settled" || chapter.state === "failed";
  const first = story?.events[0];
  const sound = dialogueOf(page);
  const [address, start] = [sound?.address, sound?.start ?? 0];
  const canSay = story?.material !== undefined && said !== null;
  const acts = useMemo(
    () => (canSay ? actsWith(address === undefined ? null : { address, start }) : null),
    [canSay, address, start],
  );
  return (
    <section className="chapter" id={place.id} aria-labelledby={`${place.id}-name`} tabIndex={-1}>
      <Opener place={place} question={chapter.question} />
      <Verdict chapter={chapter} text={chapter.verdict} />
      <div className="spread story">
        <div className="evidence">
          {story && story.events.length > 0 ? (
            <Figure
              how="Time runs down. The ribbon lies against the camera on screen and turns over where the angle changes; the picture not used is faded. Creases are what was folded away: one line under 10 s, two under a minute, three above. Press a picture to play from there, a faded one to show that camera instead; or draw the ribbon across. An unfolded crease gives back what it holds."
              table={
                tabled && (
                  <>
                    <Shots story={tabled} />
                    {tabled.lines && <Lines story={tabled} />}
                  </>
                )
              }
            >
              <Braid story={story} acts={acts} {...(said ? { marks: said.marks } : {})} />
            </Figure>
          ) : (
            <EmptyAxes across="the cut" columns={["A", "B"]} />
          )}
        </div>
        <div className="margin story-side">
          {story && <Facts story={story} />}
          {canSay && <CutChoices said={said} />}
          {canSay && <WordsAndMarks story={story} said={said} page={page} />}
          {(isOver || chapter.findings.length > 0) && (
            <FindingList findings={chapter.findings} page={page} none="Nothing to do." of="story" />
          )}
          {story && story.events.length > 0 && (
            <div className="accompany" style={{ marginTop: 0 }}>
              <Miniature story={story} height={268} />
              <div>
                {played && (
                  <CutVideo
                    played={played}
                    poster={first?.stills?.[first.camera]}
                    label="The first cut, beside its braid"
                    note={
                      <>
                        {!isRendered && !page.running && (
                          <p className="said-bar">
                            <RunAgain page={page} text="Write the files anew" isFilled={false} />
                          </p>
                        )}
                        {!isRendered && played.kind === "file" && (
                          <p className="caption" role="status">
                            {page.proxiesProgress
                              ? `Played is the cut as it was rendered. Small copies of the recordings are being made, ${percent(page.proxiesProgress.done)}; then your changes play at once.`
                              : "Played is the cut as it was rendered, before your changes."}
                          </p>
                        )}
                      </>
                    }
                  />
                )}
                {acts && said && <ShotActs story={story} said={said} acts={acts} />}
                <SaidBar />
              </div>
            </div>
          )}
        </div>
      </div>
    </section>
  );
}

/** Everything that can be said with the braid. */
function actsWith(sound: BraidActs["sound"]): BraidActs {
  return {
    angle: ({ sittingStart, sittingEnd }, camera) =>
      say({ kind: "angle", from: sittingStart, to: sittingEnd, camera }),
    foldAway: ({ sittingStart, sittingEnd }) => say({ kind: "fold", from: sittingStart, to: sittingEnd }),
    giveBack: ({ from, to }) => say({ kind: "keep", from, to }),
    sound,
  };
}

function Facts({ story }: { readonly story: StoryResult }): ReactNode {
  const end = story.events.at(-1)?.end ?? 0;
  const lengths = story.events.map((e) => e.end - e.start);
  const cameras = [...new Set(story.events.map((e) => e.camera))].sort();
  const spoken = story.speech.filter((s) => s.who === "sitter").reduce((sum, s) => sum + s.end - s.start, 0);
  return (
    <dl className="facts">
      <dt>The cut runs</dt>
      <dd>{length(end)}</dd>
      <dt>The sitter spoke for</dt>
      <dd>{length(spoken)}</dd>
      <dt>Folded away</dt>
      <dd>{length(story.dropped.reduce((sum, d) => sum + d.end - d.start, 0))}</dd>
      <dt>Shots</dt>
      <dd>{number(lengths.length)}</dd>
      {lengths.length > 1 && (
        <>
          <dt>Shortest to longest</dt>
          <dd>
            {number(Math.min(...lengths), 1)}–{number(Math.max(...lengths), 1)} s
          </dd>
        </>
      )}
      <dt>On screen</dt>
      <dd>
        {cameras.map((c, i) => (
          <span key={c}>
            {i > 0 && ", "}
            <b className={hue(c)}>{c}</b>{" "}
            {percent(
              story.events.filter((e) => e.camera === c).reduce((sum, e) => sum + e.end - e.start, 0) /
                (end || 1),
            )}
          </span>
        ))}
      </dd>
    </dl>
  );
}

const Lines = memo(function Lines({ story }: { readonly story: StoryResult }): ReactNode {
  const rows = (story.lines ?? []).flatMap((line) => {
    const at = sittingToProgram(story.events, line.start);
    return at === null ? [] : [{ ...line, at }];
  });
  return (
    <Table
      caption="What is said in the cut"
      rows={rows}
      columns={[
        {
          head: "At",
          cell: (line) => (
            <button type="button" className="link" onClick={() => cutPlayer.seek(line.at)}>
              {clockTime(line.at, true)}
            </button>
          ),
        },
        { head: "Words", cell: (line) => (line.who ? `${line.who}: ${line.text}` : line.text) },
      ]}
    />
  );
});

const Shots = memo(function Shots({ story }: { readonly story: StoryResult }): ReactNode {
  return (
    <Table
      caption="The cut, shot by shot"
      hideCaption
      rows={story.events}
      columns={[
        { head: "From", cell: (e) => clockTime(e.start, true) },
        { head: "To", cell: (e) => clockTime(e.end, true) },
        { head: "Camera", cell: (e) => e.camera },
        {
          head: "Recording, local time",
          cell: (e) => `${fileName(e.path)}, ${clockTime(e.sourceStart, true)}`,
        },
        { head: "Why", cell: (e) => e.why },
      ]}
    />
  );
});
