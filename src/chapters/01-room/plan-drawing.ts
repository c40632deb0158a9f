import type { Furniture, Plan } from "#documents/plan";
import { boxOutline } from "#science/geometry/box";
import { headingOf, minus } from "#science/geometry/vector3";
import { type LengthUnits, lengthWords } from "#science/units/length-words";
import { cableWays } from "./geometry-reach.ts";
import { type Label, placeLabels, type Taken } from "./plan-labels.ts";
import { type PlanPage, type PlanSize, planPage } from "./plan-page.ts";
import { drawDimensions, drawFoot, drawFurniture, drawWalls, overhead } from "./plan-room.ts";
import {
  drawCamera,
  drawFootprint,
  drawLight,
  drawMicrophone,
  drawPerson,
  drawSlide,
} from "./plan-things.ts";
import { drawEyelines, drawView, hueOf } from "./plan-views.ts";
import { type Scene, sceneOf } from "./scene.ts";
import { fig, path, pathOf, words, xml } from "./svg-text.ts";

/** The inks of a drawing. A page gives its own variables, so that the drawing follows the theme. */
export interface PlanColours {
  readonly paper: string;
  readonly ink: string;
  readonly quiet: string;
  readonly line: string;
  readonly rule: string;
  readonly a: string;
  readonly b: string;
}

/** For files and print: the page's inks on paper. */
const paperColours: PlanColours = {
  paper: "#ffffff",
  ink: "#191e24",
  quiet: "#474c50",
  line: "#807f77",
  rule: "#cbc8bd",
  a: "#1b4f86",
  b: "#8f4c00",
};

/** How a plan is to be drawn. */
export interface PlanDrawingWish {
  readonly size: PlanSize;
  readonly colours?: PlanColours;
  readonly units?: LengthUnits;
  /** Sun on the floor or at shoulder height, room metres, and when. */
  readonly sun?: {
    readonly patches: readonly (readonly (readonly [number, number])[])[];
    readonly label: string;
  };
  /** Illuminance at the sitter's face from each light, lux, by its id. */
  readonly luxAtFace?: Readonly<Record<string, number>>;
  /** Ways of the cables along the floor, room metres. Not said for a file or for print: as the plan's own figures have them. */
  readonly cables?: readonly (readonly (readonly [number, number])[])[];
  /** Reference marks beside things, by their id. */
  readonly marks?: Readonly<Record<string, string>>;
  /** Begins the ids in the drawing, so that two may stand in one document. */
  readonly prefix?: string;
  /** Shown at the top of a drawing for paper. */
  readonly title?: string;
}

/** Drawings less broad than this have their longer labels in more and shorter lines. */
const narrow = 480;

/** Words nearer to another thing than this seem to name it, units. */
const beside = 4;

/** A thing of the plan that stands somewhere on the drawing. */
export interface PlanThing {
  /** As the plan names it: `sitter`, `interviewer`, or an id. */
  readonly id: string;
  readonly kind: "sitter" | "interviewer" | "camera" | "light" | "microphone" | "slide" | "furniture";
  readonly name: string;
  /** Drawing units. */
  readonly x: number;
  readonly y: number;
  readonly reach: number;
}

/** A plan, drawn. */
export interface PlanDrawing {
  /** A whole SVG document: the opening tag, its words, the sheet, the parts. */
  readonly svg: string;
  /** The opening tag without its end. */
  readonly open: string;
  /** What it shows, in a sentence. */
  readonly words: string;
  /** Style, what fills are made of, and the title: the same wherever things stand. */
  readonly sheet: string;
  /** The rest, in order from the floor up; as many for a plan whatever is moved in it. What is drawn on a screen renews those that differ. */
  readonly parts: readonly string[];
  readonly page: PlanPage;
  readonly things: readonly PlanThing[];
}

function style(root: string, c: PlanColours): string {
  const rules: readonly (readonly [string, string])[] = [
    [
      "text",
      `font:400 12px "Source Sans 3","Segoe UI",sans-serif;fill:${c.ink};paint-order:stroke;stroke:${c.paper};stroke-width:3px;stroke-linejoin:round`,
    ],
    [".small", `fill:${c.quiet}`],
    [".name", `font-weight:600;font-size:15px`],
    [".a.text,.axis-text.a", `fill:${c.a}`],
    [".b.text,.axis-text.b", `fill:${c.b}`],
    [".axis-text", "font-weight:600"],
    ["path,circle,ellipse,rect", "fill:none"],
    [".walls", `stroke:${c.ink};stroke-width:1.2`],
    [".floor", `stroke:${c.ink};stroke-width:1.6;fill:none`],
    [".gap", `fill:${c.paper};stroke:none`],
    [".thin", `stroke:${c.ink};stroke-width:0.9`],
    [".solid", `fill:${c.ink};stroke:${c.ink};stroke-width:0.8`],
    [".box", `stroke:${c.quiet};stroke-width:1.2`],
    [".post", `fill:${c.ink};stroke:${c.ink}`],
    [".over", `stroke:${c.line};stroke-width:1;stroke-dasharray:7 4`],
    [".dim", `stroke:${c.quiet};stroke-width:0.9`],
    [".bar", `stroke:${c.ink};stroke-width:1.2`],
    [".leader", `stroke:${c.line};stroke-width:0.8`],
    [".cable", `stroke:${c.line};stroke-width:1;stroke-linejoin:round`],
    [".legs", `stroke:${c.line};stroke-width:0.8;stroke-dasharray:2 3`],
    [".body", `fill:${c.paper};stroke:${c.ink};stroke-width:1.2`],
    [".head", `fill:${c.paper};stroke:${c.ink};stroke-width:1.6`],
    [".lamp", `fill:${c.paper};stroke:${c.ink};stroke-width:1.4`],
    [".ray", `stroke:${c.ink};stroke-width:1;stroke-dasharray:1.5 3`],
    [".pole", `stroke:${c.ink};stroke-width:1.2`],
    [".capsule", `stroke:${c.ink};stroke-width:5;stroke-linecap:round`],
    [".sight", `stroke:${c.ink};stroke-width:1.2;stroke-dasharray:5 3`],
    [".angle", `stroke:${c.quiet};stroke-width:0.9`],
    [".sun", `fill:none;stroke:${c.ink};stroke-width:0.8`],
    [".view", "fill-opacity:0.085"],
    [".view.a,.camera.a", `fill:${c.a}`],
    [".view.b,.camera.b", `fill:${c.b}`],
    [".view.c,.camera.c", `fill:${c.ink}`],
    [".edge,.axis,.ghost,.rail", "stroke-width:1"],
    [".edge.a,.axis.a,.ghost.a", `stroke:${c.a}`],
    [".edge.b,.axis.b,.ghost.b", `stroke:${c.b}`],
    [".edge.c,.axis.c,.ghost.c", `stroke:${c.ink}`],
    [".axis", "stroke-dasharray:9 3 1.5 3"],
    [".ghost", "stroke-dasharray:3 2"],
    [".rail", `stroke:${c.ink}`],
  ];
  return rules
    .map(
      ([selectors, body]) =>
        `${selectors
          .split(",")
          .map((s) => `${root} ${s}`)
          .join(",")}{${body}}`,
    )
    .join("");
}

const hatchPattern = (id: string, stroke: string, gap: number, turn: number, weight: number): string =>
  `<pattern id="${id}" width="${gap}" height="${gap}" patternUnits="userSpaceOnUse" patternTransform="rotate(${fig(turn)})"><line x1="0" y1="0" x2="0" y2="${gap}" stroke="${stroke}" stroke-width="${weight}"/></pattern>`;

/** What a thing is, and its id where that says more. */
const called = (what: string, id: string): string =>
  what.toLowerCase().split(" ").includes(id.toLowerCase()) ? what : `${what} ${id}`;

/** Where the figure of a distance may stand, shares of the way from the lens to the eyes. */
const alongAxis = [0.45, 0.35, 0.55, 0.65, 0.27] as const;

/** Where a piece of furniture may be named: at its middle, and a long one anywhere along it. */
function spotsAlong(page: PlanPage, piece: Furniture): [number, number][] {
  const [a, b, c, d] = boxOutline(piece).map(([x, y]) => [page.x(x), page.y(y)] as const) as Corners;
  const half = (p: Spot, q: Spot): Spot => [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
  const isWide = piece.size[0] > piece.size[1];
  const [from, to] = isWide ? [half(a, d), half(b, c)] : [half(a, b), half(d, c)];
  const isLong = Math.max(piece.size[0], piece.size[1]) > 3 * Math.min(piece.size[0], piece.size[1]);
  return (isLong ? [0.5, 0.3, 0.7, 0.12, 0.88] : [0.5]).map((share) => [
    from[0] + (to[0] - from[0]) * share,
    from[1] + (to[1] - from[1]) * share,
  ]);
}

type Spot = readonly [number, number];
type Corners = [Spot, Spot, Spot, Spot];

/**
 * A plan to scale as SVG: hatched walls with their openings, dimensions with ticks, a scale bar and north; what each
 * lens takes in and what of it is sharp; the line between the two who talk, and everything that stands in the room.
 *
 * @param plan - As read; what names kit that is not there is left out.
 * @param wish - Size, inks, units and the measured figures that are shown beside things.
 */
export function drawPlan(plan: Plan, wish: PlanDrawingWish, scene: Scene = sceneOf(plan)): PlanDrawing {
  const page = planPage(scene.walls, wish.size);
  const c = wish.colours ?? paperColours;
  const units = wish.units ?? plan.units;
  const prefix = wish.prefix ?? "plan";
  const huesOf = (id: string): string => (hueOf(id) === "a" ? c.a : hueOf(id) === "b" ? c.b : c.ink);
  const things: PlanThing[] = [];
  const labels: Label[] = [];
  const taken: Taken[] = [];
  const mark = (id: string): string => (wish.marks?.[id] ? ` ${wish.marks[id]}` : "");
  const take = (x: number, y: number, reach: number, weight = 1): void => {
    taken.push({ x0: x - reach, y0: y - reach, x1: x + reach, y1: y + reach, weight });
  };
  const thing = (
    id: string,
    kind: PlanThing["kind"],
    name: string,
    at: readonly [number, number],
    reach: number,
    lines: readonly string[],
    classes: readonly string[] = ["label"],
  ): void => {
    const [x, y] = [page.x(at[0]), page.y(at[1])];
    things.push({ id, kind, name, x, y, reach });
    take(x, y, reach + beside, kind === "sitter" || kind === "interviewer" ? 2 : 1);
    if (lines.length > 0) labels.push({ lines, classes, spots: [[x, y]], reach });
  };

  const isNarrow = page.width < narrow;
  const person = 0.3 * page.scale;
  const sitterName = plan.sitter.name ?? "sitter";
  const askerName = plan.interviewer.name ?? "interviewer";
  thing("sitter", "sitter", sitterName, plan.sitter.at, person, [sitterName + mark("sitter")]);
  thing("interviewer", "interviewer", askerName, plan.interviewer.at, person, [
    askerName + mark("interviewer"),
  ]);
  const reachOfCamera = Math.max(10, 0.16 * page.scale);
  for (const camera of scene.cameras) {
    const slide = scene.slides.find((s) => s.camera.id === camera.id);
    const focal = `${fig(Math.round(camera.focalMm * 10) / 10)} mm`;
    const rail = slide && `${lengthWords(slide.metres, units)} slide`;
    const lens = rail === undefined ? [focal] : isNarrow ? [focal, rail] : [`${focal}, on a ${rail}`];
    const hue = hueOf(camera.id);
    thing(
      camera.id,
      "camera",
      `Camera ${camera.id}`,
      [camera.point[0], camera.point[1]],
      reachOfCamera,
      [camera.id + mark(camera.id), ...lens],
      [`name text ${hue}`, "label", "label"],
    );
    const [ex, ey] = [page.x(scene.sitter.eyes[0]), page.y(scene.sitter.eyes[1])];
    const [lx, ly] = [page.x(camera.point[0]), page.y(camera.point[1])];
    labels.push({
      lines: [lengthWords(camera.sitterDistance, units)],
      classes: [`axis-text ${hue}`],
      spots: alongAxis.map((share) => [lx + (ex - lx) * share, ly + (ey - ly) * share]),
      reach: 2,
    });
  }
  for (const light of scene.lights) {
    const lux = wish.luxAtFace?.[light.id];
    const role =
      light.said.role === "other" ? light.id : light.said.role === "hair" ? "back" : light.said.role;
    const text =
      lux === undefined ? role : `${role}, ${lux >= 95 ? Math.round(lux / 10) * 10 : Math.round(lux)} lx`;
    const reach = Math.max(12, (light.size[0] / 2) * page.scale);
    thing(
      light.id,
      "light",
      called(light.said.role === "other" ? "Light" : `${light.said.role} light`, light.id),
      [light.point[0], light.point[1]],
      reach,
      [text + mark(light.id), ...(lux === undefined ? [] : ["on the face"])],
    );
  }
  for (const microphone of scene.microphones) {
    const { standAt, role } = microphone.said;
    if (role !== "boom" && !standAt) continue;
    thing(
      microphone.id,
      "microphone",
      called(role === "boom" ? "Boom" : "Microphone", microphone.id),
      standAt ?? [microphone.point[0], microphone.point[1]],
      8,
      [(role === "boom" ? "boom" : microphone.id) + mark(microphone.id)],
    );
  }
  for (const slide of scene.slides)
    things.push({
      id: slide.id,
      kind: "slide",
      name: `Slide of camera ${slide.camera.id}`,
      x: page.x(slide.to[0]),
      y: page.y(slide.to[1]),
      reach: 9,
    });
  const named = new Set<string>();
  for (const piece of scene.furniture) {
    const reach = Math.max(8, (Math.min(piece.size[0], piece.size[1]) / 2) * page.scale);
    const isNamed = named.has(piece.name) || piece.name.startsWith("post");
    named.add(piece.name);
    thing(piece.id, "furniture", piece.name, piece.at, reach, []);
    const spots = spotsAlong(page, piece);
    if (piece.base < overhead) for (const [x, y] of spots.slice(1)) take(x, y, reach + beside);
    if (!isNamed)
      labels.push({
        lines: [piece.name + mark(piece.id)],
        classes: ["label"],
        spots,
        reach,
        mayGo: true,
      });
  }
  for (const wall of scene.walls) {
    const [x0, y0, x1, y1] = [
      page.x(wall.from[0]),
      page.y(wall.from[1]),
      page.x(wall.to[0]),
      page.y(wall.to[1]),
    ];
    if (Math.abs(x0 - x1) < 2 || Math.abs(y0 - y1) < 2)
      taken.push({
        x0: Math.min(x0, x1) - (wall.inward[0] > 0.5 ? 60 : 2),
        x1: Math.max(x0, x1) + (wall.inward[0] < -0.5 ? 60 : 2),
        y0: Math.min(y0, y1) - (wall.inward[1] < -0.5 ? 60 : 2),
        y1: Math.max(y0, y1) + (wall.inward[1] > 0.5 ? 60 : 2),
        weight: 2,
      });
  }

  const eyelines = drawEyelines(page, scene);
  for (const { spots, text } of eyelines.texts)
    labels.unshift({ lines: [text], classes: ["label"], spots, reach: null });

  const parts: string[] = [
    drawWalls(page, scene, `${prefix}-wall`),
    drawFurniture(page, scene.furniture, scene.room.height),
  ];
  for (const camera of scene.cameras) {
    const id = `${prefix}-sharp-${hueOf(camera.id)}${camera.id.length}`;
    parts.push(
      `<defs>${hatchPattern(id, huesOf(camera.id), 3.2, camera.pan + 90, 0.7)}</defs>${drawView(page, scene, camera, id)}`,
    );
  }
  let sun = "";
  for (const patch of wish.sun?.patches ?? []) {
    const loop = patch.map(([x, y]) => [page.x(x), page.y(y)] as const);
    sun += `<path class="sun" style="fill:url(#${prefix}-sun)" d="${pathOf(loop)}"/>`;
    const [sx, sy] = [
      loop.reduce((s, p) => s + p[0], 0) / loop.length,
      loop.reduce((s, p) => s + p[1], 0) / loop.length,
    ];
    // Within the patch, at its middle or on the way from there to a corner.
    const spots = [[sx, sy] as const, ...loop.map(([x, y]) => [(x + sx) / 2, (y + sy) / 2] as const)];
    labels.push({ lines: [wish.sun!.label], classes: ["small"], spots, reach: null, mayGo: true });
  }
  const ways = wish.cables ?? (wish.colours ? [] : cableWays(scene));
  const cables = ways.map((way) =>
    path(
      "cable",
      pathOf(
        way.map(([x, y]) => [page.x(x), page.y(y)] as const),
        false,
      ),
    ),
  );
  parts.push(sun, cables.join(""));
  for (const stand of scene.stands) parts.push(drawFootprint(page, stand.at, stand.footprint));
  parts.push(eyelines.svg, drawPerson(page, scene.interviewer, false), drawPerson(page, scene.sitter, true));
  for (const light of scene.lights)
    parts.push(drawLight(page, light, headingOf(minus(light.aim, light.point))));
  for (const slide of scene.slides) {
    const ends = [slide.from, slide.to].map((point) => ({
      ...slide.camera,
      point,
      pan: headingOf(minus(scene.sitter.eyes, point)),
    }));
    parts.push(drawSlide(page, slide, ends));
  }
  for (const camera of scene.cameras) parts.push(drawCamera(page, camera));
  for (const microphone of scene.microphones) parts.push(drawMicrophone(page, microphone));
  parts.push(
    drawDimensions(page, scene, units) + drawFoot(page, scene, units),
    ...placeLabels(labels, taken, { width: page.width, height: page.height }),
  );

  const head = wish.title === undefined ? 0 : 30;
  const onPaper = page.ratio !== null;
  const mm = (units96: number): string => `${fig((units96 * 25.4) / 96)}mm`;
  const height = page.height + head;
  const title =
    wish.title === undefined
      ? ""
      : `<g transform="translate(0 ${-head})">${words("name", page.wall, 18, wish.title)}</g>`;
  const fills =
    hatchPattern(`${prefix}-wall`, c.line, 5, 45, 0.8) + hatchPattern(`${prefix}-sun`, c.ink, 5, 60, 0.5);
  const open = `<svg xmlns="http://www.w3.org/2000/svg" class="${prefix}-drawing" viewBox="0 ${-head} ${fig(page.width)} ${fig(height)}" width="${onPaper ? mm(page.width) : fig(page.width)}" height="${onPaper ? mm(height) : fig(height)}" role="img"`;
  const sheet = `<style>${style(`.${prefix}-drawing`, c)}</style><defs>${fills}</defs>${title}`;
  const shows = planInWords(scene, units);
  const svg = `${open} aria-label="${xml(shows)}">${sheet}${parts.join("")}</svg>`;
  return { svg, open, words: shows, sheet, parts, page, things };
}

/** What the drawing shows, in a sentence or two, for whoever does not see it. */
export function planInWords(scene: Scene, units: LengthUnits): string {
  const xs = scene.walls.map((w) => w.from[0]);
  const ys = scene.walls.map((w) => w.from[1]);
  const across = lengthWords(Math.max(...xs) - Math.min(...xs), units);
  const deep = lengthWords(Math.max(...ys) - Math.min(...ys), units);
  const cameras = scene.cameras.map(
    (camera) => `camera ${camera.id} ${lengthWords(camera.sitterDistance, units)} from the sitter's eyes`,
  );
  const many = scene.lights.length;
  return `Plan of a room ${across} by ${deep}: ${[...cameras, `${many} ${many === 1 ? "light" : "lights"}`].join(", ")}.`;
}
