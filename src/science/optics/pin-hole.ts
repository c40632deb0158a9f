import { cross, directionOf, dot, minus, radiansOf, type Vector3 } from "../geometry/vector3.ts";

/** A camera without a lens's faults: a point, a direction, and how far the frame reaches to each side. */
export interface PinHole {
  /** Centre of projection, metres. */
  readonly point: Vector3;
  readonly forward: Vector3;
  readonly right: Vector3;
  readonly up: Vector3;
  /** Half the frame's width and height at one metre ahead: tangents of the half angles. */
  readonly tanHalfWidth: number;
  readonly tanHalfHeight: number;
}

/** A place in a frame: shares of its width from the left and of its height from the top; may lie outside 0..1. */
export interface FramePlace {
  readonly x: number;
  readonly y: number;
  /** Metres ahead of the camera, along its axis. */
  readonly depth: number;
}

/**
 * A level camera's three axes and frame.
 *
 * @param point - Centre of projection, metres.
 * @param panDegrees - Heading, clockwise from +y.
 * @param tiltDegrees - Up from the horizontal.
 */
export function pinHole(
  point: Vector3,
  panDegrees: number,
  tiltDegrees: number,
  tanHalfWidth: number,
  tanHalfHeight: number,
): PinHole {
  const forward = directionOf(panDegrees, tiltDegrees);
  const pan = radiansOf(panDegrees);
  const right: Vector3 = [Math.cos(pan), -Math.sin(pan), 0];
  return { point, forward, right, up: cross(right, forward), tanHalfWidth, tanHalfHeight };
}

/**
 * Where a point of the room falls in a frame, by central projection.
 *
 * @returns The place, or null for a point beside or behind the camera (under 1 mm ahead).
 */
export function placeInFrame(camera: PinHole, at: Vector3): FramePlace | null {
  const way = minus(at, camera.point);
  const depth = dot(way, camera.forward);
  if (depth < 0.001) return null;
  return {
    x: 0.5 + dot(way, camera.right) / (2 * depth * camera.tanHalfWidth),
    y: 0.5 - dot(way, camera.up) / (2 * depth * camera.tanHalfHeight),
    depth,
  };
}

/**
 * The pan and tilt that bring a point to a place in the frame, in closed form.
 *
 * @param from - Centre of projection.
 * @param target - The point to hold.
 * @param x - Share of the width from the left.
 * @param y - Share of the height from the top.
 * @returns Degrees; null where no level camera can do it (the point is too near the vertical).
 */
export function aimFor(
  from: Vector3,
  target: Vector3,
  x: number,
  y: number,
  tanHalfWidth: number,
  tanHalfHeight: number,
): { pan: number; tilt: number } | null {
  const X = (2 * x - 1) * tanHalfWidth;
  const Y = (1 - 2 * y) * tanHalfHeight;
  const way = minus(target, from);
  const distance = Math.hypot(way[0], way[1], way[2]);
  // (X, Y, 1)/n is the direction in the camera's axes; its rise above the floor fixes the tilt, the rest the pan.
  const n = Math.sqrt(1 + X * X + Y * Y);
  const sine = (n * way[2]) / distance / Math.sqrt(1 + Y * Y);
  if (!(Math.abs(sine) < 1)) return null;
  const tilt = Math.asin(sine) - Math.atan(Y);
  const pan = Math.atan2(way[0], way[1]) - Math.atan2(X, Math.cos(tilt) - Y * Math.sin(tilt));
  return { pan: (pan * 180) / Math.PI, tilt: (tilt * 180) / Math.PI };
}
