import { type ReactNode, useMemo } from "react";
import type { MoveFigures } from "#documents/room-light-result";
import { moveCsv } from "#room/move-csv";
import type { Scene } from "#room/scene";
import { Table } from "../parts/figure.tsx";
import { number, percent, significant } from "../words/numbers.ts";
import { Prose } from "../words/prose.tsx";
import { distance, type Units } from "../words/units.ts";
import { Finder } from "./picture/finder.tsx";
import { save } from "./save.ts";

/** A move: how it begins and ends, how still the sitter stays, and what to type into the head. */
export function SlideStrip({
  scene,
  move,
  units,
  width,
}: {
  readonly scene: Scene;
  readonly move: MoveFigures;
  readonly units: Units;
  readonly width: number;
}): ReactNode {
  const start = useMemo(() => ({ slide: move.id, seconds: 0 }), [move.id]);
  const end = useMemo(() => ({ slide: move.id, seconds: move.seconds }), [move.id, move.seconds]);
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
        ).map(([name, view]) => (
          <figure key={name}>
            <Finder
              scene={scene}
              view={view}
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
