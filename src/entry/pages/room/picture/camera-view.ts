import { posingOf } from "#room/move-pose";
import type { Scene, SceneCamera } from "#room/scene";
import { pinHole } from "#science/optics/pin-hole";

/** Whose picture is shown: a camera of the plan, or the one on a slide at a moment of its way out. */
export type CameraView = { readonly camera: string } | { readonly slide: string; readonly seconds: number };

/** The camera of a slide at a moment of its way out, as its head ought to point; null where there is no such slide. */
export function cameraOnSlide(scene: Scene, id: string, seconds: number): SceneCamera | null {
  const slide = scene.slides.find((s) => s.id === id);
  if (!slide) return null;
  const { point, pan, tilt } = posingOf(scene, slide).at(Math.max(0, Math.min(slide.said.seconds, seconds)));
  const { camera } = slide;
  return { ...camera, ...pinHole(point, pan, tilt, camera.tanHalfWidth, camera.tanHalfHeight), pan, tilt };
}

/** The camera that is looked through; null where the scene has none such. */
export function viewedBy(scene: Scene, view: CameraView): SceneCamera | null {
  return "slide" in view
    ? cameraOnSlide(scene, view.slide, view.seconds)
    : (scene.cameras.find(({ id }) => id === view.camera) ?? null);
}
