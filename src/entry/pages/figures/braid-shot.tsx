import { type PointerEvent, type ReactNode, useState } from "react";
import type { StoryResult } from "#documents/chapter-results";
import { cutPlayer } from "../data/cut-player.ts";
import { fileAddress } from "../words/addresses.ts";
import { Prose } from "../words/prose.tsx";
import { clockTime } from "../words/times.ts";
import type { BraidActs } from "./braid-acts.ts";
import type { Columns } from "./braid-columns.ts";

type Event = StoryResult["events"][number];

/**
 * One shot: its picture (a button that plays from there), the faded other angle (a button that takes it instead), its
 * time and its reason. Between the pictures lies the ribbon, which can be drawn over to the other column.
 */
export function Shot({
  event,
  index,
  y0,
  y1,
  columns,
  side,
  words,
  mostWordLines = Number.POSITIVE_INFINITY,
  isTimed,
  isSmall = false,
  other,
  acts,
}: {
  readonly event: Event;
  readonly index: number;
  readonly y0: number;
  readonly y1: number;
  readonly columns: Columns;
  readonly side: "left" | "right";
  readonly words: { readonly left: number; readonly width: number } | null;
  /** Rows that the reason may take. */
  readonly mostWordLines?: number;
  readonly isTimed: boolean;
  readonly isSmall?: boolean;
  /** The camera that could show it instead. */
  readonly other?: string | undefined;
  readonly acts?: BraidActs | null;
}): ReactNode {
  const room = y1 - y0 - (isSmall ? 2 : 0);
  const height = Math.max(3, Math.min(room, (columns.picture * 9) / 16));
  // Too low for a picture: the shot is a plain band that can still be pressed.
  const hasPicture = height >= (isSmall ? 13 : 26);
  const top = y0 + (room - height) / 2;
  const own = event.stills?.[event.camera];
  const others = Object.entries(event.stills ?? {}).filter(([camera]) => camera !== event.camera);
  const otherStill = (other && event.stills?.[other]) || others[0]?.[1];
  const x = side === "left" ? columns.leftPicture : columns.rightPicture;
  const otherX = side === "left" ? columns.rightPicture : columns.leftPicture;
  const lines = Math.max(1, Math.min(mostWordLines, Math.floor((y1 - Math.max(y0, top) + 6) / 21)));
  const [drawn, setDrawn] = useState<number | null>(null);
  const span = `${clockTime(event.start)} to ${clockTime(event.end)}`;
  const isMeant = drawn !== null && isOver(drawn, columns, side);
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
        aria-label={`Camera ${event.camera}, ${span}. ${event.why}. Play from here.`}
        title={`${clockTime(event.start)}–${clockTime(event.end)}: ${event.why}`}
        onClick={() => cutPlayer.playFrom(event.start)}
      >
        {hasPicture && own && <img src={fileAddress(own)} alt="" draggable={false} />}
        {hasPicture && !isSmall && own && <span className={`letter ${side}`}>{event.camera}</span>}
      </button>
      {acts && other ? (
        <button
          type="button"
          className={isMeant ? "unused can meant" : "unused can"}
          style={{ left: otherX, top, width: columns.picture, height }}
          aria-label={`Show camera ${other} from ${span} instead`}
          title={`Show camera ${other} here`}
          onClick={() => acts.angle(event, other)}
        >
          {hasPicture && otherStill && <img src={fileAddress(otherStill)} alt="" draggable={false} />}
        </button>
      ) : (
        hasPicture &&
        otherStill && (
          <span className="unused" style={{ left: otherX, top, width: columns.picture, height }}>
            <img src={fileAddress(otherStill)} alt="" />
          </span>
        )
      )}
      {acts && other && (
        <Grip
          columns={columns}
          side={side}
          y0={y0}
          y1={y1}
          drawn={drawn}
          onDraw={setDrawn}
          onOver={() => acts.angle(event, other)}
        />
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

/** Whether the ribbon, drawn this far sideways, is over the middle. */
function isOver(drawn: number, columns: Columns, side: "left" | "right"): boolean {
  const half = (columns.rightPicture - columns.leftPicture - columns.picture) / 2;
  return (side === "left" ? drawn : -drawn) > half - 4;
}

/** The ribbon's own stretch, to be drawn to the other column; taps and keys do the same elsewhere. */
function Grip({
  columns,
  side,
  y0,
  y1,
  drawn,
  onDraw,
  onOver,
}: {
  readonly columns: Columns;
  readonly side: "left" | "right";
  readonly y0: number;
  readonly y1: number;
  readonly drawn: number | null;
  readonly onDraw: (by: number | null) => void;
  readonly onOver: () => void;
}): ReactNode {
  const [from, setFrom] = useState(0);
  const inner = columns.leftPicture + columns.picture;
  const width = columns.rightPicture - inner;
  const moved = (event: PointerEvent) =>
    Math.max(side === "left" ? 0 : -width, Math.min(side === "left" ? width : 0, event.clientX - from));
  return (
    <div
      className="grip"
      aria-hidden="true"
      style={{ left: side === "left" ? inner - 4 : columns.rightPicture - 20, top: y0, height: y1 - y0 }}
      onPointerDown={(event) => {
        if (event.button !== 0) return;
        event.currentTarget.setPointerCapture(event.pointerId);
        setFrom(event.clientX);
        onDraw(0);
      }}
      onPointerMove={(event) => drawn !== null && onDraw(moved(event))}
      onPointerUp={(event) => {
        if (drawn === null) return;
        onDraw(null);
        if (isOver(moved(event), columns, side)) onOver();
      }}
      onPointerCancel={() => onDraw(null)}
    >
      {drawn !== null && drawn !== 0 && <i style={{ transform: `translateX(${drawn}px)` }} />}
    </div>
  );
}

function whyOf(event: Event): string {
  const why = event.why.charAt(0).toUpperCase() + event.why.slice(1);
  const whole = /[.]$/.test(why) ? why : `${why}.`;
  return event.scale !== undefined && event.scale > 1
    ? `${whole} The picture is ${Math.round((event.scale - 1) * 100)} % larger.`
    : whole;
}
