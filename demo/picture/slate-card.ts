import type { CameraColour } from "./camera-colour.ts";
import { times } from "./camera-colour.ts";
import type { CardSprite } from "./chart-card.ts";
import {
  cross,
  directionThrough,
  dot,
  type LensView,
  normalised,
  project,
  type Vector3,
} from "./lens-view.ts";
import { windowOnSurface, windows } from "./loft-light.ts";
import { fillAbove } from "./miller-shading.ts";

/*
 * The slate: a board with ruled lines and, hinged on top, a striped stick that claps.
 */

/** How far the stick stands open, radians, in each drawn state; the last is shut. */
export const slateStates: readonly number[] = [0.5, 0.28, 0.1, 0];

const centre: Vector3 = [0.02, 1.03, 0.5];
const facing = normalised([0.16, 0.06, 1]);
const across = normalised(cross([-0.04, 1, 0], facing));
const upwards = cross(facing, across);
const halfWidth = 0.13;
const halfHeight = 0.085;
const stickHeight = 0.026;

/** Reflectance at (u, v) metres from the board's centre, or -1 beside the slate. */
function reflectance(u: number, v: number, open: number): number {
  if (Math.abs(u) <= halfWidth && v <= halfHeight && v >= -halfHeight) {
    // the fixed stick, then the ruled board
    if (v > halfHeight - stickHeight) return stripe(u, v - halfHeight + stickHeight);
    const ruled =
      [0.022, -0.018, -0.052].some((line) => Math.abs(v - line) < 0.0011) ||
      (v < 0.022 && v > -0.052 && Math.abs(Math.abs(u) - 0.045) < 0.0011);
    const chalk =
      v < 0.018 && v > -0.012 ? 0.05 * Math.max(0, Math.sin(u * 190) * Math.sin(v * 260 + u * 60)) : 0;
    return ruled && Math.abs(u) < halfWidth - 0.008 ? 0.5 : 0.035 + chalk;
  }
  // the stick turns about the top left corner
  const du = u + halfWidth;
  const dv = v - halfHeight - 0.001;
  const su = du * Math.cos(open) + dv * Math.sin(open);
  const sv = -du * Math.sin(open) + dv * Math.cos(open);
  if (su >= 0 && su <= 2 * halfWidth && sv >= 0 && sv <= stickHeight)
    return stripe(su - halfWidth, stickHeight - sv);
  // the hand's place: a short handle out of the picture
  if (v < 0 && v > -0.7 && Math.abs(u) < 0.011) return 0.09 * (1.3 - Math.abs(u + 0.003) / 0.011);
  return -1;
}

function stripe(u: number, v: number): number {
  return ((((u + v) / 0.052) % 1) + 1) % 1 < 0.5 ? 0.72 : 0.04;
}

export function renderSlate(view: LensView, camera: CameraColour, open: number): CardSprite {
  const at = (u: number, v: number): Vector3 => [
    centre[0] + u * across[0] + v * upwards[0],
    centre[1] + u * across[1] + v * upwards[1],
    centre[2] + u * across[2] + v * upwards[2],
  ];
  const corners = [
    at(-halfWidth, halfHeight + 0.17),
    at(halfWidth + 0.02, halfHeight + 0.17),
    at(halfWidth, -halfHeight),
    at(-halfWidth, -halfHeight),
  ].map((p) => project(view, p));
  const even = (v: number): number => 2 * Math.floor(v / 2);
  const area = {
    left: even(Math.min(...corners.map((c) => c.x)) - 4),
    top: even(Math.min(...corners.map((c) => c.y)) - 4),
    right: even(Math.max(...corners.map((c) => c.x)) + 6),
    bottom: even(view.height * 1.3),
  };
  const width = area.right - area.left;
  const height = area.bottom - area.top;
  const signal = new Float32Array(3 * width * height);
  const cover = new Float32Array(width * height);
  const key = windowOnSurface(windows[0]!, centre, facing, 4);
  const light = [0, 1, 2].map((band) => key * windows[0]!.radiance[band]! + 1.1 * fillAbove[band]!) as [
    number,
    number,
    number,
  ];
  const white = times(camera.fromScene, light);
  const to: Vector3 = [
    centre[0] - view.position[0],
    centre[1] - view.position[1],
    centre[2] - view.position[2],
  ];
  const samples = 3;
  for (let j = 0; j < height; j++)
    for (let i = 0; i < width; i++) {
      let sum = 0;
      let n = 0;
      for (let s = 0; s < samples * samples; s++) {
        const d = directionThrough(
          view,
          area.left + i + ((s % samples) + 0.5) / samples,
          area.top + j + (Math.floor(s / samples) + 0.5) / samples,
        );
        const t = dot(to, facing) / dot(d, facing);
        const q: Vector3 = [
          view.position[0] + t * d[0] - centre[0],
          view.position[1] + t * d[1] - centre[1],
          view.position[2] + t * d[2] - centre[2],
        ];
        const r = reflectance(dot(q, across), dot(q, upwards), open);
        if (r < 0) continue;
        sum += r;
        n++;
      }
      if (n === 0) continue;
      const k = j * width + i;
      for (let band = 0; band < 3; band++) signal[3 * k + band] = (sum / n) * white[band]!;
      cover[k] = n / (samples * samples);
    }
  return { area, signal, cover };
}
