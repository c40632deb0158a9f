import { type ReactNode, useCallback, useEffect, useRef, useState } from "react";
import type { MoveFigures } from "#documents/room-light-result";
import { moveCsv } from "#room/move-csv";
import { posingOf } from "#room/move-pose";
import type { Scene, SceneCamera } from "#room/scene";
import { pinHole } from "#science/optics/pin-hole";
import { Table } from "../parts/figure.tsx";
import { number, percent, significant } from "../words/numbers.ts";
import { Prose } from "../words/prose.tsx";
import { distance, type Units } from "../words/units.ts";
import { Finder, finderDesk } from "./finder.tsx";
import type { Daylight } from "./room-model.ts";

/** The camera of a slide at a moment of its way out, as its head ought to point. */
export function cameraOnSlide(scene: Scene, id: string, seconds: number): SceneCamera | null {
  const slide = scene.slides.find((s) => s.id === id);
  if (!slide) return null;
  const { point, pan, tilt } = posingOf(scene, slide).at(Math.max(0, Math.min(slide.said.seconds, seconds)));
  const { camera } = slide;
  return { ...camera, ...pinHole(point, pan, tilt, camera.tanHalfWidth, camera.tanHalfHeight), pan, tilt };
}

/** Plays a slide: the moment that its camera's picture shows; null while it does not play. */
export function usePlayedSlide(slide: { readonly id: string; readonly seconds: number } | undefined): {
  readonly at: { readonly current: number | null };
  readonly isPlaying: boolean;
  readonly toggle: () => void;
} {
  const at = useRef<number | null>(null);
  const [isPlaying, setPlaying] = useState(false);
  const seconds = slide?.seconds ?? 0;
  useEffect(() => {
    if (!isPlaying || seconds === 0) return;
    // A long move is shown in twelve seconds, so that the drift is seen.
    const rate = Math.max(1, seconds / 12);
    let frame = 0;
    const from = performance.now();
    const step = (now: number) => {
      at.current = Math.min(seconds, ((now - from) / 1000) * rate);
      void finderDesk().then((desk) => desk?.redraw());
      if (at.current >= seconds) setPlaying(false);
      else frame = requestAnimationFrame(step);
    };
    frame = requestAnimationFrame(step);
    return () => {
      cancelAnimationFrame(frame);
      at.current = null;
      void finderDesk().then((desk) => desk?.redraw());
    };
  }, [isPlaying, seconds]);
  return { at, isPlaying, toggle: useCallback(() => setPlaying((was) => !was), []) };
}

/** A move: how it begins and ends, how still the sitter stays, and what to type into the head. */
export function SlideStrip({
  scene,
  move,
  daylight,
  isMoving,
  units,
  width,
}: {
  readonly scene: Scene;
  readonly move: MoveFigures;
  readonly daylight: Daylight;
  readonly isMoving: boolean;
  readonly units: Units;
  readonly width: number;
}): ReactNode {
  const start = useCallback((now: Scene) => cameraOnSlide(now, move.id, 0), [move.id]);
  const end = useCallback((now: Scene) => cameraOnSlide(now, move.id, move.seconds), [move.id, move.seconds]);
  const pixels = scene.cameras.find((c) => c.id === move.camera)?.pixels[0] ?? 1920;
  const still = move.residual.worst / pixels;
  return (
    <div className="slide-strip">
      <div className="ends" style={width > 0 ? { maxWidth: width } : undefined}>
        {(
          [
            ["start", start],
            ["end", end],
          ] as const
        ).map(([name, pick]) => (
          <figure key={name}>
            <Finder
              scene={scene}
              daylight={daylight}
              isMoving={isMoving}
              pick={pick}
              around={0}
              label={`Camera ${move.camera} at the ${name} of its slide`}
            />
            <figcaption>{name}</figcaption>
          </figure>
        ))}
      </div>
      <p className="caption">
        <Prose
          text={`${move.camera} slides ${distance(move.metres, units)} in ${number(move.seconds)} s and turns ${number(Math.abs(move.panDegrees), 1)}°. The sitter keeps still to ${significant(move.residual.worst)} px, ${significant(still * 100)} % of the picture's width; the background drifts ${percent(Math.abs(move.background.pixels) / pixels)}.`}
        />
      </p>
      <details className="as-table">
        <summary>What to type into the head</summary>
        <Table
          caption={`Keyframes of ${move.camera}`}
          rows={move.keyframes}
          columns={[
            { head: "Time, s", cell: (k) => number(k.t, 2) },
            { head: "Along, cm", numeric: true, cell: (k) => number(k.along * 100, 1) },
            { head: "Pan, °", numeric: true, cell: (k) => number(k.pan, 2) },
            { head: "Tilt, °", numeric: true, cell: (k) => number(k.tilt, 2) },
          ]}
        />
        <button
          type="button"
          className="link"
          onClick={() => save(moveCsv([move]), "text/csv", `move-${move.camera}.csv`)}
        >
          Save it as CSV
        </button>
      </details>
    </div>
  );
}

/** Gives the reader a file that was made here. */
export function save(text: string, type: string, name: string): void {
  const address = URL.createObjectURL(new Blob([text], { type }));
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  URL.revokeObjectURL(address);
}
