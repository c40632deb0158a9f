import type { Vector3 } from "#science/geometry/vector3";
import type { PinHole } from "#science/optics/pin-hole";

/** A frame is kept clear this much beyond its edges, share of its breadth: hands nod, sitters lean. Common practice. */
const margin = 0.02;
const nearest = 0.02;

/**
 * How far an upright or slanting bar reaches into a frame, metres; 0 where it stays out. Never less than what the exact
 * clipping sees of it, and hidden by nothing: cheap, for a search that asks a hundred thousand times.
 *
 * The frame's edges are planes through the lens, so the depth inside each is linear along the bar.
 *
 * @param across - Half its breadth along the frame's width, metres.
 * @param upright - Half its breadth along the frame's height, metres.
 */
export function barInFrame(
  camera: PinHole,
  from: Vector3,
  to: Vector3,
  across: number,
  upright: number,
): number {
  const { point, right, up, forward } = camera;
  const wide = camera.tanHalfWidth * (1 + 2 * margin);
  const high = camera.tanHalfHeight * (1 + 2 * margin);
  const [ax, ay, az] = [from[0] - point[0], from[1] - point[1], from[2] - point[2]];
  const [bx, by, bz] = [to[0] - point[0], to[1] - point[1], to[2] - point[2]];
  const az3 = ax * forward[0] + ay * forward[1] + az * forward[2];
  const bz3 = bx * forward[0] + by * forward[1] + bz * forward[2];
  if (az3 < nearest && bz3 < nearest) return 0;
  const axr = ax * right[0] + ay * right[1] + az * right[2];
  const bxr = bx * right[0] + by * right[1] + bz * right[2];
  const ayu = ax * up[0] + ay * up[1] + az * up[2];
  const byu = bx * up[0] + by * up[1] + bz * up[2];
  edges[0] = az3 - nearest;
  ends[0] = bz3 - nearest;
  edges[1] = wide * az3 + across - axr;
  ends[1] = wide * bz3 + across - bxr;
  edges[2] = wide * az3 + across + axr;
  ends[2] = wide * bz3 + across + bxr;
  edges[3] = high * az3 + upright - ayu;
  ends[3] = high * bz3 + upright - byu;
  edges[4] = high * az3 + upright + ayu;
  ends[4] = high * bz3 + upright + byu;
  let [low, top] = [0, 1];
  for (let k = 0; k < 5; k++) {
    const [a, b] = [edges[k]!, ends[k]!];
    if (a < 0 && b < 0) return 0;
    if (a < 0) low = Math.max(low, a / (a - b));
    else if (b < 0) top = Math.min(top, a / (a - b));
  }
  if (low > top) return 0;
  return Math.max(depthAt(low), depthAt((low + top) / 2), depthAt(top), 1e-4);
}

const edges = new Float64Array(5);
const ends = new Float64Array(5);

function depthAt(t: number): number {
  let least = Number.POSITIVE_INFINITY;
  for (let k = 1; k < 5; k++) least = Math.min(least, edges[k]! + (ends[k]! - edges[k]!) * t);
  return least;
}

/** {@link barInFrame} of an upright oblong that turns its face to the camera. */
export function oblongInFrame(camera: PinHole, middle: Vector3, width: number, height: number): number {
  return barInFrame(
    camera,
    [middle[0], middle[1], middle[2] - height / 2],
    [middle[0], middle[1], middle[2] + height / 2],
    width / 2,
    0,
  );
}
