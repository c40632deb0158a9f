import type { HeadPose, HeldPose } from "./keyframes.ts";

/**
 * Where a head that runs smoothly through its keyframes points at a moment: it starts and ends at rest and does not stop
 * between (cubic Hermite pieces; the speed at an inner keyframe is the three-point one of its neighbours, at the ends 0).
 *
 * @param keys - Rising in time, at least one; held before the first and after the last.
 */
export function smoothPose(keys: readonly HeadPose[], t: number): { pan: number; tilt: number } {
  const last = keys.length - 1;
  if (last === 0 || t <= keys[0]!.t) return keys[0]!;
  if (t >= keys[last]!.t) return keys[last]!;
  let i = 0;
  while (keys[i + 1]!.t < t) i++;
  const [a, b] = [keys[i]!, keys[i + 1]!];
  const h = b.t - a.t;
  const u = (t - a.t) / h;
  const [u2, u3] = [u * u, u * u * u];
  const h00 = 2 * u3 - 3 * u2 + 1;
  const h10 = (u3 - 2 * u2 + u) * h;
  const h01 = 3 * u2 - 2 * u3;
  const h11 = (u3 - u2) * h;
  return {
    pan: h00 * a.pan + h10 * speedAt(keys, i, "pan") + h01 * b.pan + h11 * speedAt(keys, i + 1, "pan"),
    tilt: h00 * a.tilt + h10 * speedAt(keys, i, "tilt") + h01 * b.tilt + h11 * speedAt(keys, i + 1, "tilt"),
  };
}

function speedAt(keys: readonly HeadPose[], i: number, of: "pan" | "tilt"): number {
  if (i === 0 || i === keys.length - 1) return 0;
  const [a, b, c] = [keys[i - 1]!, keys[i]!, keys[i + 1]!];
  const [h, k] = [b.t - a.t, c.t - b.t];
  const [before, after] = [(b[of] - a[of]) / h, (c[of] - b[of]) / k];
  return (before * k + after * h) / (h + k);
}

/** Worst error of keyframes at some samples, pixels; stops looking once it is over `stopAt`. */
function worstOf(poses: readonly HeldPose[], indices: readonly number[], stopAt: number): number {
  const keys = indices.map((i) => poses[i]!);
  let error = 0;
  for (let k = 0; k + 1 < indices.length; k++) {
    const [a, b] = [keys[k]!, keys[k + 1]!];
    const h = b.t - a.t;
    const [pa, pb] = [h * speedAt(keys, k, "pan"), h * speedAt(keys, k + 1, "pan")];
    const [ta, tb] = [h * speedAt(keys, k, "tilt"), h * speedAt(keys, k + 1, "tilt")];
    for (let i = indices[k]! + 1; i < indices[k + 1]!; i++) {
      const pose = poses[i]!;
      const u = (pose.t - a.t) / h;
      const [u2, u3] = [u * u, u * u * u];
      const rise = 3 * u2 - 2 * u3;
      const [out, into] = [u3 - 2 * u2 + u, u3 - u2];
      const pan = a.pan + (b.pan - a.pan) * rise + out * pa + into * pb - pose.pan;
      const tilt = a.tilt + (b.tilt - a.tilt) * rise + out * ta + into * tb - pose.tilt;
      const x = pan * pose.pixelsPerPan;
      const y = tilt * pose.pixelsPerTilt;
      const off = Math.sqrt(x * x + y * y);
      if (off > error) {
        error = off;
        if (error > stopAt) return error;
      }
    }
  }
  return error;
}

/** On a finer grid than this not every choice is tried. */
const mostTried = 50;
/** Sweeps of moving each inner keyframe, and how far each may go at once, in samples. */
const sweeps = 6;
const steps = [1, -1, 2, -2, 4, -4];

/**
 * The fewest keyframes on the exact curve through which a smooth head holds a point within a tolerance.
 *
 * Up to two inner keyframes every choice of sample times is tried (of up to 51 samples), so that fewer there are not.
 * Beyond that: as few as do evenly in time, then one fewer as long as moving them one after another finds places that
 * do. Where nothing does, a keyframe at every sample.
 *
 * @param poses - Exact poses, rising in time, at least two.
 * @param tolerance - Pixels.
 */
export function fewestSmoothKeyframes(poses: readonly HeldPose[], tolerance: number): HeadPose[] {
  const keysAt = (indices: readonly number[]): HeadPose[] =>
    indices.map((i) => ({ t: poses[i]!.t, pan: poses[i]!.pan, tilt: poses[i]!.tilt }));
  const n = poses.length - 1;
  if (isStill(poses, tolerance)) return keysAt([0]);
  if (worstOf(poses, [0, n], tolerance) <= tolerance) return keysAt([0, n]);
  if (n <= mostTried) {
    const few = best(poses, oneInner(n), tolerance) ?? best(poses, twoInner(n), tolerance);
    if (few) return keysAt(few);
  }
  const evenly = (count: number): number[] =>
    Array.from({ length: count }, (_, i) => Math.round((i * n) / (count - 1)));
  let count = 3;
  while (count <= n && worstOf(poses, evenly(count), tolerance) > tolerance) count++;
  let found = evenly(Math.min(count, n + 1));
  while (found.length > 3) {
    const fewer = settled(poses, evenly(found.length - 1), tolerance);
    if (!fewer) break;
    found = fewer;
  }
  return keysAt(found);
}

const isStill = (poses: readonly HeldPose[], tolerance: number): boolean =>
  poses.every(
    (p) =>
      Math.hypot((p.pan - poses[0]!.pan) * p.pixelsPerPan, (p.tilt - poses[0]!.tilt) * p.pixelsPerTilt) <=
      tolerance / 2,
  );

/** The candidate with the least error within the tolerance, or null. */
function best(
  poses: readonly HeldPose[],
  candidates: Iterable<readonly number[]>,
  tolerance: number,
): readonly number[] | null {
  let least = tolerance;
  let found: readonly number[] | null = null;
  for (const indices of candidates) {
    const error = worstOf(poses, indices, least);
    if (error <= least) [least, found] = [error, indices];
  }
  return found;
}

/** Moves inner keyframes one after another while that lessens the error; the places, or null where they do not do. */
function settled(poses: readonly HeldPose[], from: readonly number[], tolerance: number): number[] | null {
  const indices = [...from];
  let error = worstOf(poses, indices, Number.POSITIVE_INFINITY);
  for (let sweep = 0; sweep < sweeps && error > tolerance; sweep++) {
    const before = error;
    for (let k = 1; k < indices.length - 1; k++)
      for (const step of steps) {
        const here = indices[k]!;
        const there = here + step;
        if (there <= indices[k - 1]! || there >= indices[k + 1]!) continue;
        indices[k] = there;
        const moved = worstOf(poses, indices, error);
        if (moved < error) error = moved;
        else indices[k] = here;
      }
    if (error === before) break;
  }
  return error <= tolerance ? indices : null;
}

function* oneInner(n: number): Generator<number[]> {
  for (let i = 1; i < n; i++) yield [0, i, n];
}

function* twoInner(n: number): Generator<number[]> {
  for (let i = 1; i < n - 1; i++) for (let j = i + 1; j < n; j++) yield [0, i, j, n];
}
