/** Where a head points at a moment, degrees. */
export interface HeadPose {
  /** Seconds. */
  readonly t: number;
  readonly pan: number;
  readonly tilt: number;
}

/** A pose, and what a degree off it costs. */
export interface HeldPose extends HeadPose {
  /** Pixels that the held point moves for a degree of pan, and of tilt. */
  readonly pixelsPerPan: number;
  readonly pixelsPerTilt: number;
}

/** Keyframes may lie off the exact curve by these shares of the tolerance: a chord that crosses a bow halves its error. */
const offsets = [-0.9, -0.45, 0, 0.45, 0.9];
/** A quick look may be a little too generous: the stretch itself is measured after it. */
const slack = 1.001;

/**
 * The fewest keyframes between which a head may turn at a steady speed so that the held point never wanders farther than a tolerance.
 *
 * Dynamic programming over the given samples: keyframes lie at sample times, at the exact tilt, and at one of five pans
 * within the tolerance; among the fewest the one with the least error is taken. The first and the last sample are
 * always keyframes.
 *
 * @param poses - Exact poses, rising in time, at least one.
 * @param tolerance - Pixels.
 * @returns The keyframes. Time O(n²) in the samples times the length of a stretch.
 */
export function fewestKeyframes(poses: readonly HeldPose[], tolerance: number): HeadPose[] {
  const n = poses.length;
  const first = poses[0]!;
  const level = (i: number, k: number): number => {
    const pose = poses[i]!;
    return pose.pan + (offsets[k]! * tolerance) / Math.max(1e-9, pose.pixelsPerPan);
  };
  const still = isStill(poses, tolerance);
  if (n === 1 || still) return [{ t: first.t, pan: first.pan, tilt: first.tilt }];
  const m = offsets.length;
  // A chord that has grown too long stays so, but for the places that its end may take.
  const mostFailed = 4;
  const count = new Int32Array(n * m).fill(1 << 29);
  const worst = new Float64Array(n * m).fill(Number.POSITIVE_INFINITY);
  const before = new Int32Array(n * m).fill(-1);
  for (let k = 0; k < m; k++) {
    count[k] = 1;
    worst[k] = Math.abs(offsets[k]!) * tolerance;
  }
  for (let i = 0; i < n - 1; i++) {
    for (let k = 0; k < m; k++) {
      const here = i * m + k;
      if (count[here]! >= 1 << 29) continue;
      const panHere = level(i, k);
      let failed = 0;
      // Speeds of pan that keep every sample so far within the tolerance: once there are none, no longer stretch has any.
      let [slowest, fastest] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
      for (let j = i + 1; j < n && failed < mostFailed && slowest <= fastest; j++) {
        const end = poses[j]!;
        const seconds = end.t - poses[i]!.t;
        const either = (tolerance * slack) / Math.max(1e-9, end.pixelsPerPan);
        let any = false;
        for (let q = 0; q < m; q++) {
          const there = j * m + q;
          if (count[here]! + 1 > count[there]!) {
            any = true;
            continue;
          }
          const speed = (level(j, q) - panHere) / seconds;
          if (speed < slowest || speed > fastest) continue;
          // Where as few are known already, only less error is worth measuring.
          const isKnown = count[here]! + 1 === count[there]!;
          const most = isKnown ? Math.min(tolerance, worst[there]!) : tolerance;
          any ||= isKnown;
          if (worst[here]! > most) continue;
          const error = stretchError(poses, most, i, j, panHere, level(j, q));
          if (error > most) continue;
          any = true;
          const total = Math.max(worst[here]!, error);
          if (count[here]! + 1 < count[there]! || total < worst[there]!) {
            count[there] = count[here]! + 1;
            worst[there] = total;
            before[there] = here;
          }
        }
        failed = any ? 0 : failed + 1;
        slowest = Math.max(slowest, (end.pan - either - panHere) / seconds);
        fastest = Math.min(fastest, (end.pan + either - panHere) / seconds);
      }
    }
  }
  let end = (n - 1) * m;
  for (let q = 1; q < m; q++) {
    const other = (n - 1) * m + q;
    if (count[other]! < count[end]! || (count[other] === count[end] && worst[other]! < worst[end]!))
      end = other;
  }
  const keys: HeadPose[] = [];
  for (let state = end; state >= 0; state = before[state]!) {
    const i = Math.floor(state / m);
    keys.push({ t: poses[i]!.t, pan: level(i, state % m), tilt: poses[i]!.tilt });
  }
  return keys.reverse();
}

const isStill = (poses: readonly HeldPose[], tolerance: number): boolean => {
  const first = poses[0]!;
  return poses.every(
    (p) =>
      Math.hypot((p.pan - first.pan) * p.pixelsPerPan, (p.tilt - first.tilt) * p.pixelsPerTilt) <=
      tolerance / 2,
  );
};

function stretchError(
  poses: readonly HeldPose[],
  tolerance: number,
  i: number,
  j: number,
  panFrom: number,
  panTo: number,
): number {
  const from = poses[i]!;
  const to = poses[j]!;
  let worst = 0;
  const enough = tolerance * tolerance;
  for (let s = i; s <= j; s++) {
    const pose = poses[s]!;
    const u = (pose.t - from.t) / (to.t - from.t);
    const x = (panFrom + (panTo - panFrom) * u - pose.pan) * pose.pixelsPerPan;
    const y = (from.tilt + (to.tilt - from.tilt) * u - pose.tilt) * pose.pixelsPerTilt;
    const error = x * x + y * y;
    if (error > worst) {
      worst = error;
      if (worst > enough) break;
    }
  }
  return Math.sqrt(worst);
}

/** Where a head that turns at a steady speed between keyframes points at a moment; held before the first and after the last. */
export function steadyPose(keys: readonly HeadPose[], t: number): { pan: number; tilt: number } {
  const first = keys[0]!;
  if (t <= first.t) return first;
  for (let i = 1; i < keys.length; i++) {
    const to = keys[i]!;
    if (t > to.t) continue;
    const from = keys[i - 1]!;
    const u = (t - from.t) / (to.t - from.t);
    return { pan: from.pan + (to.pan - from.pan) * u, tilt: from.tilt + (to.tilt - from.tilt) * u };
  }
  return keys.at(-1)!;
}
