import type { Light, PlacedLight } from "#documents/plan";
import { minus, unit, type Vector3 } from "#science/geometry/vector3";
import type { ScenePerson } from "./scene-person.ts";

/** A light in the room, as its sheet, its modifier, its gel and its dimmer leave it. */
export interface SceneLight {
  readonly id: string;
  readonly said: PlacedLight;
  readonly light: Light;
  readonly point: Vector3;
  readonly aim: Vector3;
  /** From the light towards its aim, length 1. */
  readonly direction: Vector3;
  /** Illuminance at one metre on the axis, lux, after dimming and every loss (a point source's figure). */
  readonly luxAtOneMetre: number;
  /** Full angle between directions of half illuminance. */
  readonly beamDegrees: number;
  /** Of the light that leaves it, with the gel. */
  readonly kelvin: number;
  /** Width and height of what shines: the modifier's, else the bare face's; metres. */
  readonly size: readonly [number, number];
  readonly lossStops: number;
}

/** One placed light of the plan with its kit. */
export function sceneLight(said: PlacedLight, light: Light, sitter: ScenePerson): SceneLight {
  const point: Vector3 = [said.at[0], said.at[1], said.height];
  const face: Vector3 = [
    (sitter.eyes[0] + sitter.mouth[0]) / 2,
    (sitter.eyes[1] + sitter.mouth[1]) / 2,
    (sitter.eyes[2] + sitter.mouth[2]) / 2,
  ];
  const aim = said.aim ?? face;
  const modifier = light.modifiers.find((m) => m.id === said.modifier);
  const lossStops = (modifier?.lossStops ?? 0) + said.gelLossStops;
  const [lowest, highest] = light.kelvinRange ?? [light.kelvin, light.kelvin];
  const source = Math.max(lowest, Math.min(highest, said.kelvin ?? light.kelvin));
  return {
    id: said.id,
    said,
    light,
    point,
    aim,
    direction: unit(minus(aim, point)),
    luxAtOneMetre: (light.lux * light.atMetres ** 2 * said.dim) / 2 ** lossStops,
    beamDegrees: modifier?.beamDegrees ?? light.beamDegrees,
    kelvin: 1e6 / (1e6 / source + said.gelMired),
    size: modifier?.size ?? light.face,
    lossStops,
  };
}
