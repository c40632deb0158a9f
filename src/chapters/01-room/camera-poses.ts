import type { RoomCamera, SeenThing } from "#documents/room-result";
import type { PinHole } from "#science/optics/pin-hole";
import { seenBy } from "./geometry-intrusions.ts";
import { reflectionsIn } from "./geometry-reflections.ts";
import type { Thing } from "./geometry-things.ts";
import { holesOnTheWay } from "./move-pose.ts";
import type { Scene, SceneCamera } from "./scene.ts";

/** Between a rail's ends a frame is looked into at its middle; glass, which shows a thing for a hand's breadth of the way, at more places. */
const [placesBetween, placesForGlass] = [1, 7] as const;

/** The frames of a camera where it stands and, on a rail, in the course of its move. */
export function framesOnTheWay(
  scene: Scene,
  camera: SceneCamera,
  between: number = placesBetween,
): PinHole[] {
  const slides = scene.slides.filter((s) => s.camera.id === camera.id);
  return [camera, ...slides.flatMap((slide) => holesOnTheWay(scene, slide, between))];
}

/** What a camera's frame holds wherever its move takes it: each thing once, as large as it ever is. */
export function seenOnTheWay(
  scene: Scene,
  camera: SceneCamera,
  things: readonly Thing[],
): RoomCamera["seen"] {
  const all = new Map<string, SeenThing>();
  for (const frame of framesOnTheWay(scene, camera))
    for (const thing of seenBy(scene, frame, camera.id, things)) {
      const key = `${thing.kind} ${thing.id}`;
      const known = all.get(key);
      if (!known || known.area < thing.area) all.set(key, thing);
    }
  return [...all.values()].sort((a, b) => a.metres - b.metres);
}

/** What a camera sees mirrored wherever its move takes it: each thing once a pane, where it was seen first. */
export function reflectionsOnTheWay(scene: Scene, camera: SceneCamera): RoomCamera["reflections"] {
  const all = new Map<string, RoomCamera["reflections"][number]>();
  for (const frame of framesOnTheWay(scene, camera, placesForGlass))
    for (const found of reflectionsIn(scene, frame, camera.id)) {
      const key = `${found.in} ${found.of}`;
      if (!all.has(key)) all.set(key, found);
    }
  return [...all.values()];
}
