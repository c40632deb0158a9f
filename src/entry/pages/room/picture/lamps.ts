import { type LightShadow, SpotLight } from "three";
import type { SceneLight } from "#room/scene";
import { dot, unit, type Vector3 as V3 } from "#science/geometry/vector3";
import type { Detail } from "./clay-shape.ts";
import { lightColour } from "./light-colour.ts";

const degree = Math.PI / 180;
const shadowSizes = { coarse: 256, fine: 512 } as const;

/**
 * Keeps a face from shading itself where the light grazes it: what is lit is looked up a little in front of itself, by
 * about a texel of the shadow's map.
 *
 * @param texelMetres - Breadth of a texel where the light falls.
 */
export function softenShadow(shadow: LightShadow, texelMetres: number): void {
  shadow.bias = -0.001;
  shadow.normalBias = Math.min(0.04, 1.5 * texelMetres);
}

/**
 * Candela with which a spot gives the face the illuminance that the figures say; a light that does not reach the face, or
 * is not meant for it, keeps its own.
 */
export function strengthAt(spot: SpotLight, face: V3, lux: number, own: number): number {
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

/** Half the breadth and the height of a light's face, as whole vectors across its direction. */
export function axesAcross(direction: V3, size: readonly [number, number]): [V3, V3] {
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

/** A light of the plan, its colour beside the one that the cameras are balanced for. */
export function spotOf(placed: SceneLight, white: number, detail: Detail): SpotLight {
  const shadowSize = shadowSizes[detail];
  // Half the illuminance at half the beam: the cone's soft edge is laid about that angle.
  const half = Math.min(78, (placed.beamDegrees / 2) * 1.35) * degree;
  const spot = new SpotLight(0xffffff, placed.luxAtOneMetre, 0, half, 0.55, 2);
  const [r, g, b] = lightColour(placed.kelvin, white);
  spot.color.setRGB(r, g, b);
  spot.position.set(...(placed.point as [number, number, number]));
  spot.target.position.set(...(placed.aim as [number, number, number]));
  spot.castShadow = true;
  spot.shadow.mapSize.set(shadowSize, shadowSize);
  // At 3 m, where most of what is lit stands.
  softenShadow(spot.shadow, (2 * 3 * Math.tan(half)) / shadowSize);
  spot.shadow.camera.near = 0.12;
  spot.shadow.camera.far = 14;
  spot.shadow.camera.up.set(0, 0, 1);
  return spot;
}
