import { type KeyboardEvent, memo, type ReactNode, useEffect, useMemo, useState } from "react";
import type { StoryResult } from "#documents/chapter-results";
import type { MarkSaid } from "#documents/said";
import { cutPlayer, useCutTime, useCutTimeAs } from "../data/cut-player.ts";
import { everything, usePartInView } from "../parts/in-view.ts";
import { signNames, signs } from "../parts/marks.tsx";
import { useMeasuredWidth } from "../parts/measured-width.ts";
import { eventAt, sittingToProgram } from "../words/cut-time.ts";
import { hue } from "../words/devices.ts";
import { clockTime } from "../words/times.ts";
import { type BraidActs, otherCameras } from "./braid-acts.ts";
import { columnsOf } from "./braid-columns.ts";
import { Crease } from "./braid-crease.tsx";
import { type BraidLayout, braidScale, layOutBraid, programToY } from "./braid-layout.ts";
import { Shot } from "./braid-shot.tsx";
import { Strands } from "./braid-strands.tsx";
import { partOfCut, shotsAtOnce } from "./braid-window.ts";
import { BraidWords, Pennant } from "./braid-words.tsx";
import { creaseRows } from "./crease-rows.ts";
import { sideOf } from "./ribbon.ts";
import { wordRows } from "./word-rows.ts";

type Event = StoryResult["events"][number];
const none: readonly never[] = [];
/** A row of words beside the braid, and what a shot keeps free for its own reason, pixels. */
const wordsRow = 21;
/** In the small braid a crease is as high as its lines. */
const smallSizes = { cut: 0, crease: 0, line: 2, part: 0 };

/** The assembled cut as a ribbon between the pictures of A and B; a press on a picture plays from there. */
export const Braid = memo(function Braid({
  story,
  acts = null,
  marks = none,
}: {
  readonly story: StoryResult;
  /** Moments that somebody pointed at, sitting time. */
  readonly marks?: readonly Pick<MarkSaid, "at" | "words">[];
  /** What can be said of it; null where the cut is only to be looked at. */
  readonly acts?: BraidActs | null;
}): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const [element, setElement] = useState<HTMLElement | null>(null);
  const [unfolded, setUnfolded] = useState<ReadonlySet<string>>(new Set());
  const hasWords = width >= 440;
  const columns = columnsOf(
    hasWords ? Math.floor(width * (width > 640 ? 0.68 : 0.64)) : width,
    width < 440 ? 34 : 44,
    0.2,
  );
  const rowHeight = hasWords ? 26 : 44;
  const perSecond = braidScale(story.events, (columns.picture * 9) / 16);
  const layout = useMemo(
    () =>
      layOutBraid(
        story.events,
        story.dropped,
        perSecond,
        { cut: 12, crease: hasWords ? 22 : 30, line: 6, part: rowHeight },
        unfolded,
        (parts) => creaseRows(parts, story.speech).length,
      ),
    [story, perSecond, hasWords, unfolded, rowHeight],
  );
  const lines = story.lines ?? none;
  const hasLines = hasWords && (lines.length > 0 || marks.length > 0);
  const rows = useMemo(
    () => (hasLines ? wordRows(lines, marks, story.events, layout, wordsRow, wordsRow) : []),
    [hasLines, lines, marks, story.events, layout],
  );
  // Only a long cut is worth drawing in parts.
  const part = usePartInView(layout.height > 8000 ? element : null);
  const first = firstCamera(story.events);
  const headHeight = 36;
  const fold = (id: string) =>
    setUnfolded((old) => {
      const next = new Set(old);
      if (!next.delete(id)) next.add(id);
      return next;
    });

  // The cut is another after a change: the focus goes to the shot that shows the same moment.
  const [stay, setStay] = useState<number | null>(null);
  const sayAndStay = (say: () => void, sittingTime: number) => {
    say();
    setStay(sittingTime);
  };
  useEffect(() => {
    if (stay === null) return;
    setStay(null);
    const index = story.events.findIndex((e) => e.sittingEnd > stay + 1e-3);
    element?.querySelector<HTMLElement>(`[data-shot="${index}"]`)?.focus();
  }, [stay, story, element]);

  const keys = (event: KeyboardEvent<HTMLDivElement>) => {
    const at = (event.target as HTMLElement).closest<HTMLElement>("[data-shot]");
    if (!at || event.ctrlKey || event.metaKey || event.altKey) return;
    const index = Number(at.dataset.shot);
    if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      event.preventDefault();
      const to = event.currentTarget.querySelector<HTMLElement>(
        `[data-shot="${index + (event.key === "ArrowDown" ? 1 : -1)}"]`,
      );
      to?.focus();
    } else if (event.key === "ArrowLeft" || event.key === "ArrowRight") {
      const shot = story.events[index];
      if (!acts || !shot) return;
      event.preventDefault();
      const isLeft = event.key === "ArrowLeft";
      const camera = [shot.camera, ...otherCameras(story, shot)].find(
        (c) => (sideOf(c, first) === "left") === isLeft,
      );
      if (camera && camera !== shot.camera) sayAndStay(() => acts.angle(shot, camera), shot.sittingStart);
    } else if (event.key === "Delete" || event.key === "Backspace") {
      const shot = story.events[index];
      if (!acts || !shot) return;
      event.preventDefault();
      sayAndStay(() => acts.foldAway(shot), shot.sittingStart);
    } else if (event.key.toLowerCase() === "u") {
      const crease =
        layout.creases.find((c) => c.beforeShot === index + 1) ??
        layout.creases.find((c) => c.beforeShot === index);
      if (crease) fold(crease.id);
    }
  };

  return (
    <div ref={ref}>
      <section
        className="braid"
        ref={setElement}
        style={{ height: layout.height + headHeight }}
        aria-label="The cut, shot by shot"
        onKeyDown={keys}
      >
        {width > 0 && (
          <>
            <span className="head" style={{ left: columns.leftPicture }}>
              <b className={hue(first)}>{first}</b>
            </span>
            {secondCamera(story.events, first) && (
              <span className="head" style={{ left: columns.rightPicture }}>
                <b className={hue(secondCamera(story.events, first)!)}>{secondCamera(story.events, first)}</b>
              </span>
            )}
            <div style={{ position: "absolute", inset: `${headHeight}px 0 0` }}>
              <Strands story={story} layout={layout} columns={columns} part={part} first={first} />
              {story.events.map((event, i) => {
                const shot = layout.shots[i]!;
                if (shot.y1 < part.from - headHeight || shot.y0 > part.to) return null;
                return (
                  <Shot
                    key={`${event.start}`}
                    event={event}
                    index={i}
                    y0={shot.y0}
                    y1={shot.y1}
                    columns={columns}
                    side={sideOf(event.camera, first)}
                    isTimed
                    words={hasWords ? { left: columns.end + 18, width: width - columns.end - 18 } : null}
                    {...(hasLines ? { mostWordLines: 1 } : {})}
                    acts={acts}
                    other={acts ? otherCameras(story, event)[0] : undefined}
                  />
                );
              })}
              {layout.creases
                .filter((c) => c.y1 >= part.from - headHeight && c.y0 <= part.to)
                .map((c) => (
                  <Crease
                    key={c.id}
                    crease={c}
                    left={hasWords ? columns.end + 18 : columns.leftPicture}
                    onFold={() => fold(c.id)}
                    rowsLeft={columns.leftPicture}
                    rows={c.isUnfolded ? creaseRows(c.parts, story.speech, lines) : []}
                    acts={acts}
                    rowHeight={rowHeight}
                  />
                ))}
              {hasLines && (
                <BraidWords
                  rows={rows}
                  left={columns.end + 18}
                  width={width - columns.end - 18}
                  part={part}
                />
              )}
              {!hasWords && <MarkFlags marks={marks} story={story} layout={layout} left={columns.time} />}
              {story.findings.map((f) => {
                const y =
                  f.evidence?.from === undefined ? null : signY(story.events, layout, f.evidence.from);
                if (y === null || y < part.from || y > part.to) return null;
                return (
                  <span
                    key={`${f.code}${f.evidence?.from}`}
                    className="braid-sign"
                    title={`${signNames[f.weight]}: ${f.says}`}
                    aria-hidden="true"
                    style={{ top: y }}
                  >
                    {signs[f.weight]}
                  </span>
                );
              })}
              <PlayLine
                events={story.events}
                layout={layout}
                left={columns.time - 9}
                right={width - columns.end}
              />
            </div>
          </>
        )}
      </section>
    </div>
  );
});

/**
 * The cut in the height given, with pictures where a shot has room for one. A long cut is shown a stretch at a time,
 * the one that plays.
 */
export const SmallBraid = memo(function SmallBraid({
  story: whole,
  height,
}: {
  readonly story: StoryResult;
  readonly height: number;
}): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const shots = shotsAtOnce(whole.events.length, height);
  const firstShot = useCutTimeAs(
    (time) => Math.floor(Math.max(0, eventAt(whole.events, time)) / shots) * shots,
  );
  const story = useMemo(() => partOfCut(whole, firstShot, shots), [whole, firstShot, shots]);
  const isPart = story !== whole;
  const tail = isPart ? 24 : 0;
  const from = story.events[0]?.start ?? 0;
  const duration = Math.max(0.1, (story.events.at(-1)?.end ?? 1) - from);
  const layout = useMemo(() => {
    const bare = layOutBraid(story.events, story.dropped, 0, smallSizes, new Set());
    const perSecond = Math.max(0.02, (height - 26 - tail - bare.height) / duration);
    return layOutBraid(story.events, story.dropped, perSecond, smallSizes, new Set());
  }, [story, height, duration, tail]);
  const first = firstCamera(whole.events);
  const second = secondCamera(whole.events, first);
  const columns = columnsOf(width, 36, 0.24);
  return (
    <section
      ref={ref}
      className="braid"
      style={{ height }}
      aria-label={isPart ? "The cut, a stretch at a time" : "The whole cut"}
    >
      {width > 0 && (
        <>
          <span className="head" style={{ left: columns.leftPicture, top: -2 }}>
            <b className={hue(first)}>{first}</b>
          </span>
          {second && (
            <span className="head" style={{ left: columns.rightPicture, top: -2 }}>
              <b className={hue(second)}>{second}</b>
            </span>
          )}
          <div style={{ position: "absolute", inset: "26px 0 0" }}>
            <Strands
              story={story}
              layout={layout}
              columns={columns}
              part={everything}
              first={first}
              isSmall
            />
            {story.events.map((event, i) => {
              const shot = layout.shots[i]!;
              const previous = layout.shots[i - 1];
              return (
                <Shot
                  key={`${event.start}`}
                  event={event}
                  index={i}
                  y0={shot.y0}
                  y1={shot.y1}
                  columns={columns}
                  side={sideOf(event.camera, first)}
                  isTimed={i === 0 || (previous !== undefined && shot.y0 - previous.y0 >= 15)}
                  words={null}
                  isSmall
                />
              );
            })}
            <PlayLine events={story.events} layout={layout} left={columns.time - 8} right={0} />
          </div>
          {isPart && (
            <span className="caption" style={{ position: "absolute", bottom: 0, left: columns.leftPicture }}>
              Shots {firstShot + 1}–{firstShot + story.events.length} of {whole.events.length}; the rest is in{" "}
              <a className="link" style={{ display: "inline" }} href="#story">
                Story
              </a>
            </span>
          )}
        </>
      )}
    </section>
  );
});

/** Where there is no room for words: a pennant at each mark; a press goes there. */
function MarkFlags({
  marks,
  story,
  layout,
  left,
}: {
  readonly marks: readonly Pick<MarkSaid, "at" | "words">[];
  readonly story: StoryResult;
  readonly layout: BraidLayout;
  readonly left: number;
}): ReactNode {
  return marks.map(({ at, words }) => {
    const time = sittingToProgram(story.events, at);
    if (time === null) return null;
    return (
      <button
        key={at}
        type="button"
        className="mark-flag"
        style={{ left, top: programToY(story.events, layout, time) - 12 }}
        aria-label={`Mark at ${clockTime(time)}: ${words}. Go there.`}
        title={words}
        onClick={() => cutPlayer.seek(time)}
      >
        <Pennant />
      </button>
    );
  });
}

/** Where a finding's mark stands: beside its moment in a shot, or at the crease that it was folded into. */
function signY(events: readonly Event[], layout: BraidLayout, sittingTime: number): number | null {
  const at = sittingToProgram(events, sittingTime);
  if (at === null) {
    const crease = layout.creases.find((c) =>
      c.parts.some((p) => sittingTime >= p.start - 1e-3 && sittingTime < p.end),
    );
    return crease
      ? (crease.y0 + (crease.isUnfolded ? Math.min(crease.y1, crease.y0 + 32) : crease.y1)) / 2 - 10
      : null;
  }
  const shot = layout.shots[eventAt(events, at + 1e-6)];
  return Math.max(programToY(events, layout, at) - 10, (shot?.y0 ?? 0) + 16);
}

function PlayLine({
  events,
  layout,
  left,
  right,
}: {
  readonly events: readonly Event[];
  readonly layout: BraidLayout;
  readonly left: number;
  readonly right: number;
}): ReactNode {
  const time = useCutTime();
  return (
    <div
      className="play-line"
      style={{ left, right, transform: `translateY(${programToY(events, layout, time).toFixed(1)}px)` }}
    />
  );
}

/** Camera A where it is in the cut, else whichever comes first. */
function firstCamera(events: readonly Event[]): string {
  const all = [...new Set(events.flatMap((e) => [e.camera, ...Object.keys(e.stills ?? {})]))].sort();
  return all[0] ?? "A";
}

function secondCamera(events: readonly Event[], first: string): string | undefined {
  return [...new Set(events.flatMap((e) => [e.camera, ...Object.keys(e.stills ?? {})]))]
    .sort()
    .find((c) => c !== first);
}
