import type { ReactNode } from "react";
import type { StoryResult } from "#documents/chapter-results";
import { cutPlayer } from "../data/cut-player.ts";
import { fileAddress } from "../words/addresses.ts";
import { Prose } from "../words/prose.tsx";
import { clockTime } from "../words/times.ts";
import type { Columns } from "./braid-columns.ts";

type Event = StoryResult["events"][number];

/** One shot: its picture (a button that plays from there), the faded other angle, its time and its reason. */
export function Shot({
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
  const hasPicture = height >= (isSmall ? 13 : 26);
  const top = y0 + (room - height) / 2;
  const own = event.stills?.[event.camera];
  const others = Object.entries(event.stills ?? {}).filter(([camera]) => camera !== event.camera);
  const x = side === "left" ? columns.leftPicture : columns.rightPicture;
  const otherX = side === "left" ? columns.rightPicture : columns.leftPicture;
  const lines = Math.max(1, Math.floor((y1 - Math.max(y0, top) + 6) / 21));
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
