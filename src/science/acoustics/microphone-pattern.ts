/** Pickup patterns as the trade names them. */
export type MicrophonePattern =
  | "omni"
  | "subcardioid"
  | "cardioid"
  | "supercardioid"
  | "hypercardioid"
  | "figure-8"
  | "shotgun";

/*
 * First-order patterns are a + (1 - a)·cos θ. a: cardioid 1/2; subcardioid 0.7 (common practice); hypercardioid 1/4, the
 * most directive; supercardioid (√3 - 1)/2, the best front to back.
 */
const omniShare: Record<Exclude<MicrophonePattern, "shotgun">, number> = {
  omni: 1,
  subcardioid: 0.7,
  cardioid: 0.5,
  supercardioid: (Math.sqrt(3) - 1) / 2,
  hypercardioid: 0.25,
  "figure-8": 0,
};

/** Length of a short gun's tube, metres. Common practice. */
const tubeMetres = 0.25;

/**
 * Sensitivity at an angle off the axis, as a share of that on it (its sign is the polarity).
 *
 * A short gun is a supercardioid with a tube in front, which cancels from the side sound that is shorter than it:
 * sin(x)/x with x = π·L(1 - cos θ)/λ (Olson, Acoustical Engineering, 1957; from memory).
 *
 * @param hertz - Counts for the gun alone.
 */
export function patternShare(pattern: MicrophonePattern, offAxisDegrees: number, hertz = 1000): number {
  const cosine = Math.cos((offAxisDegrees * Math.PI) / 180);
  const a = omniShare[pattern === "shotgun" ? "supercardioid" : pattern];
  const first = a + (1 - a) * cosine;
  if (pattern !== "shotgun") return first;
  const x = (Math.PI * tubeMetres * (1 - cosine) * hertz) / 343;
  return first * (x < 1e-9 ? 1 : Math.sin(x) / x);
}

const indices = new Map<string, number>();

/**
 * How much less of a room's sound a microphone takes than one that hears all round, decibels.
 *
 * @returns Directivity index: 0 omni, 4.8 cardioid, 5.7 supercardioid, 6.0 hypercardioid.
 */
export function directivityIndex(pattern: MicrophonePattern, hertz = 1000): number {
  const key = `${pattern} ${pattern === "shotgun" ? hertz : 0}`;
  let known = indices.get(key);
  if (known === undefined) {
    // Mean of the square over the sphere.
    const steps = 720;
    let sum = 0;
    for (let i = 0; i < steps; i++) {
      const degrees = ((i + 0.5) * 180) / steps;
      sum += patternShare(pattern, degrees, hertz) ** 2 * Math.sin((degrees * Math.PI) / 180);
    }
    known = -10 * Math.log10((sum * Math.PI) / steps / 2);
    indices.set(key, known);
  }
  return known;
}
