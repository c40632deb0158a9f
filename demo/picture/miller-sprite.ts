import { directionThrough, type LensView, type Vector3 } from "./lens-view.ts";
import { shadeMiller, surfaceNormal } from "./miller-shading.ts";
import { headCentre, type MillerPose, type MillerShape, millerShape } from "./miller-shape.ts";

/** A rectangle of pixels, [left, right) x [top, bottom). */
export interface Rectangle {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** A rendered cut-out: linear light (not multiplied by its cover), cover 0 to 1, and distance from the camera in metres. */
export interface Sprite {
  readonly area: Rectangle;
  readonly rgb: Float32Array;
  readonly cover: Float32Array;
  readonly depth: Float32Array;
}

interface Hit {
  readonly cover: number;
  readonly depth: number;
  readonly rgb: Vector3;
}

/** Follows one ray to the miller; null where it passes her by more than half a pixel. */
function lookAlong(shape: MillerShape, view: LensView, x: number, y: number): Hit | null {
  const d = directionThrough(view, x, y);
  const [ox, oy, oz] = view.position;
  const pixel = 1 / view.focalPixels;
  const toHer = Math.hypot(headCentre[0] - ox, headCentre[1] - oy, headCentre[2] - oz);
  let t = toHer - 0.95;
  const far = toHer + 0.75;
  let nearest = 9;
  let nearestAt = 0;
  for (let step = 0; step < 110 && t < far; step++) {
    const distance = shape.distance(ox + d[0] * t, oy + d[1] * t, oz + d[2] * t);
    const inPixels = distance / (t * pixel);
    if (inPixels < nearest) {
      nearest = inPixels;
      nearestAt = t;
    }
    if (inPixels < 0.08) break;
    t += distance * 0.86;
  }
  if (nearest > 0.6) return null;
  const cover = Math.min(1, Math.max(0, (0.6 - nearest) / 0.52));
  const p: Vector3 = [ox + d[0] * nearestAt, oy + d[1] * nearestAt, oz + d[2] * nearestAt];
  const n = surfaceNormal(shape, p[0], p[1], p[2], Math.max(0.00035, nearestAt * pixel * 0.4));
  return { cover, depth: nearestAt, rgb: shadeMiller(shape, p, n, d) };
}

/**
 * Renders the miller, as she sits in `pose`, over an area of the picture.
 *
 * One ray a pixel, and four where two surfaces of different depth meet.
 *
 * @param tell - Called after each row with the share done, 0 to 1.
 */
export function renderMiller(
  view: LensView,
  area: Rectangle,
  pose: MillerPose,
  tell: (share: number) => void = () => {},
): Sprite {
  const shape = millerShape(pose);
  const width = area.right - area.left;
  const height = area.bottom - area.top;
  const rgb = new Float32Array(width * height * 3);
  const cover = new Float32Array(width * height);
  const depth = new Float32Array(width * height);
  for (let j = 0; j < height; j++) {
    for (let i = 0; i < width; i++) {
      const hit = lookAlong(shape, view, area.left + i + 0.5, area.top + j + 0.5);
      if (!hit) continue;
      const k = j * width + i;
      cover[k] = hit.cover;
      depth[k] = hit.depth;
      rgb[3 * k] = hit.rgb[0];
      rgb[3 * k + 1] = hit.rgb[1];
      rgb[3 * k + 2] = hit.rgb[2];
    }
    tell((j + 1) / height);
  }
  smoothInnerEdges(shape, view, area, { rgb, cover, depth });
  return { area, rgb, cover, depth };
}

function smoothInnerEdges(
  shape: MillerShape,
  view: LensView,
  area: Rectangle,
  planes: { rgb: Float32Array; cover: Float32Array; depth: Float32Array },
): void {
  const width = area.right - area.left;
  const height = area.bottom - area.top;
  const { rgb, cover, depth } = planes;
  const edges: number[] = [];
  for (let j = 1; j < height - 1; j++)
    for (let i = 1; i < width - 1; i++) {
      const k = j * width + i;
      if (
        cover[k]! < 1 ||
        cover[k - 1]! < 1 ||
        cover[k + 1]! < 1 ||
        cover[k - width]! < 1 ||
        cover[k + width]! < 1
      )
        continue;
      const z = depth[k]!;
      const bend = Math.max(
        Math.abs(depth[k - 1]! + depth[k + 1]! - 2 * z),
        Math.abs(depth[k - width]! + depth[k + width]! - 2 * z),
      );
      if (bend > 0.007) edges.push(k);
    }
  const offsets = [-0.27, 0.27];
  for (const k of edges) {
    const i = k % width;
    const j = (k - i) / width;
    let r = 0;
    let g = 0;
    let b = 0;
    let n = 0;
    for (const dy of offsets)
      for (const dx of offsets) {
        const hit = lookAlong(shape, view, area.left + i + 0.5 + dx, area.top + j + 0.5 + dy);
        if (!hit) continue;
        r += hit.rgb[0];
        g += hit.rgb[1];
        b += hit.rgb[2];
        n++;
      }
    if (n === 0) continue;
    rgb[3 * k] = r / n;
    rgb[3 * k + 1] = g / n;
    rgb[3 * k + 2] = b / n;
  }
}
