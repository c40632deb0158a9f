import { type ReactNode, useMemo, useSyncExternalStore } from "react";
import type { RoomResult } from "#documents/room-result";
import type { Scene } from "#room/scene";
import { Table } from "../parts/figure.tsx";
import { hue } from "../words/devices.ts";
import { number, percent } from "../words/numbers.ts";
import { distance, type Units } from "../words/units.ts";
import { DistanceRuler } from "./distance-ruler.tsx";
import { Finder } from "./picture/finder.tsx";
import type { PlayedSlide } from "./played-slide.ts";

/** One camera's picture, with the distances that it sees beneath; while its slide is played, from where it rides. */
export function CameraPicture({
  id,
  scene,
  figures,
  width,
  played,
}: {
  readonly id: string;
  readonly scene: Scene;
  readonly figures: RoomResult;
  readonly width: number;
  readonly played: PlayedSlide;
}): ReactNode {
  const seconds = useSyncExternalStore(played.subscribe, played.seconds);
  const slide =
    seconds !== null && scene.slides.find((s) => s.id === played.id)?.said.camera === id ? played.id : null;
  const view = useMemo(
    () => (slide !== null && seconds !== null ? { slide, seconds } : { camera: id }),
    [id, slide, seconds],
  );
  const camera = scene.cameras.find((one) => one.id === id)!;
  const measured = figures.cameras.find((one) => one.id === id);
  return (
    <div className="camera-view">
      <Finder scene={scene} view={view} label={`What camera ${id} sees`} />
      <span className={`letter ${hue(id)}`} aria-hidden="true">
        {id}
      </span>
      {measured && width > 0 && (
        <DistanceRuler
          camera={measured}
          sensorHeightMm={camera.sensorMm[1]}
          width={width}
          pictureHeight={width / camera.aspect / 1.18}
          units={figures.units}
        />
      )}
    </div>
  );
}

/** What each camera sees, in figures. */
export function CameraTable({
  figures,
  units,
}: {
  readonly figures: RoomResult;
  readonly units: Units;
}): ReactNode {
  return (
    <Table
      caption="What each camera sees"
      rows={figures.cameras}
      columns={[
        { head: "Camera", cell: (c) => <b className={hue(c.id)}>{c.id}</b> },
        {
          head: "Lens",
          numeric: true,
          cell: (c) => `${number(c.focalMm, c.focalMm % 1 === 0 ? 0 : 1)} mm f/${number(c.stop, 1)}`,
        },
        { head: "To the eyes", numeric: true, cell: (c) => distance(c.sitterMetres, units) },
        {
          head: "Angle seen",
          numeric: true,
          cell: (c) => `${number(c.fieldOfView.width, 1)}° × ${number(c.fieldOfView.height, 1)}°`,
        },
        { head: "Shot", cell: (c) => c.shot.is },
        { head: "Headroom", numeric: true, cell: (c) => percent(c.shot.headroom) },
        { head: "Eyeline", numeric: true, cell: (c) => `${number(c.eyeline.degrees)}°` },
        {
          head: "Sharp",
          numeric: true,
          cell: (c) =>
            `${distance(c.focus.near, units)} – ${c.focus.far === null ? "∞" : distance(c.focus.far, units)}`,
        },
        {
          head: "Background blur",
          numeric: true,
          cell: (c) => `${number(c.blur.share * 100, 1)} % of the height`,
        },
      ]}
    />
  );
}
