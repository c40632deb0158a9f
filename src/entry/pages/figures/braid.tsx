import { type KeyboardEvent, type ReactNode, useMemo, useRef, useState } from "react";
import type { StoryResult } from "#documents/chapter-results";
import { cutPlayer, useCutTime } from "../data/cut-player.ts";
import { usePartInView } from "../parts/in-view.ts";
import { useMeasuredWidth } from "../parts/measured-width.ts";
import { fileAddress } from "../words/addresses.ts";
import { hue, Prose } from "../words/prose.tsx";
import { clockTime, length } from "../words/times.ts";
import { type BraidCrease, type BraidLayout, braidScale, layOutBraid, programToY } from "./braid-layout.ts";
import { type RibbonFace, ribbonFaces } from "./ribbon.ts";

type Event = StoryResult["events"][number];
const ribbonWidth = 12;

/** Left for the first camera, right for every other: two columns, as two hues. */
function sideOf(camera: string, first: string): "left" | "right" {
  return camera === first ? "left" : "right";
}

interface Columns {
  readonly time: number;
  readonly picture: number;
  readonly leftPicture: number;
  readonly rightPicture: number;
  readonly end: number;
}

function columnsOf(width: number, time: number, gapShare: number): Columns {
  const gap = Math.max(36, Math.min(100, (width - time) * gapShare));
  const picture = Math.floor((width - time - gap) / 2);
  return {
    time,
    picture,
    leftPicture: time,
    rightPicture: time + picture + gap,
    end: time + 2 * picture + gap,
  };
}

/** The assembled cut as a ribbon between the pictures of A and B; a press on a picture plays from there. */
export function Braid({ story }: { readonly story: StoryResult }): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const [element, setElement] = useState<HTMLElement | null>(null);
  const [unfolded, setUnfolded] = useState<ReadonlySet<string>>(new Set());
  const part = usePartInView(element);
  const hasWords = width >= 440;
  const columns = columnsOf(
    hasWords ? Math.floor(width * (width > 640 ? 0.68 : 0.64)) : width,
    width < 440 ? 34 : 44,
    0.2,
  );
  const perSecond = braidScale(story.events, (columns.picture * 9) / 16);
  const layout = useMemo(
    () =>
      layOutBraid(
        story.events,
        story.dropped,
        perSecond,
        { cut: 12, crease: hasWords ? 22 : 30, line: 6, part: 20 },
        unfolded,
      ),
    [story, perSecond, hasWords, unfolded],
  );
  const first = firstCamera(story.events);
  const headHeight = 36;
  const fold = (id: string) =>
    setUnfolded((old) => {
      const next = new Set(old);
      if (!next.delete(id)) next.add(id);
      return next;
    });

  const keys = (event: KeyboardEvent<HTMLDivElement>) => {
    const at = (event.target as HTMLElement).closest<HTMLElement>("[data-shot]");
    if (!at || event.ctrlKey || event.metaKey || event.altKey) return;
    const index = Number(at.dataset["shot"]);
    if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      event.preventDefault();
      const to = event.currentTarget.querySelector<HTMLElement>(
        `[data-shot="${index + (event.key === "ArrowDown" ? 1 : -1)}"]`,
      );
      to?.focus();
    } else if (event.key.toLowerCase() === "u") {
      const crease =
        layout.creases.find((c) => c.beforeShot === index + 1) ??
        layout.creases.find((c) => c.beforeShot === index);
      if (crease) fold(crease.id);
    }
  };

  return (
    <div ref={ref}>
      <div
        className="braid"
        ref={setElement}
        style={{ height: layout.height + headHeight }}
        // biome-ignore lint/a11y/useSemanticElements: a group of shots, not a form's fields
        role="group"
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
                    isBetween={!hasWords}
                  />
                ))}
              <PlayLine
                events={story.events}
                layout={layout}
                left={columns.time - 14}
                right={width - columns.end}
              />
            </div>
          </>
        )}
      </div>
    </div>
  );
}

/** The whole cut in the height given, with pictures where a shot has room for one. */
export function SmallBraid({
  story,
  height,
}: {
  readonly story: StoryResult;
  readonly height: number;
}): ReactNode {
  const [ref, width] = useMeasuredWidth<HTMLDivElement>();
  const duration = story.events.at(-1)?.end ?? 1;
  const sizes = { cut: 0, crease: 0, line: 2, part: 0 };
  const layout = useMemo(() => {
    const bare = layOutBraid(story.events, story.dropped, 0, sizes, new Set());
    return layOutBraid(
      story.events,
      story.dropped,
      Math.max(0.02, (height - 26 - bare.height) / duration),
      sizes,
      new Set(),
    );
  }, [story, height, duration]);
  const first = firstCamera(story.events);
  const second = secondCamera(story.events, first);
  const columns = columnsOf(width, 36, 0.24);
  return (
    // biome-ignore lint/a11y/useSemanticElements: a group of shots, not a form's fields
    <div ref={ref} className="braid" style={{ height }} role="group" aria-label="The whole cut">
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
              part={{ from: -Infinity, to: Infinity }}
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
            <PlayLine events={story.events} layout={layout} left={columns.time - 10} right={0} />
          </div>
        </>
      )}
    </div>
  );
}

function Strands({
  story,
  layout,
  columns,
  part,
  first,
  isSmall = false,
}: {
  readonly story: StoryResult;
  readonly layout: BraidLayout;
  readonly columns: Columns;
  readonly part: { readonly from: number; readonly to: number };
  readonly first: string;
  readonly isSmall?: boolean;
}): ReactNode {
  const faces = useMemo(
    () =>
      ribbonFaces(
        story.events.map((e, i) => ({
          side: sideOf(e.camera, first),
          hue: hue(e.camera),
          y0: layout.shots[i]!.y0,
          y1: layout.shots[i]!.y1,
        })),
        columns.leftPicture + columns.picture,
        columns.rightPicture,
        isSmall ? 8 : ribbonWidth,
        isSmall ? 14 : 34,
      ),
    [story, layout, columns.leftPicture, columns.picture, columns.rightPicture, first, isSmall],
  );
  const isIn = (s: { y0: number; y1: number }) => s.y1 >= part.from - 40 && s.y0 <= part.to;
  return (
    <svg aria-hidden="true">
      <defs>
        <linearGradient id="crease-shade" x1="0" x2="0" y1="0" y2="1">
          <stop offset="0" stopColor="var(--rule)" stopOpacity="0" />
          <stop offset="0.82" stopColor="var(--rule)" stopOpacity="0.55" />
          <stop offset="1" stopColor="var(--rule)" />
        </linearGradient>
      </defs>
      {layout.creases.filter(isIn).map((c) =>
        Array.from({ length: c.lines }, (_, i) => {
          const y = (c.y0 + c.y1) / 2 + (i - (c.lines - 1) / 2) * (isSmall ? 2 : 7);
          return isSmall ? (
            // biome-ignore lint/suspicious/noArrayIndexKey: one, two or three like lines
            <line key={i} x1={columns.leftPicture} x2={columns.end} y1={y} y2={y} stroke="var(--rule)" />
          ) : (
            // biome-ignore lint/suspicious/noArrayIndexKey: one, two or three like lines
            <rect
              key={i}
              x={0}
              width={columns.end + 10}
              y={c.isUnfolded ? c.y0 + 10 + i * 6 : y - 3}
              height={6}
              fill="url(#crease-shade)"
            />
          );
        }),
      )}
      {faces.filter(isIn).map((face) => (
        <Face key={face.y0} face={face} />
      ))}
    </svg>
  );
}

function Face({ face }: { readonly face: RibbonFace }): ReactNode {
  const colour = face.hue === "n" ? "var(--ink)" : `var(--${face.hue})`;
  return (
    <g>
      <path d={face.outline} fill={colour} stroke={colour} strokeWidth={0.8} strokeLinejoin="round" />
      {face.strands.map((d) => (
        <path key={d} d={d} fill="none" stroke="var(--paper)" strokeWidth={0.9} opacity={0.38} />
      ))}
    </g>
  );
}

function Shot({
  event,
  index,
  y0,
  y1,
  columns,
  side,
  words,
  isTimed,
  isSmall = false,
}: {
  readonly event: Event;
  readonly index: number;
  readonly y0: number;
  readonly y1: number;
  readonly columns: Columns;
  readonly side: "left" | "right";
  readonly words: { readonly left: number; readonly width: number } | null;
  readonly isTimed: boolean;
  readonly isSmall?: boolean;
}): ReactNode {
  const room = y1 - y0 - (isSmall ? 2 : 0);
  const height = Math.max(3, Math.min(room, (columns.picture * 9) / 16));
  // Too low for a picture: the shot is a plain band that can still be pressed.
  const hasPicture = height >= (isSmall ? 20 : 26);
  const top = y0 + (room - height) / 2;
  const own = event.stills?.[event.camera];
  const others = Object.entries(event.stills ?? {}).filter(([camera]) => camera !== event.camera);
  const x = side === "left" ? columns.leftPicture : columns.rightPicture;
  const otherX = side === "left" ? columns.rightPicture : columns.leftPicture;
  const lines = Math.max(1, Math.floor((y1 - y0 + 8) / 21));
  return (
    <>
      {isTimed && (
        <span className="shot-time" style={{ top: Math.max(y0 - 2, top - 2) }}>
          {clockTime(event.start)}
        </span>
      )}
      <button
        type="button"
        className={hasPicture && own ? "shot" : "shot blank"}
        data-shot={index}
        style={{ left: x, top, width: columns.picture, height }}
        aria-label={`Camera ${event.camera}, ${clockTime(event.start)} to ${clockTime(event.end)}. ${event.why}. Play from here.`}
        title={`${clockTime(event.start)}–${clockTime(event.end)}: ${event.why}`}
        onClick={() => cutPlayer.playFrom(event.start)}
      >
        {hasPicture && own && <img src={fileAddress(own)} alt="" loading="lazy" draggable={false} />}
        {hasPicture && !isSmall && own && <span className={`letter ${side}`}>{event.camera}</span>}
      </button>
      {hasPicture && others[0] && (
        <span className="unused" style={{ left: otherX, top, width: columns.picture, height }}>
          <img src={fileAddress(others[0][1])} alt="" loading="lazy" />
        </span>
      )}
      {words && (
        <p
          className="why"
          style={{ ...words, top: Math.max(y0 - 3, top - 3), WebkitLineClamp: lines, maxHeight: lines * 21 }}
        >
          <Prose text={whyOf(event)} />
        </p>
      )}
    </>
  );
}

function whyOf(event: Event): string {
  const why = event.why.charAt(0).toUpperCase() + event.why.slice(1);
  const whole = /[.]$/.test(why) ? why : `${why}.`;
  return event.scale !== undefined && event.scale > 1
    ? `${whole} The picture is ${Math.round((event.scale - 1) * 100)} % larger.`
    : whole;
}

function Crease({
  crease,
  left,
  onFold,
  isBetween,
}: {
  readonly crease: BraidCrease;
  readonly left: number;
  readonly onFold: () => void;
  readonly isBetween: boolean;
}): ReactNode {
  const whys = [...new Set(crease.parts.map((p) => p.why))];
  const label = whys.length > 2 ? `${whys.slice(0, 2).join(", ")} and more` : whys.join(", and ");
  const middle = crease.isUnfolded ? crease.y0 + 16 : (crease.y0 + crease.y1) / 2;
  return (
    <>
      <p
        className="crease-label"
        style={{
          left,
          right: 0,
          top: middle - 9,
          ...(isBetween ? { background: "var(--paper)", right: "auto", paddingRight: 6 } : {}),
        }}
      >
        <b>{length(crease.seconds)}</b> {label}
        <button type="button" aria-expanded={crease.isUnfolded} onClick={onFold}>
          {crease.isUnfolded ? "fold" : "unfold"}
        </button>
      </p>
      {crease.isUnfolded && (
        <ul className="unfolded tnum" style={{ left, top: crease.y0 + 30 }}>
          {crease.parts.map((p) => (
            <li key={p.start}>
              {clockTime(p.start, true)}–{clockTime(p.end, true)} {p.why}
            </li>
          ))}
        </ul>
      )}
    </>
  );
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
  const line = useRef<HTMLDivElement>(null);
  return (
    <div
      ref={line}
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
