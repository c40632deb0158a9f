import {
  BoxGeometry,
  BufferAttribute,
  BufferGeometry,
  CylinderGeometry,
  DirectionalLight,
  DoubleSide,
  Group,
  HemisphereLight,
  type Light,
  type Material,
  Mesh,
  MeshBasicMaterial,
  MeshLambertMaterial,
  type Object3D,
  Path,
  PlaneGeometry,
  Quaternion,
  Scene,
  Shape,
  ShapeGeometry,
  SphereGeometry,
  SpotLight,
  Vector3,
} from "three";
import {
  bounceOf,
  type Daylight as FigureDaylight,
  type LitPlace,
  lampLux,
  placesOf,
  sunLux,
  windowLux,
} from "#room/light-places";
import type { Scene as Plan, SceneLight, ScenePerson, SceneWall } from "#room/scene";
import { along, directionOf, dot, minus, plus, unit, type Vector3 as V3 } from "#science/geometry/vector3";
import { clayShape } from "./clay-shape.ts";
import type { LensSample } from "./lens-samples.ts";
import { lightColour } from "./light-colour.ts";
import type { Surface } from "./surface-nets.ts";

/** Daylight to be shown: the sun's way into the room, and how bright sun and sky are. */
export interface Daylight {
  /** From the ground towards the sun, length 1, room axes; null: no sun. */
  readonly towardsSun: V3 | null;
  /** On a face square to it, lux. */
  readonly sunLux: number;
  /** On a level face in the open, lux. */
  readonly skyLux: number;
  /** The same as the figures of light take it; null: no day. */
  readonly figures: FigureDaylight | null;
}

/** A plan as solids and lights, in the plan's own axes and metres. */
export interface RoomModel {
  readonly root: Scene;
  /** Illuminance of the sitter's better lit cheek by the figures of light, lux: what the picture is exposed for. */
  readonly faceLux: number;
  /** Moves each light to the place on its face that this sample is lit from. */
  shine(sample: LensSample): void;
  /** Hides what a camera cannot see of itself. */
  seenBy(cameraId: string): void;
  dispose(): void;
}

const clay = { colour: 0xcdbfa8, reflects: 0.5 };
/** What an upright surface gets of the light from above and from below, whose colours are these. */
const bounceColours = { above: 0xffffff, below: 0x9a938a, upright: (1 + 0.293) / 2 };
const shadowSize = 512;

const lambert = (colour: number, side = false): MeshLambertMaterial =>
  new MeshLambertMaterial({ color: colour, ...(side ? { side: DoubleSide } : {}) });

/** One set for every model of the page: what is compiled for a graphics context once is not compiled again in a drag. */
const materials = {
  clay: lambert(clay.colour),
  wall: lambert(0x8b8780, true),
  floor: lambert(0x5f5a53, true),
  ceiling: lambert(0xa09c94, true),
  wood: lambert(0x7d6c57),
  dark: lambert(0x25262a),
  box: lambert(0x8a8378),
  lit: new MeshBasicMaterial({ color: 0xffffff }),
};

const kept = new WeakSet<BufferGeometry>();
const made = new WeakMap<Surface, BufferGeometry>();

/** The clay's shape, sent to the graphics side once. */
function geometryOf(surface: Surface): BufferGeometry {
  const known = made.get(surface);
  if (known) return known;
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(surface.positions, 3));
  geometry.setAttribute("normal", new BufferAttribute(surface.normals, 3));
  geometry.setIndex(new BufferAttribute(surface.indices, 1));
  made.set(surface, geometry);
  kept.add(geometry);
  return geometry;
}

const degree = Math.PI / 180;

/** Builds the room of a scene. What it holds on the graphics side is given back by `dispose`. */
export function roomModel(plan: Plan, daylight: Daylight): RoomModel {
  const root = new Scene();
  const own = new Map<string, Object3D[]>();
  const ofCamera = (id: string, ...objects: Object3D[]): void => {
    own.set(id, [...(own.get(id) ?? []), ...objects]);
    for (const object of objects) root.add(object);
  };
  const solid = (geometry: BufferGeometry, material: Material, casts = true): Mesh => {
    const mesh = new Mesh(geometry, material);
    mesh.castShadow = casts;
    mesh.receiveShadow = true;
    return mesh;
  };
  // The room itself.
  const outline = plan.room.outline;
  const floorShape = new Shape(outline.map(([x, y]) => new Vector3(x, y, 0) as never));
  const floor = solid(new ShapeGeometry(floorShape), materials.floor);
  const ceiling = solid(new ShapeGeometry(floorShape), materials.ceiling);
  ceiling.position.z = plan.room.height;
  root.add(floor, ceiling);
  // The sky seen in a window: what a level face in the open gets, over pi for an even sky.
  const skyNits = Math.max(3, daylight.skyLux / Math.PI);
  for (const wall of plan.walls)
    root.add(...wallMeshes(wall, plan.room.height, materials.wall, skyNits, plan.room.openings.length > 0));
  for (const piece of plan.furniture) {
    const mesh = solid(new BoxGeometry(piece.size[0], piece.size[1], piece.size[2]), materials.box);
    mesh.position.set(piece.at[0], piece.at[1], piece.base + piece.size[2] / 2);
    mesh.rotation.z = -piece.heading * degree;
    root.add(mesh);
  }

  // People and chairs.
  for (const name of ["sitter", "interviewer"] as const) {
    const group = personGroup(plan[name], materials, solid);
    group.name = name;
    root.add(group);
  }

  // Kit that a frame may see.
  const black = materials.dark;
  for (const camera of plan.cameras) {
    const body = solid(new BoxGeometry(0.14, 0.2, 0.13), black);
    const barrel = solid(new CylinderGeometry(0.045, 0.04, 0.12, 20), black);
    const group = new Group();
    // The lens's point is the front of the barrel's pupil; the body lies behind it.
    body.position.set(0, -0.2, 0);
    barrel.position.set(0, -0.05, 0);
    group.add(body, barrel);
    group.position.set(...(camera.point as [number, number, number]));
    group.rotation.set(camera.tilt * degree, 0, -camera.pan * degree, "ZXY");
    ofCamera(camera.id, group);
  }
  for (const stand of plan.stands) {
    const legs = standMeshes(stand.at, stand.footprint, stand.top - 0.12, black, solid);
    if (stand.kind === "camera") ofCamera(stand.holds, ...legs);
    else for (const leg of legs) root.add(leg);
  }
  for (const slide of plan.slides) {
    const rail = between(slide.from, slide.to, 0.03, black, solid);
    rail.position.z -= 0.18;
    ofCamera(slide.camera.id, rail);
  }
  for (const microphone of plan.microphones) {
    const { point, direction, said } = microphone;
    if (said.role === "lav") {
      const dot = solid(new SphereGeometry(0.008, 10, 8), black);
      dot.position.set(...(point as [number, number, number]));
      root.add(dot);
    } else if (said.role === "boom") {
      root.add(between(along(point, direction, -0.22), point, 0.011, black, solid));
      if (said.standAt) {
        const top: V3 = [said.standAt[0], said.standAt[1], Math.max(point[2] + 0.05, 1.9)];
        root.add(between(top, along(point, direction, -0.18), 0.01, black, solid));
        root.add(between([said.standAt[0], said.standAt[1], 0], top, 0.012, black, solid));
      }
    }
  }

  // Light.
  const white = plan.lights.find((l) => l.said.role === "key")?.kelvin ?? (plan.lights[0]?.kelvin || 5600);
  const lamps: { light: SpotLight; at: V3; right: V3; up: V3 }[] = [];
  const face = plan.sitter.eyes;
  const day = daylight.figures;
  const towards = (from: V3): LitPlace => ({ at: face, normal: unit(minus(from, face)) });
  plan.lights.forEach((placed) => {
    const spot = spotOf(placed, white);
    root.add(spot, spot.target);
    const panel = facingPanel(placed, materials, solid);
    root.add(panel);
    const [right, up] = axesAcross(placed.direction, placed.size);
    lamps.push({ light: spot, at: placed.point, right, up });
    spot.intensity = strengthAt(
      spot,
      face,
      lampLux(plan, placed, towards(placed.point)),
      placed.luxAtOneMetre,
    );
  });
  for (const wall of plan.walls)
    for (const opening of wall.openings) {
      if (opening.passes <= 0 || daylight.skyLux < 5) continue;
      const area = (opening.to - opening.from) * (opening.head - opening.sill);
      const candela = skyNits * area * opening.passes;
      const spot = new SpotLight(0xffffff, candela, 0, 80 * degree, 0.6, 2);
      const [r, g, b] = lightColour(7000, white);
      spot.color.setRGB(r, g, b);
      const middle = opening.middle;
      const inward: V3 = [wall.inward[0], wall.inward[1], -0.15];
      spot.position.set(
        ...(plus(middle, [wall.inward[0] * -0.05, wall.inward[1] * -0.05, 0]) as [number, number, number]),
      );
      spot.target.position.set(...(plus(middle, inward) as [number, number, number]));
      root.add(spot, spot.target);
      lamps.push({
        light: spot,
        at: plus(middle, [wall.inward[0] * -0.05, wall.inward[1] * -0.05, 0]),
        right: [wall.along[0] * (opening.to - opening.from), wall.along[1] * (opening.to - opening.from), 0],
        up: [0, 0, opening.head - opening.sill],
      });
      if (day)
        spot.intensity = strengthAt(spot, face, windowLux(plan, opening, towards(middle), day), candela);
    }
  if (daylight.towardsSun && daylight.sunLux > 0 && daylight.towardsSun[2] > 0) {
    const passes = Math.max(0, ...plan.walls.flatMap((wall) => wall.openings.map((o) => o.passes)));
    const sun = new DirectionalLight(0xffffff, daylight.sunLux * passes);
    const [r, g, b] = lightColour(5400, white);
    sun.color.setRGB(r, g, b);
    const middle = roomMiddle(outline);
    const far = 30;
    sun.position.set(
      middle[0] + daylight.towardsSun[0] * far,
      middle[1] + daylight.towardsSun[1] * far,
      1 + daylight.towardsSun[2] * far,
    );
    sun.target.position.set(middle[0], middle[1], 1);
    sun.castShadow = true;
    sun.shadow.mapSize.set(1024, 1024);
    const reach = Math.max(...outline.map(([x, y]) => Math.hypot(x - middle[0], y - middle[1]))) + 1;
    Object.assign(sun.shadow.camera, {
      left: -reach,
      right: reach,
      top: reach,
      bottom: -reach,
      near: 1,
      far: 2 * far,
    });
    sun.shadow.camera.up.set(0, 0, 1);
    sun.shadow.bias = -0.002;
    root.add(sun, sun.target);
  }
  // What the walls throw back, by the figures: everywhere alike.
  const bounced = bounceOf(plan, day).reduce((sum, { lux }) => sum + lux, 0);
  const bounce = new HemisphereLight(
    bounceColours.above,
    bounceColours.below,
    Math.max(bounced, 0.5) / bounceColours.upright,
  );
  // Its way is from above: z is up here.
  bounce.position.set(0, 0, 1);
  root.add(bounce);
  const luxOn = (place: LitPlace): number => {
    let lux = bounced + (day ? (sunLux(plan, place, day)?.lux ?? 0) : 0);
    for (const light of plan.lights) lux += lampLux(plan, light, place);
    if (day)
      for (const wall of plan.walls)
        for (const opening of wall.openings) lux += windowLux(plan, opening, place, day);
    return lux;
  };
  const { left, right } = placesOf(plan);
  const faceLux = Math.max(1, luxOn(left), luxOn(right));

  const casting = lamps.filter(({ light }) => light.castShadow);
  return {
    root,
    faceLux,
    shine: ({ lightX, lightY }) => {
      casting.forEach(({ light, at, right, up }, i) => {
        // Each light its own turn of the same spread, so that their shadows do not move together.
        const x = (((lightX + 0.5 + i * 0.37) % 1) - 0.5) as number;
        const y = (((lightY + 0.5 + i * 0.61) % 1) - 0.5) as number;
        light.position.set(
          at[0] + right[0] * x + up[0] * y,
          at[1] + right[1] * x + up[1] * y,
          at[2] + right[2] * x + up[2] * y,
        );
      });
    },
    seenBy: (id) => {
      for (const [camera, objects] of own) for (const object of objects) object.visible = camera !== id;
    },
    dispose: () => {
      root.traverse((object) => {
        if (object instanceof Mesh && !kept.has(object.geometry as BufferGeometry))
          (object.geometry as BufferGeometry).dispose();
        if (object instanceof SpotLight || object instanceof DirectionalLight)
          (object as Light & { dispose(): void }).dispose();
      });
    },
  };
}

/**
 * Candela with which a spot gives the face the illuminance that the figures say; a light that does not reach the face, or
 * is not meant for it, keeps its own.
 */
function strengthAt(spot: SpotLight, face: V3, lux: number, own: number): number {
  const { x, y, z } = spot.position;
  const aim = spot.target.position;
  const axis = unit([aim.x - x, aim.y - y, aim.z - z]);
  const way: V3 = [face[0] - x, face[1] - y, face[2] - z];
  const cosine = dot(axis, unit(way));
  // The cone's edge as the renderer draws it.
  const [edge, full] = [Math.cos(spot.angle), Math.cos(spot.angle * (1 - spot.penumbra))];
  const t = Math.max(0, Math.min(1, (cosine - edge) / (full - edge)));
  const share = t * t * (3 - 2 * t);
  return lux > 0 && share > 0.2 ? (lux * dot(way, way)) / share : own;
}

function roomMiddle(outline: readonly (readonly [number, number])[]): [number, number] {
  const xs = outline.map(([x]) => x);
  const ys = outline.map(([, y]) => y);
  return [(Math.min(...xs) + Math.max(...xs)) / 2, (Math.min(...ys) + Math.max(...ys)) / 2];
}

/** A wall with its openings cut out; a shut door is filled, a window shows the sky. */
function wallMeshes(
  wall: SceneWall,
  height: number,
  material: Material,
  skyNits: number,
  hasSky: boolean,
): Mesh[] {
  const shape = new Shape();
  shape.moveTo(0, 0).lineTo(wall.metres, 0).lineTo(wall.metres, height).lineTo(0, height);
  const meshes: Mesh[] = [];
  const put = (mesh: Mesh, out: number): Mesh => {
    mesh.matrixAutoUpdate = false;
    // x along the wall, y up, z into the room.
    mesh.matrix.set(
      wall.along[0],
      0,
      wall.inward[0],
      wall.from[0] - wall.inward[0] * out,
      wall.along[1],
      0,
      wall.inward[1],
      wall.from[1] - wall.inward[1] * out,
      0,
      1,
      0,
      0,
      0,
      0,
      0,
      1,
    );
    return mesh;
  };
  for (const opening of wall.openings) {
    const isOpen = opening.said.kind !== "door" || opening.said.open;
    const hole = new Path();
    const [top, bottom] = [Math.min(opening.head, height), Math.max(0.001, opening.sill)];
    hole
      .moveTo(opening.from, bottom)
      .lineTo(opening.from, top)
      .lineTo(opening.to, top)
      .lineTo(opening.to, bottom);
    shape.holes.push(hole);
    const pane = new PlaneGeometry(opening.to - opening.from, top - bottom);
    pane.translate((opening.from + opening.to) / 2, (top + bottom) / 2, 0);
    if (!isOpen) meshes.push(put(new Mesh(pane, material), 0.05));
    else if (hasSky) {
      const sky = new MeshBasicMaterial({ side: DoubleSide });
      sky.color.setRGB(skyNits, skyNits * 1.02, skyNits * 1.08);
      meshes.push(put(new Mesh(pane, sky), 0.12));
    }
  }
  const face = put(new Mesh(new ShapeGeometry(shape), material), 0);
  face.castShadow = true;
  face.receiveShadow = true;
  return [face, ...meshes];
}

type Solid = (geometry: BufferGeometry, material: Material, casts?: boolean) => Mesh;

function between(from: V3, to: V3, radius: number, material: Material, solid: Solid): Mesh {
  const way = new Vector3(to[0] - from[0], to[1] - from[1], to[2] - from[2]);
  const mesh = solid(new CylinderGeometry(radius, radius, Math.max(0.001, way.length()), 12), material);
  mesh.position.set((from[0] + to[0]) / 2, (from[1] + to[1]) / 2, (from[2] + to[2]) / 2);
  mesh.quaternion.copy(new Quaternion().setFromUnitVectors(new Vector3(0, 1, 0), way.normalize()));
  return mesh;
}

function standMeshes(
  at: readonly [number, number],
  footprint: number,
  top: number,
  material: Material,
  solid: Solid,
): Mesh[] {
  const height = Math.max(0.2, top);
  const joint = Math.min(height * 0.75, Math.max(0.25, footprint * 1.6));
  const legs = [90, 210, 330].map((turn) => {
    const way = directionOf(turn);
    return between(
      [at[0] + way[0] * footprint, at[1] + way[1] * footprint, 0.01],
      [at[0], at[1], joint],
      0.012,
      material,
      solid,
    );
  });
  return [...legs, between([at[0], at[1], joint], [at[0], at[1], height], 0.014, material, solid)];
}

function personGroup(
  person: ScenePerson,
  materials: { clay: Material; wood: Material },
  solid: Solid,
): Group {
  const shape = clayShape(person.stature, person.seatHeight);
  const group = new Group();
  const body = solid(geometryOf(shape.body), materials.clay);
  const head = solid(geometryOf(shape.head), materials.clay);
  body.rotation.z = -person.bodyHeading * degree;
  head.rotation.z = -person.headHeading * degree;
  body.position.set(person.head[0], person.head[1], 0);
  head.position.set(person.head[0], person.head[1], person.head[2]);
  group.add(body, head);
  if (person.seatHeight !== null) {
    const chair = new Group();
    const add = (w: number, d: number, h: number, x: number, y: number, z: number): void => {
      const part = solid(new BoxGeometry(w, d, h), materials.wood);
      part.position.set(x, y, z);
      chair.add(part);
    };
    const seat = person.seatHeight;
    add(0.44, 0.44, 0.04, 0, 0.05, seat - 0.02);
    for (const x of [-0.2, 0.2]) {
      add(0.035, 0.035, seat, x, 0.25, seat / 2);
      add(0.035, 0.035, seat + 0.42, x, -0.19, (seat + 0.42) / 2);
    }
    add(0.4, 0.025, 0.14, 0, -0.19, seat + 0.33);
    chair.rotation.z = -person.bodyHeading * degree;
    chair.position.set(person.head[0], person.head[1], 0);
    group.add(chair);
  }
  return group;
}

/** Half the breadth and the height of a light's face, as whole vectors across its direction. */
function axesAcross(direction: V3, size: readonly [number, number]): [V3, V3] {
  const flat = Math.hypot(direction[0], direction[1]);
  const right: V3 = flat < 1e-6 ? [1, 0, 0] : [direction[1] / flat, -direction[0] / flat, 0];
  const up: V3 = [
    right[1] * direction[2] - right[2] * direction[1],
    right[2] * direction[0] - right[0] * direction[2],
    right[0] * direction[1] - right[1] * direction[0],
  ];
  return [
    [right[0] * size[0], right[1] * size[0], right[2] * size[0]],
    [up[0] * size[1], up[1] * size[1], up[2] * size[1]],
  ];
}

function spotOf(placed: SceneLight, white: number): SpotLight {
  // Half the illuminance at half the beam: the cone's soft edge is laid about that angle.
  const half = Math.min(78, (placed.beamDegrees / 2) * 1.35) * degree;
  const spot = new SpotLight(0xffffff, placed.luxAtOneMetre, 0, half, 0.55, 2);
  const [r, g, b] = lightColour(placed.kelvin, white);
  spot.color.setRGB(r, g, b);
  spot.position.set(...(placed.point as [number, number, number]));
  spot.target.position.set(...(placed.aim as [number, number, number]));
  spot.castShadow = true;
  spot.shadow.mapSize.set(shadowSize, shadowSize);
  spot.shadow.bias = -0.0015;
  spot.shadow.camera.near = 0.12;
  spot.shadow.camera.far = 14;
  spot.shadow.camera.up.set(0, 0, 1);
  return spot;
}

/** What of a light a frame would see: its shining face. */
function facingPanel(placed: SceneLight, materials: { dark: Material }, solid: Solid): Group {
  const group = new Group();
  const [w, h] = placed.size;
  const back = solid(new BoxGeometry(w, h, 0.08), materials.dark, false);
  const glow = new MeshBasicMaterial();
  // Luminance of an even face: candela over its area.
  const nits = placed.luxAtOneMetre / Math.max(0.002, w * h);
  glow.color.setRGB(nits, nits, nits);
  const front = new Mesh(new PlaneGeometry(w * 0.96, h * 0.96), glow);
  back.position.z = 0.06;
  front.rotation.y = Math.PI;
  front.position.z = 0.015;
  group.add(back, front);
  group.position.set(...(placed.point as [number, number, number]));
  group.up.set(0, 0, 1);
  group.lookAt(
    placed.point[0] - placed.direction[0],
    placed.point[1] - placed.direction[1],
    placed.point[2] - placed.direction[2],
  );
  return group;
}
