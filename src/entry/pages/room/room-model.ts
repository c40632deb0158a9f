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
import type { Scene as Plan, SceneLight, ScenePerson, SceneWall } from "#room/scene";
import {
  along,
  directionOf,
  distanceBetween,
  dot,
  minus,
  plus,
  unit,
  type Vector3 as V3,
} from "#science/geometry/vector3";
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
}

/** A plan as solids and lights, in the plan's own axes and metres. */
export interface RoomModel {
  readonly root: Scene;
  /** Illuminance of the sitter's face by all that shines, lux, roughly: what the picture is exposed for. */
  readonly faceLux: number;
  /** Moves each light to the place on its face that this sample is lit from. */
  shine(sample: LensSample): void;
  /** Hides what a camera cannot see of itself. */
  seenBy(cameraId: string): void;
  dispose(): void;
}

const clay = { colour: 0xcdbfa8, reflects: 0.5 };
/** Reflectance of room surfaces in the mean: mid walls, dark floor, light ceiling. Common practice. */
const roomReflects = 0.35;
const shadowSize = 512;

const lambert = (colour: number, side = false): MeshLambertMaterial =>
  new MeshLambertMaterial({ color: colour, ...(side ? { side: DoubleSide } : {}) });

function geometryOf(surface: Surface): BufferGeometry {
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(surface.positions, 3));
  geometry.setAttribute("normal", new BufferAttribute(surface.normals, 3));
  geometry.setIndex(new BufferAttribute(surface.indices, 1));
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
  for (const person of [plan.sitter, plan.interviewer]) root.add(personGroup(person, materials, solid));

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
  let faceLux = 0;
  let flux = 0;
  const face = plan.sitter.eyes;
  /** How squarely the face looks to a source: its front half gets what comes from the side too. */
  const facing = (from: V3): number =>
    Math.max(0, 0.25 + 0.75 * dot(plan.sitter.gaze, unit(minus(from, face))));
  plan.lights.forEach((placed) => {
    const spot = spotOf(placed, white);
    root.add(spot, spot.target);
    const panel = facingPanel(placed, materials, solid);
    root.add(panel);
    const [right, up] = axesAcross(placed.direction, placed.size);
    lamps.push({ light: spot, at: placed.point, right, up });
    const metres = Math.max(0.2, distanceBetween(placed.point, face));
    faceLux += (placed.luxAtOneMetre / metres ** 2) * facing(placed.point);
    flux += placed.luxAtOneMetre * 2 * Math.PI * (1 - Math.cos((placed.beamDegrees / 2) * degree));
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
      faceLux += (candela / Math.max(0.5, distanceBetween(middle, face)) ** 2) * facing(middle);
      flux += candela * Math.PI;
      if (daylight.towardsSun)
        flux +=
          Math.max(0, -dot2(daylight.towardsSun, wall.inward)) * daylight.sunLux * area * opening.passes;
    }
  if (daylight.towardsSun && daylight.sunLux > 0 && daylight.towardsSun[2] > 0) {
    const sun = new DirectionalLight(0xffffff, daylight.sunLux * 0.8);
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
  // What walls throw back, evenly: flux times reflectance over what the surfaces swallow.
  const surface = roomSurface(plan);
  const bounced = (flux * roomReflects) / (surface * (1 - roomReflects));
  root.add(new HemisphereLight(0xffffff, 0x9a938a, Math.max(bounced, faceLux * 0.02, 0.5)));
  faceLux = Math.max(1, faceLux + bounced);

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
        if (object instanceof Mesh) (object.geometry as BufferGeometry).dispose();
        if (object instanceof SpotLight || object instanceof DirectionalLight)
          (object as Light & { dispose(): void }).dispose();
      });
      for (const material of Object.values(materials)) material.dispose();
    },
  };
}

const dot2 = (a: V3, b: readonly [number, number]): number => a[0] * b[0] + a[1] * b[1];

function roomMiddle(outline: readonly (readonly [number, number])[]): [number, number] {
  const xs = outline.map(([x]) => x);
  const ys = outline.map(([, y]) => y);
  return [(Math.min(...xs) + Math.max(...xs)) / 2, (Math.min(...ys) + Math.max(...ys)) / 2];
}

function roomSurface(plan: Plan): number {
  let around = 0;
  let area = 0;
  for (const wall of plan.walls) {
    around += wall.metres;
    area += (wall.from[0] * wall.to[1] - wall.to[0] * wall.from[1]) / 2;
  }
  return around * plan.room.height + 2 * Math.abs(area);
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
