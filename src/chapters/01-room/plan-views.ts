import { directionOf, radiansOf, type Vector3 } from "#science/geometry/vector3";
import { circleOfConfusionMm, depthOfFieldMm } from "#science/optics/depth-of-field";
import type { PlanPage } from "./plan-page.ts";
import type { Scene, SceneCamera } from "./scene.ts";
import { firstHit } from "./scene-rays.ts";
import { fig, path, pathOf } from "./svg-text.ts";

type Spot = readonly [number, number];

/** The letter's hue: A and B have one, every other camera is ink. */
export const hueOf = (id: string): "a" | "b" | "c" => (id === "A" ? "a" : id === "B" ? "b" : "c");

/** Near and far limit of what is sharp, metres; far may be Infinity. */
export function sharpOf(scene: Scene, camera: SceneCamera): { near: number; far: number } {
  const circle = circleOfConfusionMm(scene.plan.confusion, camera.sensorMm, camera.pixels[0]);
  const { near, far } = depthOfFieldMm(camera.focalMm, camera.stop, circle, camera.focus * 1000);
  return { near: near / 1000, far: far / 1000 };
}

/** A view that no wall ends is drawn this far, metres. */
const open = 15;
const rays = 24;

/** For each ray of the view: its direction with one metre of depth, and the depth at which a wall ends it. */
function fan(scene: Scene, camera: SceneCamera): { way: Spot; depth: number }[] {
  const ahead = directionOf(camera.pan);
  const pan = radiansOf(camera.pan);
  const right: Spot = [Math.cos(pan), -Math.sin(pan)];
  return Array.from({ length: rays + 1 }, (_, i) => {
    const u = camera.tanHalfWidth * ((2 * i) / rays - 1);
    const way: Spot = [ahead[0] + u * right[0], ahead[1] + u * right[1]];
    const slant = Math.hypot(1, u);
    const unit: Vector3 = [way[0] / slant, way[1] / slant, 0];
    const hit = firstHit(scene, camera.point, unit, false);
    return { way, depth: (hit?.metres ?? open) / slant };
  });
}

/** What a lens takes in, tinted, with what is sharp hatched, and its axis to the sitter's eyes. */
export function drawView(page: PlanPage, scene: Scene, camera: SceneCamera, hatch: string): string {
  const hue = hueOf(camera.id);
  const edges = fan(scene, camera);
  const at = ({ way }: { way: Spot }, depth: number): Spot => [
    page.x(camera.point[0] + way[0] * depth),
    page.y(camera.point[1] + way[1] * depth),
  ];
  const lens: Spot = [page.x(camera.point[0]), page.y(camera.point[1])];
  const ends = edges.map((edge) => at(edge, edge.depth));
  let svg = path(`view ${hue}`, pathOf([lens, ...ends]));
  const { near, far } = sharpOf(scene, camera);
  const inside = edges.filter((edge) => edge.depth > near);
  if (inside.length > 1)
    svg += `<path class="sharp" style="fill:url(#${hatch})" d="${pathOf([
      ...inside.map((edge) => at(edge, near)),
      ...inside.map((edge) => at(edge, Math.min(far, edge.depth))).reverse(),
    ])}"/>`;
  svg += path(`edge ${hue}`, pathOf([ends[0]!, lens, ends.at(-1)!], false));
  const eyes: Spot = [page.x(scene.sitter.eyes[0]), page.y(scene.sitter.eyes[1])];
  return svg + path(`axis ${hue}`, pathOf([lens, eyes], false));
}

/** The line between the two who talk, and the angle at the sitter between it and each lens, with places for its figure: one entry a camera, without a place where there is no angle. */
export function drawEyelines(
  page: PlanPage,
  scene: Scene,
): { svg: string; texts: { spots: Spot[]; text: string }[] } {
  const { sitter, interviewer } = scene;
  const eye: Spot = [page.x(sitter.eyes[0]), page.y(sitter.eyes[1])];
  const other: Spot = [page.x(interviewer.eyes[0]), page.y(interviewer.eyes[1])];
  let svg = path("sight", pathOf([eye, other], false));
  const texts: { spots: Spot[]; text: string }[] = [];
  const first = Math.atan2(other[1] - eye[1], other[0] - eye[0]);
  scene.cameras.forEach((camera, i) => {
    const lens: Spot = [page.x(camera.point[0]), page.y(camera.point[1])];
    const second = Math.atan2(lens[1] - eye[1], lens[0] - eye[0]);
    const turn = Math.atan2(Math.sin(second - first), Math.cos(second - first));
    if (Math.abs(turn) < 0.02) {
      texts.push({ spots: [], text: "" });
      return;
    }
    const r = Math.max(30, Math.min(64, page.scale * 0.75)) * (1 + 0.22 * i);
    const p: Spot = [eye[0] + r * Math.cos(first), eye[1] + r * Math.sin(first)];
    const q: Spot = [eye[0] + r * Math.cos(second), eye[1] + r * Math.sin(second)];
    svg += path(
      "angle",
      `M${fig(p[0])} ${fig(p[1])}A${fig(r)} ${fig(r)} 0 ${Math.abs(turn) > Math.PI ? 1 : 0} ${turn > 0 ? 1 : 0} ${fig(q[0])} ${fig(q[1])}`,
    );
    const on = (share: number, out: number): Spot => [
      eye[0] + (r + out) * Math.cos(first + turn * share),
      eye[1] + (r + out) * Math.sin(first + turn * share),
    ];
    texts.push({
      spots: [on(0.5, 14), on(0.5, -11), on(0.7, 14), on(0.3, 14), on(0.85, 14), on(0.5, 26)],
      text: `${Math.round((Math.abs(turn) * 180) / Math.PI)}°`,
    });
  });
  return { svg, texts };
}
