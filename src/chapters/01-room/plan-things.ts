import { halfShoulderShare, headMetres } from "#science/people/body-points";
import type { PlanPage } from "./plan-page.ts";
import { hueOf } from "./plan-views.ts";
import type { SceneCamera, SceneLight, SceneMicrophone, ScenePerson, SceneSlide } from "./scene.ts";
import { fig, line, path } from "./svg-text.ts";

/** A drawing in its own axes (up is ahead), put at a place and turned to a heading. */
const put = (page: PlanPage, x: number, y: number, heading: number, inner: string): string =>
  `<g transform="translate(${fig(page.x(x))} ${fig(page.y(y))}) rotate(${fig(heading)})">${inner}</g>`;

/** A person from above, at true size: chair, thighs where seated, shoulders, head with its nose. */
export function drawPerson(page: PlanPage, person: ScenePerson, isSitter: boolean): string {
  const k = page.scale;
  const half = halfShoulderShare * person.stature * 1.22 * k;
  const deep = 0.12 * k;
  const isSeated = person.seatHeight !== null;
  let body = "";
  if (isSeated) {
    const c = 0.23 * k;
    body += `<rect class="body" x="${fig(-c)}" y="${fig(-c)}" width="${fig(2 * c)}" height="${fig(2 * c)}" rx="${fig(0.03 * k)}"/>`;
    for (const side of [-1, 1])
      body += `<rect class="body" x="${fig(side * 0.1 * k - 0.075 * k)}" y="${fig(-0.56 * k)}" width="${fig(0.15 * k)}" height="${fig(0.5 * k)}" rx="${fig(0.07 * k)}"/>`;
  }
  body += `<ellipse class="body" rx="${fig(half)}" ry="${fig(deep)}"/>`;
  const [rx, ry] = [(headMetres.breadth / 2) * k, (headMetres.length / 2) * k];
  const head = `<path class="${isSitter ? "solid" : "body"}" d="M${fig(-0.02 * k)} ${fig(-ry * 0.93)}L0 ${fig(-ry - 0.03 * k)}L${fig(0.02 * k)} ${fig(-ry * 0.93)}Z"/><ellipse class="${isSitter ? "solid" : "head"}" rx="${fig(rx)}" ry="${fig(ry)}"/>`;
  const [x, y] = person.said.at;
  return put(page, x, y, person.bodyHeading, body) + put(page, x, y, person.headHeading, head);
}

/** A camera from above: body behind the lens's point, lens flaring ahead. */
export function drawCamera(page: PlanPage, camera: SceneCamera, isGhost = false): string {
  const k = Math.max(52, page.scale);
  const [w, d] = [0.13 * k, 0.2 * k];
  const shape = `M${fig(-w / 2)} ${fig(d)}H${fig(w / 2)}V${fig(0.06 * k)}H${fig(w * 0.32)}L${fig(w * 0.55)} ${fig(-0.06 * k)}H${fig(-w * 0.55)}L${fig(-w * 0.32)} ${fig(0.06 * k)}H${fig(-w / 2)}Z`;
  return put(
    page,
    camera.point[0],
    camera.point[1],
    camera.pan,
    path(`${isGhost ? "ghost" : "camera"} ${hueOf(camera.id)}`, shape),
  );
}

/** A light: its face at true breadth towards its aim, and rays from it. */
export function drawLight(page: PlanPage, light: SceneLight, heading: number): string {
  const half = Math.max(5, (light.size[0] / 2) * page.scale);
  const deep = Math.max(9, Math.min(half * 0.8, 0.35 * page.scale));
  let inner = path(
    "lamp",
    `M${fig(-half)} 0Q0 ${fig(-deep * 0.35)} ${fig(half)} 0L${fig(half * 0.35)} ${fig(deep)}H${fig(-half * 0.35)}Z`,
  );
  for (const t of [-0.6, 0, 0.6])
    inner += line("ray", half * t, -deep * 0.3, half * t * 1.25, -deep * 0.3 - 16);
  return put(page, light.point[0], light.point[1], heading, inner);
}

/** A boom: its stand, its pole and the capsule at the end; a lav is a dot. */
export function drawMicrophone(page: PlanPage, microphone: SceneMicrophone): string {
  const [x, y] = [page.x(microphone.point[0]), page.y(microphone.point[1])];
  const { standAt } = microphone.said;
  if (!standAt)
    return microphone.said.role === "boom"
      ? `<circle class="solid" cx="${fig(x)}" cy="${fig(y)}" r="3"/>`
      : "";
  const [sx, sy] = [page.x(standAt[0]), page.y(standAt[1])];
  const length = Math.hypot(x - sx, y - sy) || 1;
  const [ux, uy] = [(x - sx) / length, (y - sy) / length];
  return (
    `<circle class="body" cx="${fig(sx)}" cy="${fig(sy)}" r="4.5"/>` +
    line("pole", sx, sy, x, y) +
    line("capsule", x - ux * 2, y - uy * 2, x + ux * 8, y + uy * 8)
  );
}

/** A slider: its rail with feet, and the camera at both ends, dashed. */
export function drawSlide(page: PlanPage, slide: SceneSlide, ends: readonly SceneCamera[]): string {
  const [x1, y1, x2, y2] = [
    page.x(slide.from[0]),
    page.y(slide.from[1]),
    page.x(slide.to[0]),
    page.y(slide.to[1]),
  ];
  const length = Math.hypot(x2 - x1, y2 - y1) || 1;
  const [px, py] = [(-(y2 - y1) / length) * 5, ((x2 - x1) / length) * 5];
  let svg = line("rail", x1 + px * 0.4, y1 + py * 0.4, x2 + px * 0.4, y2 + py * 0.4);
  svg += line("rail", x1 - px * 0.4, y1 - py * 0.4, x2 - px * 0.4, y2 - py * 0.4);
  svg += line("rail", x1 + px, y1 + py, x1 - px, y1 - py) + line("rail", x2 + px, y2 + py, x2 - px, y2 - py);
  for (const end of ends) svg += drawCamera(page, end, true);
  return svg;
}

/** The legs of a stand on the floor. */
export const drawFootprint = (page: PlanPage, at: readonly [number, number], radius: number): string =>
  `<circle class="legs" cx="${fig(page.x(at[0]))}" cy="${fig(page.y(at[1]))}" r="${fig(radius * page.scale)}"/>`;
