import type { RoomCamera, SeenThing } from "#documents/room-result";
import type { Vector3 } from "#science/geometry/vector3";
import { seenBy } from "./geometry-intrusions.ts";
import { reflectionsIn } from "./geometry-reflections.ts";
import type { Thing } from "./geometry-things.ts";
import type { Scene, SceneCamera } from "./scene.ts";
import { sceneCamera } from "./scene-camera.ts";

/** A camera where it stands and, on a rail, at the move's two ends, turned so that the sitter stays in place. */
function posesOf(scene: Scene, camera: SceneCamera): SceneCamera[] {
  const slide = scene.slides.find((s) => s.camera.id === camera.id);
  if (!slide) return [camera];
  const { pan: _, tilt, ...said } = camera.said;
  const pose = (at: Vector3): SceneCamera =>
    sceneCamera(
      {
        ...said,
        at: [at[0], at[1]],
        height: at[2],
        ...(slide.said.head === "none" && { pan: camera.pan, tilt: camera.tilt }),
        ...(!slide.said.tilts && tilt !== undefined && { tilt }),
      },
      camera.body,
      camera.lens,
      scene.sitter,
    );
  return [camera, pose(slide.from), pose(slide.to)];
}

/** What a camera's frame holds wherever its move takes it: each thing once, as large as it ever is. */
export function seenOnTheWay(
  scene: Scene,
  camera: SceneCamera,
  things: readonly Thing[],
): RoomCamera["seen"] {
  const [still, ...moved] = posesOf(scene, camera);
  const all = new Map<string, SeenThing>();
  for (const pose of [still!, ...moved])
    for (const thing of seenBy(scene, pose, camera.id, things)) {
      const key = `${thing.kind} ${thing.id}`;
      const known = all.get(key);
      if (!known || known.area < thing.area) all.set(key, thing);
    }
  return [...all.values()].sort((a, b) => a.metres - b.metres);
}

/** What a camera sees mirrored wherever its move takes it: each thing once a pane, where it was seen first. */
export function reflectionsOnTheWay(scene: Scene, camera: SceneCamera): RoomCamera["reflections"] {
  const all = new Map<string, RoomCamera["reflections"][number]>();
  for (const pose of posesOf(scene, camera))
    for (const found of reflectionsIn(scene, pose)) {
      const key = `${found.in} ${found.of}`;
      if (!all.has(key)) all.set(key, found);
    }
  return [...all.values()];
}
