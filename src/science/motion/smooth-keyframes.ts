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

function worstOf(
  poses: readonly HeldPose[],
  keys: readonly HeadPose[],
  stopAt: number,
): { error: number; at: number } {
  let [error, at] = [0, 0];
  for (const [i, pose] of poses.entries()) {
    const typed = smoothPose(keys, pose.t);
    const off = Math.hypot(
      (typed.pan - pose.pan) * pose.pixelsPerPan,
      (typed.tilt - pose.tilt) * pose.pixelsPerTilt,
    );
    if (off > error) {
      [error, at] = [off, i];
      if (error > stopAt) break;
    }
  }
  return { error, at };
}

/** On a finer grid than this not every choice is tried. */
const mostTried = 50;
/** Keyframes beyond this are not sought any more: a head cannot be made to hold it. */
const mostKeyframes = 40;

/**
 * The fewest keyframes on the exact curve through which a smooth head holds a point within a tolerance.
 *
 * Up to two inner keyframes every choice of sample times is tried (of up to 51 samples), so that fewer there are not; beyond that one is put
 * where the error is worst until it is within, and each that is not needed is taken out again.
 *
 * @param poses - Exact poses, rising in time, at least two.
 * @param tolerance - Pixels.
 */
export function fewestSmoothKeyframes(poses: readonly HeldPose[], tolerance: number): HeadPose[] {
  const keysAt = (indices: readonly number[]): HeadPose[] =>
    indices.map((i) => ({ t: poses[i]!.t, pan: poses[i]!.pan, tilt: poses[i]!.tilt }));
  const n = poses.length - 1;
  const alone = keysAt([0]);
  if (worstOf(poses, alone, tolerance / 2).error <= tolerance / 2) return alone;
  if (worstOf(poses, keysAt([0, n]), tolerance).error <= tolerance) return keysAt([0, n]);
  const best = (candidates: Iterable<readonly number[]>): HeadPose[] | null => {
    let [least, found]: [number, HeadPose[] | null] = [tolerance, null];
    for (const indices of candidates) {
      const keys = keysAt(indices);
      const { error } = worstOf(poses, keys, least);
      if (error <= least) [least, found] = [error, keys];
    }
    return found;
  };
  const few = n <= mostTried ? (best(oneInner(n)) ?? best(twoInner(n))) : null;
  if (few) return few;
  const indices = [0, n];
  while (indices.length < mostKeyframes) {
    const { error, at } = worstOf(poses, keysAt(indices), Number.POSITIVE_INFINITY);
    if (error <= tolerance) break;
    // The worst sample, or the middle of its stretch where it is a keyframe already.
    const next = indices.includes(at) ? middleNear(indices, at) : at;
    if (next === null) break;
    indices.push(next);
    indices.sort((a, b) => a - b);
  }
  for (let i = indices.length - 2; i > 0; i--) {
    const without = indices.filter((_, index) => index !== i);
    if (worstOf(poses, keysAt(without), tolerance).error <= tolerance) indices.splice(i, 1);
  }
  return keysAt(indices);
}

function middleNear(indices: readonly number[], at: number): number | null {
  const i = indices.indexOf(at);
  const gaps = [i - 1, i].filter(
    (g) => g >= 0 && g + 1 < indices.length && indices[g + 1]! - indices[g]! > 1,
  );
  const gap = gaps.sort((a, b) => indices[b + 1]! - indices[b]! - (indices[a + 1]! - indices[a]!))[0];
  return gap === undefined ? null : Math.round((indices[gap]! + indices[gap + 1]!) / 2);
}

function* oneInner(n: number): Generator<number[]> {
  for (let i = 1; i < n; i++) yield [0, i, n];
}

function* twoInner(n: number): Generator<number[]> {
  for (let i = 1; i < n - 1; i++) for (let j = i + 1; j < n; j++) yield [0, i, j, n];
}
