import {
  BoxGeometry,
  type BufferGeometry,
  CylinderGeometry,
  DirectionalLight,
  Group,
  HemisphereLight,
  type Light,
  Mesh,
  type Object3D,
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
import type { Scene as Plan } from "#room/scene";
import { along, minus, plus, unit, type Vector3 as V3 } from "#science/geometry/vector3";
import type { Detail } from "./clay-shape.ts";
import { facingPanel, standMeshes } from "./kit-meshes.ts";
import { axesAcross, softenShadow, spotOf, strengthAt } from "./lamps.ts";
import type { LensSample } from "./lens-samples.ts";
import { lightColour } from "./light-colour.ts";
import { personGroup } from "./person-meshes.ts";
import { between, kept, materials, solid } from "./solids.ts";
import { wallMeshes } from "./wall-meshes.ts";

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

/** What an upright surface gets of the light from above and from below, whose colours are these. */
const bounceColours = { above: 0xffffff, below: 0x9a938a, upright: (1 + 0.293) / 2 };

const degree = Math.PI / 180;

/** Builds the room of a scene. What it holds on the graphics side is given back by `dispose`. */
export function roomModel(plan: Plan, daylight: Daylight, detail: Detail = "fine"): RoomModel {
  const root = new Scene();
  const own = new Map<string, Object3D[]>();
  const ofCamera = (id: string, ...objects: Object3D[]): void => {
    own.set(id, [...(own.get(id) ?? []), ...objects]);
    for (const object of objects) root.add(object);
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
    const group = personGroup(plan[name], detail);
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
    const legs = standMeshes(stand.at, stand.footprint, stand.top - 0.12, black);
    if (stand.kind === "camera") ofCamera(stand.holds, ...legs);
    else for (const leg of legs) root.add(leg);
  }
  for (const slide of plan.slides) {
    const rail = between(slide.from, slide.to, 0.03, black);
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
      root.add(between(along(point, direction, -0.22), point, 0.011, black));
      if (said.standAt) {
        const top: V3 = [said.standAt[0], said.standAt[1], Math.max(point[2] + 0.05, 1.9)];
        root.add(between(top, along(point, direction, -0.18), 0.01, black));
        root.add(between([said.standAt[0], said.standAt[1], 0], top, 0.012, black));
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
    const spot = spotOf(placed, white, detail);
    root.add(spot, spot.target);
    const panel = facingPanel(placed);
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
    const texels = detail === "fine" ? 1024 : 512;
    sun.shadow.mapSize.set(texels, texels);
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
    softenShadow(sun.shadow, (2 * reach) / texels);
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

function roomMiddle(outline: readonly (readonly [number, number])[]): [number, number] {
  const xs = outline.map(([x]) => x);
  const ys = outline.map(([, y]) => y);
  return [(Math.min(...xs) + Math.max(...xs)) / 2, (Math.min(...ys) + Math.max(...ys)) / 2];
}
