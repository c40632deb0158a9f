import type { Furniture, Opening, Plan, PlanRoom, Slide, Slider, Stand } from "#documents/plan";
import type { Vector3 } from "#science/geometry/vector3";
import { type SceneCamera, sceneCamera } from "./scene-camera.ts";
import { type SceneLight, sceneLight } from "./scene-light.ts";
import { type SceneMicrophone, sceneMicrophone } from "./scene-microphone.ts";
import { type ScenePerson, sittingTogether } from "./scene-person.ts";
import { type SceneWall, wallsOf } from "./scene-walls.ts";

export type { SceneCamera } from "./scene-camera.ts";
export type { SceneLight } from "./scene-light.ts";
export type { SceneMicrophone } from "./scene-microphone.ts";
export type { ScenePerson } from "./scene-person.ts";
export type { SceneOpening, SceneWall } from "./scene-walls.ts";

/** A rail on its stands, and the camera that rides it. */
export interface SceneSlide {
  readonly id: string;
  readonly said: Slide;
  readonly slider: Slider | undefined;
  readonly camera: SceneCamera;
  /** The lens at the move's two ends. */
  readonly from: Vector3;
  readonly to: Vector3;
  readonly metres: number;
}

/** A stand on the floor, by whom it holds. */
export interface SceneStand {
  /** Id of the camera, light or microphone that it holds. */
  readonly holds: string;
  readonly kind: "camera" | "light" | "boom";
  readonly at: readonly [number, number];
  /** Radius of its legs, metres. */
  readonly footprint: number;
  /** Height of what it holds. */
  readonly top: number;
  readonly stand: Stand | undefined;
}

/** Everything that follows from a plan's words: points, axes and frames in the room, metres and degrees. */
export interface Scene {
  readonly plan: Plan;
  readonly room: PlanRoom;
  readonly walls: readonly SceneWall[];
  readonly openings: readonly Opening[];
  readonly furniture: readonly Furniture[];
  readonly sitter: ScenePerson;
  readonly interviewer: ScenePerson;
  /** Cameras whose body and lens are in the kit; the others are told by `contradictionsOf`. */
  readonly cameras: readonly SceneCamera[];
  readonly lights: readonly SceneLight[];
  readonly microphones: readonly SceneMicrophone[];
  readonly slides: readonly SceneSlide[];
  readonly stands: readonly SceneStand[];
}

/** Legs of a stand that the kit does not describe, metres. Common practice. */
const usualFootprint = 0.45;

/**
 * Puts the plan's things in the room: people by seat and stature, cameras by their kit, lights by their sheet.
 *
 * @param plan - As read; anything that names kit which is not there is left out here.
 * @param walls - Of the plan's room, where they are known already: a search moves no wall.
 * @returns The scene. It allocates little: it is made anew at every step of a drag and of the search for stagings.
 */
export function sceneOf(plan: Plan, walls: readonly SceneWall[] = wallsOf(plan.room)): Scene {
  const { sitter, interviewer } = sittingTogether(plan.sitter, plan.interviewer);
  const cameras: SceneCamera[] = [];
  const lights: SceneLight[] = [];
  const microphones: SceneMicrophone[] = [];
  const slides: SceneSlide[] = [];
  const stands: SceneStand[] = [];
  const standFor = (id: string | undefined): Stand | undefined =>
    id === undefined ? undefined : plan.kit.stands.find((s) => s.id === id);
  const put = (
    holds: string,
    kind: SceneStand["kind"],
    at: readonly [number, number],
    top: number,
    id: string | undefined,
  ): void => {
    const stand = standFor(id);
    stands.push({ holds, kind, at, footprint: stand?.footprint ?? usualFootprint, top, stand });
  };

  for (const said of plan.cameras) {
    const body = plan.kit.bodies.find((b) => b.id === said.body);
    const lens = plan.kit.lenses.find((l) => l.id === said.lens);
    if (!body || !lens) continue;
    const camera = sceneCamera(said, body, lens, sitter);
    cameras.push(camera);
    if (!plan.slides.some((s) => s.camera === said.id))
      put(said.id, "camera", said.at, camera.point[2], said.stand);
  }
  for (const said of plan.lights) {
    const light = plan.kit.lights.find((l) => l.id === said.light);
    if (!light) continue;
    const placed = sceneLight(said, light, sitter);
    lights.push(placed);
    put(said.id, "light", said.at, said.height, said.stand);
  }
  for (const said of plan.microphones) {
    const microphone = plan.kit.microphones.find((m) => m.id === said.microphone);
    const placed = sceneMicrophone(said, microphone, sitter, interviewer, cameras[0]);
    microphones.push(placed);
    if (said.standAt) put(said.id, "boom", said.standAt, placed.point[2], undefined);
  }
  for (const said of plan.slides) {
    const camera = cameras.find((c) => c.id === said.camera);
    if (!camera) continue;
    const metres = Math.hypot(
      said.to[0] - said.from[0],
      said.to[1] - said.from[1],
      said.to[2] - said.from[2],
    );
    const slider = plan.kit.sliders.find((s) => s.id === said.slider);
    slides.push({ id: said.id, said, slider, camera, from: said.from, to: said.to, metres });
    // A rail stands on a stand at either end; a short one on a single stand under its middle. Common practice.
    const ends = metres > 0.5 ? [said.from, said.to] : [mid(said.from, said.to)];
    for (const end of ends) put(said.camera, "camera", [end[0], end[1]], end[2], camera.said.stand);
  }
  return {
    plan,
    room: plan.room,
    walls,
    openings: plan.room.openings,
    furniture: plan.room.furniture,
    sitter,
    interviewer,
    cameras,
    lights,
    microphones,
    slides,
    stands,
  };
}

const mid = (a: Vector3, b: Vector3): Vector3 => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2];
