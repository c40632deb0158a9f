import { type ReactNode, useMemo } from "react";
import type { StoryResult } from "#documents/chapter-results";
import { hue } from "../words/devices.ts";
import type { Columns } from "./braid-columns.ts";
import type { BraidLayout } from "./braid-layout.ts";
import { type RibbonFace, ribbonFaces, sideOf } from "./ribbon.ts";
import { scale, timeTicks } from "./ticks.ts";

const ribbonWidth = 12;

/** The ribbon and the creases: all of the braid that is drawn rather than set. */
export function Strands({
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
      {!isSmall && (
        <defs>
          <linearGradient id="crease-shade" x1="0" x2="0" y1="0" y2="1">
            <stop offset="0" stopColor="var(--rule)" stopOpacity="0" />
            <stop offset="0.82" stopColor="var(--rule)" stopOpacity="0.55" />
            <stop offset="1" stopColor="var(--rule)" />
          </linearGradient>
        </defs>
      )}
      {layout.creases.filter(isIn).map((c) =>
        Array.from({ length: c.lines }, (_, i) => {
          const y = (c.y0 + c.y1) / 2 + (i - (c.lines - 1) / 2) * (isSmall ? 2 : 7);
          return isSmall ? (
            <line key={y} x1={columns.leftPicture} x2={columns.end} y1={y} y2={y} stroke="var(--rule)" />
          ) : (
            <rect
              key={y}
              x={0}
              width={columns.end + 10}
              y={c.isUnfolded ? c.y0 + 10 + i * 6 : y - 3}
              height={6}
              fill="url(#crease-shade)"
            />
          );
        }),
      )}
      {!isSmall &&
        layout.shots.filter(isIn).flatMap((shot) => {
          const event = story.events[shot.index]!;
          const y = scale(event.start, event.end, shot.y0, shot.y1);
          return timeTicks(event.start, event.end, (shot.y1 - shot.y0) / 28)
            .filter((tick) => y(tick.at) > shot.y0 + 16 && y(tick.at) < shot.y1 - 2)
            .map((tick) => (
              <line
                key={`${shot.index} ${tick.at}`}
                x1={columns.time - 22}
                x2={columns.time - 12}
                y1={y(tick.at)}
                y2={y(tick.at)}
                stroke="var(--rule)"
              />
            ));
        })}
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
