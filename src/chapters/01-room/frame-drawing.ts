import { boxCorners } from "#science/geometry/box";
import { along, directionOf, dot, minus, type Vector3 } from "#science/geometry/vector3";
import { halfShoulderShare, headMetres } from "#science/people/body-points";
import type { Scene, SceneCamera, ScenePerson } from "./scene.ts";
import { fig, path, pathOf, words } from "./svg-text.ts";

/*
 * What a camera sees, as a line drawing in true perspective: for machines without a graphics library and for reports.
 * Faces are drawn from far to near, each over what it hides.
 */

interface Face {
  readonly corners: readonly Vector3[];
  readonly cls: string;
  /** Nudges the order among faces of one thing: above 0 is drawn later. */
  readonly later?: number;
}

const nearest = 0.05;

/** The part of a polygon ahead of the camera's nearest plane, in its own axes: right, up, depth. */
function ahead(camera: SceneCamera, corners: readonly Vector3[]): Vector3[] {
  const seen = corners.map((corner): Vector3 => {
    const way = minus(corner, camera.point);
    return [dot(way, camera.right), dot(way, camera.up), dot(way, camera.forward)];
  });
  const kept: Vector3[] = [];
  seen.forEach((a, i) => {
    const b = seen[(i + 1) % seen.length]!;
    if (a[2] >= nearest) kept.push(a);
    if (a[2] >= nearest !== b[2] >= nearest) {
      const t = (nearest - a[2]) / (b[2] - a[2]);
      kept.push([a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]), nearest]);
    }
  });
  return kept;
}

const boxFaces = [
  [0, 1, 2, 3],
  [4, 5, 6, 7],
  [0, 1, 5, 4],
  [1, 2, 6, 5],
  [2, 3, 7, 6],
  [3, 0, 4, 7],
] as const;

/** A round solid as the loop that a camera sees of it: an ellipse across the line of sight. */
function roundFace(middle: Vector3, across: Vector3, halfAcross: number, halfUp: number): Vector3[] {
  return Array.from({ length: 20 }, (_, i) => {
    const t = (i / 20) * 2 * Math.PI;
    const up: Vector3 = [0, 0, 1];
    return along(along(middle, across, halfAcross * Math.cos(t)), up, halfUp * Math.sin(t));
  });
}

function personFaces(camera: SceneCamera, person: ScenePerson): Face[] {
  const toLens = minus(camera.point, person.head);
  const flat = Math.hypot(toLens[0], toLens[1]) || 1;
  const across: Vector3 = [-toLens[1] / flat, toLens[0] / flat, 0];
  const turned = Math.abs(dot(across, directionOf(person.headHeading)));
  const half = (headMetres.breadth + (headMetres.length - headMetres.breadth) * turned) / 2;
  const chin = person.eyes[2] - (person.crown[2] - person.eyes[2]) * 0.95;
  const headMiddle: Vector3 = [person.head[0], person.head[1], (person.crown[2] + chin) / 2];
  const trunkTurned = Math.abs(dot(across, directionOf(person.bodyHeading)));
  const broad = halfShoulderShare * person.stature * 1.25;
  const shoulder = broad + (0.13 - broad) * trunkTurned;
  const seat = person.seatHeight ?? person.stature * 0.48;
  const top = person.leftShoulder[2] + 0.04;
  const at = (s: number, z: number): Vector3 => [
    person.head[0] + across[0] * s,
    person.head[1] + across[1] * s,
    z,
  ];
  const trunk: Vector3[] = [
    at(-0.055, top + 0.06),
    at(0.055, top + 0.06),
    at(shoulder * 0.75, top),
    at(shoulder, top - 0.08),
    at(shoulder * 0.92, seat + 0.1),
    at(0.17, seat - 0.06),
    at(-0.17, seat - 0.06),
    at(-shoulder * 0.92, seat + 0.1),
    at(-shoulder, top - 0.08),
    at(-shoulder * 0.75, top),
  ];
  const faces: Face[] = [
    { corners: trunk, cls: "clay" },
    { corners: roundFace(headMiddle, across, half, (person.crown[2] - chin) / 2), cls: "clay", later: 0.02 },
  ];
  // The nose says which way the face looks; it is drawn where the camera sees the front.
  if (dot(toLens, directionOf(person.headHeading)) > 0) {
    const face = directionOf(person.headHeading);
    const tip = along([person.head[0], person.head[1], person.eyes[2] - 0.035], face, 0.118);
    const root: Vector3 = [person.eyes[0], person.eyes[1], person.eyes[2]];
    faces.push({ corners: [root, tip, along(root, [0, 0, -1], 0.05)], cls: "clay", later: 0.06 });
  }
  if (person.seatHeight !== null) {
    const body = directionOf(person.bodyHeading);
    for (const side of [-1, 1]) {
      const s: Vector3 = [body[1] * 0.1 * side, -body[0] * 0.1 * side, 0];
      const hip: Vector3 = [person.head[0] + s[0], person.head[1] + s[1], seat + 0.12];
      const knee = along(hip, body, 0.46);
      const foot: Vector3 = [knee[0], knee[1], 0.02];
      const wide = 0.065;
      const limb = (a: Vector3, b: Vector3): Vector3[] => [
        along(a, across, -wide),
        along(a, across, wide),
        along(b, across, wide),
        along(b, across, -wide),
      ];
      const lower: Vector3 = [hip[0], hip[1], seat - 0.02];
      faces.push({
        corners: [...limb(hip, knee).slice(0, 3), along(knee, across, -wide)],
        cls: "clay",
        later: 0.1,
      });
      faces.push({ corners: limb([knee[0], knee[1], seat + 0.1], foot), cls: "clay", later: 0.12 });
      if (side > 0) faces.push({ corners: limb(lower, along(lower, body, 0.3)), cls: "clay" });
    }
  }
  return faces;
}

/**
 * The frame of one camera as a line drawing.
 *
 * @param width - Of the picture, drawing units.
 * @param around - Share of the frame shown beyond its edges.
 * @param inks - Paper and ink, colours or variables.
 */
export function drawFrame(
  scene: Scene,
  camera: SceneCamera,
  width: number,
  around = 0.18,
  inks: { readonly paper: string; readonly ink: string; readonly quiet: string } = {
    paper: "#ffffff",
    ink: "#191e24",
    quiet: "#807f77",
  },
): string {
  const height = width / camera.aspect;
  const [kx, ky] = [
    width / (2 * camera.tanHalfWidth * (1 + around)),
    height / (2 * camera.tanHalfHeight * (1 + around)),
  ];
  const faces: Face[] = [];
  const { height: top } = scene.room;
  for (const wall of scene.walls) {
    const [a, b] = [wall.from, wall.to];
    faces.push({
      corners: [
        [a[0], a[1], 0],
        [b[0], b[1], 0],
        [b[0], b[1], top],
        [a[0], a[1], top],
      ],
      cls: "wall",
      later: -50,
    });
    for (const opening of wall.openings) faces.push({ corners: opening.corners, cls: "hole", later: -49 });
  }
  for (const piece of scene.furniture) {
    const corners = boxCorners(piece);
    for (const loop of boxFaces) faces.push({ corners: loop.map((i) => corners[i]!), cls: "box" });
  }
  faces.push(...personFaces(camera, scene.sitter), ...personFaces(camera, scene.interviewer));
  for (const stand of scene.stands) {
    if (stand.holds === camera.id) continue;
    const [x, y] = stand.at;
    const r: Vector3 = [camera.right[0] * 0.012, camera.right[1] * 0.012, 0];
    faces.push({
      corners: [
        [x - r[0], y - r[1], 0],
        [x + r[0], y + r[1], 0],
        [x + r[0], y + r[1], stand.top],
        [x - r[0], y - r[1], stand.top],
      ],
      cls: "kit",
    });
  }
  for (const other of scene.cameras)
    if (other.id !== camera.id) {
      const corners = boxCorners({
        at: [other.point[0], other.point[1]],
        heading: other.pan,
        size: [0.14, 0.3, 0.13],
        base: other.point[2] - 0.065,
      });
      for (const loop of boxFaces) faces.push({ corners: loop.map((i) => corners[i]!), cls: "kit" });
    }
  for (const light of scene.lights) {
    const corners = boxCorners({
      at: [light.point[0], light.point[1]],
      heading: (Math.atan2(light.direction[0], light.direction[1]) * 180) / Math.PI,
      size: [light.size[0], 0.08, light.size[1]],
      base: light.point[2] - light.size[1] / 2,
    });
    for (const loop of boxFaces) faces.push({ corners: loop.map((i) => corners[i]!), cls: "kit" });
  }
  for (const microphone of scene.microphones)
    if (microphone.said.role === "boom") {
      const tail = along(microphone.point, microphone.direction, -0.22);
      const r: Vector3 = [camera.right[0] * 0.011, camera.right[1] * 0.011, 0];
      faces.push({
        corners: [
          minus(microphone.point, r),
          along(microphone.point, r, 1),
          along(tail, r, 1),
          minus(tail, r),
        ],
        cls: "kit",
        later: 0.1,
      });
    }
  const drawn = faces
    .map(({ corners, cls, later = 0 }) => {
      const seen = ahead(camera, corners);
      const far = seen.reduce((sum, p) => sum + Math.hypot(p[0], p[1], p[2]), 0) / Math.max(1, seen.length);
      return { seen, cls, order: far - later };
    })
    .filter(({ seen }) => seen.length > 2)
    .sort((p, q) => q.order - p.order);
  const [edgeX, edgeY] = [(width * around) / (2 * (1 + around)), (height * around) / (2 * (1 + around))];
  let body = "";
  for (const { seen, cls } of drawn)
    body += path(
      cls,
      pathOf(seen.map(([x, y, z]) => [width / 2 + (x / z) * kx, height / 2 - (y / z) * ky] as const)),
    );
  const veil = `M0 0H${fig(width)}V${fig(height)}H0ZM${fig(edgeX)} ${fig(edgeY)}V${fig(height - edgeY)}H${fig(width - edgeX)}V${fig(edgeY)}Z`;
  const style = `.frame-drawing path{stroke-width:1;stroke:${inks.ink};stroke-linejoin:round;fill:${inks.paper}}.frame-drawing .wall,.frame-drawing .hole{stroke:${inks.quiet}}.frame-drawing .kit{fill:${inks.ink};stroke:none}.frame-drawing .veil{fill:${inks.paper};fill-opacity:0.6;fill-rule:evenodd;stroke:none}.frame-drawing .edge{fill:none;stroke-width:1.4}.frame-drawing text{font:600 18px Alegreya,Georgia,serif;fill:${inks.ink}}`;
  const id = `frame-${camera.id.replace(/\W/g, "")}`;
  return `<svg xmlns="http://www.w3.org/2000/svg" class="frame-drawing" viewBox="0 0 ${fig(width)} ${fig(height)}" width="${fig(width)}" height="${fig(height)}" role="img" aria-label="What camera ${camera.id.replace(/\W/g, "")} sees, as a line drawing"><style>${style}</style><defs><clipPath id="${id}"><rect width="${fig(width)}" height="${fig(height)}"/></clipPath></defs><g clip-path="url(#${id})">${body}</g>${path("veil", veil)}${path("edge", `M${fig(edgeX)} ${fig(edgeY)}H${fig(width - edgeX)}V${fig(height - edgeY)}H${fig(edgeX)}Z`)}${words("letter", edgeX + 10, height - edgeY - 10, camera.id)}</svg>`;
}
