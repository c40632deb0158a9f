import {
  type KeyboardEvent,
  type PointerEvent,
  type ReactNode,
  useEffect,
  useMemo,
  useRef,
  useState,
} from "react";
import type { ColourResult } from "#documents/chapter-results";
import type { SittingPage } from "#documents/page";
import type { Recording } from "#documents/recording";
import { fitHomography, type Point, project } from "#science/vision/homography";
import { say } from "../data/say.ts";
import { number } from "../words/numbers.ts";
import { Prose } from "../words/prose.tsx";
import { clockTime } from "../words/times.ts";

type Chart = ColourResult["charts"][number];
type Corners = readonly [Point, Point, Point, Point];

/** The corner patches of the published order, clockwise from dark skin. */
const names = ["dark skin", "bluish green", "black", "white"] as const;
/** The field of 24 patches, six by four. */
const field: Corners = [
  [0, 0],
  [6, 0],
  [6, 4],
  [0, 4],
];
const centres: readonly Point[] = Array.from({ length: 24 }, (_, i) => [
  (i % 6) + 0.5,
  Math.floor(i / 6) + 0.5,
]);

/**
 * The frame with the chart and its four corners: each is drawn to its place, or chosen and put there by a tap, or moved
 * by the arrow keys, a picture element at a time (ten with Shift).
 */
export function ChartCorners({
  page,
  recording,
  chart,
  onDone,
}: {
  readonly page: SittingPage;
  readonly recording: Recording;
  /** As found or as set before; null where the chart was not found in this recording. */
  readonly chart: Chart | null;
  readonly onDone: () => void;
}): ReactNode {
  const picture = recording.probe.picture;
  const isTurned = Math.abs(picture?.rotationDegrees ?? 0) % 180 === 90;
  const width = chart?.picture?.width ?? (isTurned ? picture?.height : picture?.width) ?? 1920;
  const height = chart?.picture?.height ?? (isTurned ? picture?.width : picture?.height) ?? 1080;
  const [at, setAt] = useState(chart?.at ?? 1);
  const [corners, setCorners] = useState<Corners>(
    () => (chart?.corners as unknown as Corners | undefined) ?? middleOf(width, height),
  );
  const [chosen, setChosen] = useState<number | null>(null);
  const [hasFrame, setHasFrame] = useState(true);
  const box = useRef<HTMLDivElement>(null);
  const head = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    const from = document.activeElement;
    head.current?.focus({ preventScroll: true });
    head.current?.scrollIntoView({ block: "nearest" });
    return () => {
      // Back to what opened it, once that can be reached again.
      requestAnimationFrame(() => from instanceof HTMLElement && from.isConnected && from.focus());
    };
  }, []);
  const frame = `api/frame?${new URLSearchParams({ hash: recording.hash, at: String(at), width: "1280" })}`;
  const spots = useMemo(() => {
    const seen = fitHomography(field, corners);
    return seen ? centres.map((c) => project(seen, c)) : [];
  }, [corners]);
  const isSaid = page.said.charts.some(({ hash }) => hash === recording.hash);

  const put = (index: number, [x, y]: Point) =>
    setCorners(
      (old) =>
        old.map((c, i) =>
          i === index ? [Math.min(width, Math.max(0, x)), Math.min(height, Math.max(0, y))] : c,
        ) as unknown as Corners,
    );
  const pointOf = (event: { readonly clientX: number; readonly clientY: number }): Point => {
    const { left, top, width: w, height: h } = box.current!.getBoundingClientRect();
    return [((event.clientX - left) / w) * width, ((event.clientY - top) / h) * height];
  };
  const keys = (event: KeyboardEvent, index: number) => {
    const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!by || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    const step = event.shiftKey ? 10 : 1;
    const [x, y] = corners[index]!;
    put(index, [x + by[0]! * step, y + by[1]! * step]);
  };

  return (
    <section className="corners" aria-labelledby="corners-name">
      <h3 id="corners-name" ref={head} tabIndex={-1}>
        <Prose text={`Where the chart is, camera ${recording.device}`} />
      </h3>
      <p className="caption">
        Put each ring on the outer corner of its patch: draw it there, or press it and then press the place,
        or move it with the arrow keys (Shift: ten at once). The dots then lie in the middle of the patches.
      </p>
      {/* biome-ignore lint/a11y/useKeyWithClickEvents: the rings take the arrow keys */}
      {/* biome-ignore lint/a11y/noStaticElementInteractions: as above */}
      <div
        className="corner-frame"
        ref={box}
        style={{ aspectRatio: `${width} / ${height}` }}
        onClick={(event) => {
          if (chosen === null || (event.target as HTMLElement).closest("button")) return;
          put(chosen, pointOf(event));
        }}
      >
        <img
          src={frame}
          alt={`Camera ${recording.device} at ${clockTime(at, true)} of its file`}
          draggable={false}
          onLoad={() => setHasFrame(true)}
          onError={() => setHasFrame(false)}
        />
        <svg viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
          <polygon points={corners.map((c) => c.join(",")).join(" ")} className="under" />
          <polygon points={corners.map((c) => c.join(",")).join(" ")} />
          {spots.map(([x, y]) => (
            <circle key={`${x} ${y}`} cx={x} cy={y} r={width / 420} />
          ))}
        </svg>
        {corners.map(([x, y], i) => (
          <Ring
            key={names[i]}
            name={names[i]!}
            at={[x / width, y / height]}
            says={`${names[i]}'s corner, ${number(x)} across, ${number(y)} down`}
            isChosen={chosen === i}
            onChoose={() => setChosen(chosen === i ? null : i)}
            onDraw={(event) => {
              setChosen(i);
              put(i, pointOf(event));
            }}
            onKey={(event) => keys(event, i)}
          />
        ))}
      </div>
      {!hasFrame && (
        <p role="status" className="caption">
          This frame could not be read. Choose another moment.
        </p>
      )}
      <label className="corner-moment">
        <span>
          Moment, {clockTime(at, true)} of {recording.path.split(/[\\/]/).at(-1)}
        </span>
        <input
          className="slide"
          type="range"
          min={0}
          max={Math.max(1, (recording.readableSeconds ?? recording.probe.durationSeconds) - 0.2)}
          step={0.2}
          value={at}
          onChange={(event) => setAt(Number(event.target.value))}
        />
      </label>
      <div className="actions">
        <button
          type="button"
          className="press"
          onClick={() => {
            say({ kind: "chart", hash: recording.hash, at, corners: corners.map(([x, y]) => [x, y]) });
            onDone();
          }}
        >
          Measure with these corners
        </button>
        {isSaid && (
          <button
            type="button"
            className="link"
            onClick={() => {
              say({ kind: "chart", hash: recording.hash, at, corners: null });
              onDone();
            }}
          >
            Look for the chart again
          </button>
        )}
        <button type="button" className="link" onClick={onDone}>
          Leave it as it was
        </button>
      </div>
    </section>
  );
}

function Ring({
  name,
  at: [x, y],
  says,
  isChosen,
  onChoose,
  onDraw,
  onKey,
}: {
  readonly name: string;
  readonly at: Point;
  readonly says: string;
  readonly isChosen: boolean;
  readonly onChoose: () => void;
  readonly onDraw: (event: PointerEvent) => void;
  readonly onKey: (event: KeyboardEvent) => void;
}): ReactNode {
  const from = useRef<Point | null>(null);
  const wasDrawn = useRef(false);
  return (
    <button
      type="button"
      className="ring"
      aria-label={says}
      aria-pressed={isChosen}
      style={{ left: `${x * 100}%`, top: `${y * 100}%` }}
      onKeyDown={onKey}
      onClick={() => {
        if (!wasDrawn.current) onChoose();
        wasDrawn.current = false;
      }}
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        from.current = [event.clientX, event.clientY];
        wasDrawn.current = false;
      }}
      onPointerMove={(event) => {
        if (!from.current) return;
        const far = Math.hypot(event.clientX - from.current[0], event.clientY - from.current[1]) > 3;
        if (!far && !wasDrawn.current) return;
        wasDrawn.current = true;
        onDraw(event);
      }}
      onPointerUp={() => {
        from.current = null;
      }}
      onPointerCancel={() => {
        from.current = null;
      }}
    >
      <span aria-hidden="true">{name}</span>
    </button>
  );
}

/** Four corners to begin with where no chart was found: the middle of the picture, six to four. */
function middleOf(width: number, height: number): Corners {
  const [w, h] = [width * 0.15, width * 0.1];
  const [x, y] = [width / 2, height / 2];
  return [
    [x - w, y - h],
    [x + w, y - h],
    [x + w, y + h],
    [x - w, y + h],
  ];
}
