import type { Furniture } from "#documents/plan";
import { boxOutline } from "#science/geometry/box";
import { type LengthUnits, lengthWords } from "#science/units/length-words";
import { dimensionedWalls, type PlanPage } from "./plan-page.ts";
import type { Scene, SceneOpening, SceneWall } from "./scene.ts";
import { fig, line, path, pathOf, words } from "./svg-text.ts";

type Spot = readonly [number, number];

/** A point of a wall, `s` metres along it and `out` drawing units outside its face. */
function wallPoint(page: PlanPage, wall: SceneWall, s: number, out: number): Spot {
  return [
    page.x(wall.from[0] + wall.along[0] * s) - wall.inward[0] * out,
    page.y(wall.from[1] + wall.along[1] * s) + wall.inward[1] * out,
  ];
}

/** The outline pushed out by a distance, corners mitred. */
function outerLoop(page: PlanPage, walls: readonly SceneWall[], out: number): Spot[] {
  return walls.map((wall, i) => {
    const before = walls[(i + walls.length - 1) % walls.length]!;
    const [nx, ny] = [-(before.inward[0] + wall.inward[0]), before.inward[1] + wall.inward[1]];
    const half = 1 + before.inward[0] * wall.inward[0] + before.inward[1] * wall.inward[1];
    // A corner so sharp that its mitre would run away is cut off at four wall thicknesses.
    const k = out / Math.max(0.12, half);
    return [page.x(wall.from[0]) + nx * k, page.y(wall.from[1]) + ny * k];
  });
}

function openingMark(page: PlanPage, wall: SceneWall, opening: SceneOpening): string {
  const at = (s: number, out: number): Spot => wallPoint(page, wall, s, out);
  const { from, to } = opening;
  const box = [at(from, 0), at(to, 0), at(to, page.wall), at(from, page.wall)];
  let svg = path("gap", pathOf(box));
  if (opening.said.kind === "window") {
    svg += path("thin", pathOf(box));
    for (const share of [0.4, 0.6])
      svg += path("thin", pathOf([at(from, page.wall * share), at(to, page.wall * share)], false));
    return svg;
  }
  svg += path("thin", `${pathOf([box[0]!, box[3]!], false)}${pathOf([box[1]!, box[2]!], false)}`);
  if (opening.said.kind === "door") {
    // The leaf stands open into the room, hung on its first edge; what it sweeps is drawn as an arc.
    const width = (to - from) * page.scale;
    const [hx, hy] = at(from, 0);
    const leaf: Spot = [hx + wall.inward[0] * width, hy - wall.inward[1] * width];
    const shut = at(to, 0);
    const turn = (leaf[0] - hx) * (shut[1] - hy) - (leaf[1] - hy) * (shut[0] - hx) > 0 ? 1 : 0;
    svg += path(
      "thin",
      `M${fig(hx)} ${fig(hy)}L${fig(leaf[0])} ${fig(leaf[1])}A${fig(width)} ${fig(width)} 0 0 ${turn} ${fig(shut[0])} ${fig(shut[1])}`,
    );
  }
  return svg;
}

/** Walls, hatched outside their faces, with windows, doors and holes in them; the floor is paper. */
export function drawWalls(page: PlanPage, scene: Scene, hatch: string): string {
  const inner = scene.walls.map((wall): Spot => [page.x(wall.from[0]), page.y(wall.from[1])]);
  const outer = outerLoop(page, scene.walls, page.wall);
  let svg = `<path class="walls" style="fill:url(#${hatch})" fill-rule="evenodd" d="${pathOf(outer)}${pathOf(inner)}"/>`;
  svg += path("floor", pathOf(inner));
  for (const wall of scene.walls)
    for (const opening of wall.openings) svg += openingMark(page, wall, opening);
  return svg;
}

/** Furniture above this height hangs over the room and is drawn dashed, metres. */
export const overhead = 1.9;

/** Boxes of the room; tall thin ones are posts and solid, those overhead are dashed. */
export function drawFurniture(page: PlanPage, furniture: readonly Furniture[], roomHeight: number): string {
  let svg = "";
  for (const piece of furniture) {
    const loop = boxOutline(piece).map(([x, y]): Spot => [page.x(x), page.y(y)]);
    const isPost =
      piece.base === 0 && piece.size[2] >= roomHeight * 0.85 && Math.max(piece.size[0], piece.size[1]) < 0.5;
    svg += path(piece.base >= overhead ? "over" : isPost ? "post" : "box", pathOf(loop));
  }
  return svg;
}

/** Dimension lines outside the walls, with ticks at the corners and at each opening. */
export function drawDimensions(page: PlanPage, scene: Scene, units: LengthUnits): string {
  let svg = "";
  for (const wall of dimensionedWalls(scene.walls)) {
    const out = page.wall + 14;
    const cuts = [
      0,
      ...wall.openings.flatMap((o) => [o.from, o.to]).filter((s) => s > 0.02 && s < wall.metres - 0.02),
      wall.metres,
    ].sort((a, b) => a - b);
    const [a, b] = [wallPoint(page, wall, 0, out), wallPoint(page, wall, wall.metres, out)];
    svg += line("dim", a[0], a[1], b[0], b[1]);
    let angle = (Math.atan2(b[1] - a[1], b[0] - a[0]) * 180) / Math.PI;
    if (angle >= 89.9) angle -= 180;
    if (angle < -90.1) angle += 180;
    for (const s of cuts) {
      const [p, q] = [wallPoint(page, wall, s, out - 5), wallPoint(page, wall, s, out + 5)];
      svg += line("dim", p[0], p[1], q[0], q[1]);
      // The slanted tick of the trade.
      const c = wallPoint(page, wall, s, out);
      svg += line("dim", c[0] - 3, c[1] + 3, c[0] + 3, c[1] - 3);
    }
    for (let i = 1; i < cuts.length; i++) {
      const length = cuts[i]! - cuts[i - 1]!;
      if (length * page.scale < 30) continue;
      const text = lengthWords(length, units);
      const isBelow = wall.inward[1] > 0.3;
      const [x, y] = wallPoint(page, wall, (cuts[i]! + cuts[i - 1]!) / 2, out + (isBelow ? 16 : 7));
      svg += words("small", x, y, text, "middle", Math.abs(angle) < 0.5 ? 0 : angle);
    }
  }
  return svg;
}

/** A bar of whole metres (or feet) and the scale, and where north is. */
export function drawFoot(page: PlanPage, scene: Scene, units: LengthUnits): string {
  const y = page.height - 12;
  const x0 = page.wall + 2;
  const step = units === "metric" ? 1 : 0.3048 * 3;
  const many = Math.max(1, Math.min(2, Math.floor((page.width * 0.4) / (step * page.scale))));
  const unit = step * page.scale;
  let svg = path(
    "bar",
    `M${fig(x0)} ${fig(y - 4)}V${fig(y + 4)}M${fig(x0)} ${fig(y)}H${fig(x0 + many * unit)}`,
  );
  for (let i = 0; i <= many; i++) {
    const x = x0 + i * unit;
    svg += line("bar", x, y - 4, x, y + 4);
    const text = units === "metric" ? `${i}` : `${i * 3}`;
    const end = i === many ? (units === "metric" ? " m" : " ft") : "";
    svg += words("small", x, y - 8, text + end, "middle");
  }
  svg += line("bar", x0 + unit / 2, y - 2, x0 + unit / 2, y + 2);
  if (page.ratio !== null) svg += words("small", x0 + many * unit + 22, y + 4, `1:${page.ratio}`);
  const [nx, ny] = [page.width - page.wall - 18, page.height - 18];
  return `${svg}<g transform="translate(${fig(nx)} ${fig(ny)}) rotate(${fig(-scene.room.bearing)})"><circle class="thin" r="11"/><path class="solid" d="M0 -9L3.6 6L0 3.4L-3.6 6Z"/></g>${words("small", nx - 17, ny + 4, "N", "end")}`;
}
