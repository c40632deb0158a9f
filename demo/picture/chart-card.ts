import { type CameraColour, type Rgb, times } from "./camera-colour.ts";
import type { LensView, Vector3 } from "./lens-view.ts";
import { cross, directionThrough, dot, normalised, project } from "./lens-view.ts";
import { windowOnSurface, windows } from "./loft-light.ts";
import { fillAbove } from "./miller-shading.ts";
import type { Rectangle } from "./miller-sprite.ts";

/*
 * The 24-patch chart, held up before the miller. Proportions as published: six by four square patches, dark
 * ground between (McCamy, Marcus & Davidson 1976).
 */

/** Pitch of the patches and side of one, metres. */
const pitch = 0.0415;
const side = 0.036;
/** The dark frame beyond the field of patches. */
const frame = 0.012;

export const chartCentre: Vector3 = [0.03, 1.05, 0.4];
const facing = normalised([-0.09, 0.05, 1]);
const across = normalised(cross([0.02, 1, 0], facing));
const upwards = cross(facing, across);

const fieldHalfWidth = (5 * pitch + side) / 2;
const fieldHalfHeight = (3 * pitch + side) / 2;

function at(u: number, v: number): Vector3 {
  return [
    chartCentre[0] + u * across[0] + v * upwards[0],
    chartCentre[1] + u * across[1] + v * upwards[1],
    chartCentre[2] + u * across[2] + v * upwards[2],
  ];
}

/** Outer corners of the field of patches in a picture: from the dark-skin patch's clockwise. */
export function chartCorners(view: LensView): [number, number][] {
  return (
    [
      [-fieldHalfWidth, fieldHalfHeight],
      [fieldHalfWidth, fieldHalfHeight],
      [fieldHalfWidth, -fieldHalfHeight],
      [-fieldHalfWidth, -fieldHalfHeight],
    ] as const
  ).map(([u, v]) => {
    const p = project(view, at(u, v));
    return [p.x, p.y];
  });
}

/**
 * Light on the card at one place, as a white matt board would show it. A white board beside the camera fills
 * it, and evens out most of the window's fall-off from left to right.
 */
function lightAt(p: Vector3): Rgb {
  const evened: Vector3 = [
    chartCentre[0] + 0.3 * (p[0] - chartCentre[0]),
    chartCentre[1] + 0.3 * (p[1] - chartCentre[1]),
    chartCentre[2] + 0.3 * (p[2] - chartCentre[2]),
  ];
  const key = 1.15 * windowOnSurface(windows[0]!, evened, facing, 4);
  return [0, 1, 2].map(
    (band) => key * windows[0]!.radiance[band]! + 1.5 * fillAbove[band]!,
  ) as unknown as Rgb;
}

/** The card as a picture: the camera's own linear signal, not multiplied by cover. */
export interface CardSprite {
  readonly area: Rectangle;
  readonly signal: Float32Array;
  readonly cover: Float32Array;
}

/** What the card and its stick show at (u, v) metres from its centre, or null beside it. */
function signalAt(camera: CameraColour, u: number, v: number, light: Rgb): [number, number, number] | null {
  const dark = (reflectance: number): [number, number, number] =>
    times(camera.fromScene, [light[0] * reflectance, light[1] * reflectance, light[2] * reflectance]);
  if (Math.abs(u) > fieldHalfWidth + frame || Math.abs(v) > fieldHalfHeight + frame)
    return v < 0 && v > -0.7 && Math.abs(u) < 0.0085
      ? dark(0.06 * (1.25 - Math.abs(u + 0.003) / 0.0085))
      : null;
  const column = (u + fieldHalfWidth) / pitch;
  const row = (fieldHalfHeight - v) / pitch;
  const c = Math.floor(column);
  const r = Math.floor(row);
  if (
    c < 0 ||
    c > 5 ||
    r < 0 ||
    r > 3 ||
    column - c > side / pitch ||
    row - r > side / pitch ||
    column < 0 ||
    row < 0
  )
    return dark(0.018);
  const patch = camera.patches[6 * r + c]!;
  // the spectra give the colour; the light's own slight tint and fall-off come on top
  return [patch[0] * light[0], patch[1] * light[1], patch[2] * light[2]];
}

export function renderChart(view: LensView, camera: CameraColour): CardSprite {
  const corners = [
    project(view, at(-fieldHalfWidth - frame, fieldHalfHeight + frame)),
    project(view, at(fieldHalfWidth + frame, fieldHalfHeight + frame)),
    project(view, at(fieldHalfWidth + frame, -fieldHalfHeight - frame)),
    project(view, at(-fieldHalfWidth - frame, -fieldHalfHeight - frame)),
  ];
  const even = (v: number): number => 2 * Math.floor(v / 2);
  const area: Rectangle = {
    left: even(Math.min(...corners.map((c) => c.x)) - 4),
    top: even(Math.min(...corners.map((c) => c.y)) - 4),
    right: even(Math.max(...corners.map((c) => c.x)) + 6),
    bottom: even(view.height * 1.3),
  };
  const width = area.right - area.left;
  const height = area.bottom - area.top;
  const signal = new Float32Array(3 * width * height);
  const cover = new Float32Array(width * height);
  const samples = 3;
  for (let j = 0; j < height; j++)
    for (let i = 0; i < width; i++) {
      let r = 0;
      let g = 0;
      let b = 0;
      let n = 0;
      let light: Rgb | null = null;
      for (let s = 0; s < samples * samples; s++) {
        const d = directionThrough(
          view,
          area.left + i + ((s % samples) + 0.5) / samples,
          area.top + j + (Math.floor(s / samples) + 0.5) / samples,
        );
        const to: Vector3 = [
          chartCentre[0] - view.position[0],
          chartCentre[1] - view.position[1],
          chartCentre[2] - view.position[2],
        ];
        const t = dot(to, facing) / dot(d, facing);
        const p: Vector3 = [
          view.position[0] + t * d[0],
          view.position[1] + t * d[1],
          view.position[2] + t * d[2],
        ];
        const q: Vector3 = [p[0] - chartCentre[0], p[1] - chartCentre[1], p[2] - chartCentre[2]];
        light ??= lightAt(p);
        const seen = signalAt(camera, dot(q, across), dot(q, upwards), light);
        if (!seen) continue;
        r += seen[0];
        g += seen[1];
        b += seen[2];
        n++;
      }
      if (n === 0) continue;
      const k = j * width + i;
      signal[3 * k] = r / n;
      signal[3 * k + 1] = g / n;
      signal[3 * k + 2] = b / n;
      cover[k] = n / (samples * samples);
    }
  return { area, signal, cover };
}
