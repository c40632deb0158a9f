/** A point or direction in the loft: x to the right of camera A, y up, z towards camera A; metres. */
export type Vector3 = readonly [x: number, y: number, z: number];

/** A pinhole camera: where it stands, where it points, and how many pixels one unit of slope covers. */
export interface LensView {
  readonly position: Vector3;
  readonly right: Vector3;
  readonly up: Vector3;
  readonly forward: Vector3;
  /** Focal length in pixels of this picture. */
  readonly focalPixels: number;
  readonly centreX: number;
  readonly centreY: number;
  readonly width: number;
  readonly height: number;
}

/** Width of the sensor to which the demo's focal lengths refer, millimetres (common practice: 36 x 24 mm). */
export const sensorWidthMm = 36;

export function normalised(v: Vector3): Vector3 {
  const length = Math.hypot(v[0], v[1], v[2]);
  return [v[0] / length, v[1] / length, v[2] / length];
}

export function cross(a: Vector3, b: Vector3): Vector3 {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

export function dot(a: Vector3, b: Vector3): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

export function distanceBetween(a: Vector3, b: Vector3): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

/**
 * The view of a camera at `position` that looks at `aim`, upright.
 *
 * @param focalLengthMm - For a sensor 36 mm wide.
 * @param width - Picture width in pixels; pixels are square.
 */
export function lensView(
  position: Vector3,
  aim: Vector3,
  focalLengthMm: number,
  width: number,
  height: number,
): LensView {
  const forward = normalised([aim[0] - position[0], aim[1] - position[1], aim[2] - position[2]]);
  const right = normalised(cross(forward, [0, 1, 0]));
  const up = cross(right, forward);
  return {
    position,
    right,
    up,
    forward,
    focalPixels: (focalLengthMm / sensorWidthMm) * width,
    centreX: width / 2,
    centreY: height / 2,
    width,
    height,
  };
}

/**
 * Where a point of the room falls in the picture: pixels from the outer corner of the first pixel, and the
 * distance along the optical axis in metres (negative: behind the camera).
 */
export function project(view: LensView, point: Vector3): { x: number; y: number; depth: number } {
  const offset: Vector3 = [
    point[0] - view.position[0],
    point[1] - view.position[1],
    point[2] - view.position[2],
  ];
  const depth = dot(offset, view.forward);
  const scale = view.focalPixels / depth;
  return {
    x: view.centreX + dot(offset, view.right) * scale,
    y: view.centreY - dot(offset, view.up) * scale,
    depth,
  };
}

/** The direction, of length 1, in which the picture's point (x, y) looks. */
export function directionThrough(view: LensView, x: number, y: number): Vector3 {
  const a = (x - view.centreX) / view.focalPixels;
  const b = (view.centreY - y) / view.focalPixels;
  return normalised([
    view.forward[0] + a * view.right[0] + b * view.up[0],
    view.forward[1] + a * view.right[1] + b * view.up[1],
    view.forward[2] + a * view.right[2] + b * view.up[2],
  ]);
}

/** The same view with a margin of `margin` pixels added on all four sides. */
export function withMargin(view: LensView, marginX: number, marginY: number): LensView {
  return {
    ...view,
    width: view.width + 2 * marginX,
    height: view.height + 2 * marginY,
    centreX: view.centreX + marginX,
    centreY: view.centreY + marginY,
  };
}
