import { along, distanceBetween, dot, minus, type Vector3 } from "#science/geometry/vector3";
import { eased } from "#science/motion/easing";
import { panFor } from "#science/motion/pan-for";
import { aimFor, type PinHole, pinHole } from "#science/optics/pin-hole";
import type { Scene, SceneSlide } from "./scene.ts";
import { eyesPlaceFor } from "./scene-camera.ts";

/** Where a moving camera is and how it points. */
interface RailPose {
  /** Metres along the rail from its start. */
  readonly along: number;
  readonly point: Vector3;
  readonly pan: number;
  readonly tilt: number;
}

/** The same at a moment. */
export interface CameraPose extends RailPose {
  /** Seconds from the move's start. */
  readonly t: number;
}

/** The point that a slide holds. */
export const heldPoint = (scene: Scene, slide: SceneSlide): Vector3 =>
  slide.said.hold.point === "chest" ? scene.sitter.breastbone : scene.sitter.eyes;

/** Where a slide holds it: as said, else where its shot puts it at the middle of the way. */
export function heldPlace(scene: Scene, slide: SceneSlide): { x: number; y: number } {
  const { hold } = slide.said;
  const usual = eyesPlaceFor(slide.camera.said.shot, pointAt(slide, 0.5), scene.sitter);
  return { x: hold.x ?? usual.x, y: hold.y ?? (hold.point === "chest" ? 0.75 : usual.y) };
}

const pointAt = (slide: SceneSlide, share: number): Vector3 =>
  along(slide.from, minus(slide.to, slide.from), share);

/** A slide made ready: its pose at any moment. */
export interface Posing {
  readonly target: Vector3;
  readonly place: { readonly x: number; readonly y: number };
  /** Exact pose at a moment of the way out, 0 to `seconds`; the way back is the same reversed. */
  readonly at: (t: number) => CameraPose;
  /** Exact pose at a place of the rail, 0 to 1 from its start. */
  readonly on: (share: number) => RailPose;
}

/**
 * Makes a slide ready. A head that pans and tilts holds the point exactly; one that only pans holds it across the frame,
 * at the tilt that splits its wander; no head points as it does at the middle of the way.
 */
export function posingOf(scene: Scene, slide: SceneSlide): Posing {
  const { said, camera, metres } = slide;
  const target = heldPoint(scene, slide);
  const place = heldPlace(scene, slide);
  const { tanHalfWidth, tanHalfHeight } = camera;
  const aim = (point: Vector3): { pan: number; tilt: number } =>
    aimFor(point, target, place.x, place.y, tanHalfWidth, tanHalfHeight) ?? camera;
  const tilts = [0, 0.25, 0.5, 0.75, 1].map((share) => aim(pointAt(slide, share)).tilt);
  const middleTilt = (Math.min(...tilts) + Math.max(...tilts)) / 2;
  const fixed = said.head === "none" ? aim(pointAt(slide, 0.5)) : null;
  const on = (share: number): RailPose => {
    const point = pointAt(slide, share);
    if (fixed) return { along: metres * share, point, pan: fixed.pan, tilt: fixed.tilt };
    const { pan, tilt } = aim(point);
    if (said.tilts) return { along: metres * share, point, pan, tilt };
    const held = panFor(point, target, place.x, middleTilt, tanHalfWidth);
    return { along: metres * share, point, pan: held ?? pan, tilt: middleTilt };
  };
  return { target, place, at: (t) => ({ t, ...on(eased(said.ease, t / said.seconds)) }), on };
}

/**
 * The frames of a slide's camera in the course of its move: at the rail's two ends, at places evenly between, and where the rail comes
 * nearest to the held point, where the pan turns fastest and the tilt turns back.
 *
 * @param between - How many places between the two ends; an odd number has the middle.
 */
export function holesOnTheWay(scene: Scene, slide: SceneSlide, between: number): PinHole[] {
  const posing = posingOf(scene, slide);
  const rail = minus(slide.to, slide.from);
  const shares = Array.from({ length: between + 2 }, (_, i) => i / (between + 1));
  const nearest = dot(minus(posing.target, slide.from), rail) / Math.max(1e-9, dot(rail, rail));
  if (nearest > 0 && nearest < 1 && shares.every((share) => Math.abs(share - nearest) > 0.02))
    shares.push(nearest);
  const { tanHalfWidth, tanHalfHeight } = slide.camera;
  return shares.map((share) => {
    const { point, pan, tilt } = posing.on(share);
    return pinHole(point, pan, tilt, tanHalfWidth, tanHalfHeight);
  });
}

/** Distance from the lens to the held point. */
export const heldMetres = (posing: Posing, pose: CameraPose): number =>
  distanceBetween(pose.point, posing.target);
