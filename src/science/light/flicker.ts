/*
 * Lamps on the mains ripple at twice its frequency. An exposure over whole ripples sees none of it.
 * Ripple that is left: m·|sin(π·2f·t)/(π·2f·t)|, m the lamp's own modulation; it beats at |2f - n·fps|.
 */

/** Shutter angles that see whole ripples, rising; degrees. Exposure times k/(2f): k/100 s at 50 Hz, k/120 s at 60 Hz. */
export function safeShutterAngles(frameRate: number, mainsHertz: number): number[] {
  const step = (360 * frameRate) / (2 * mainsHertz);
  const angles: number[] = [];
  for (let k = 1; k * step <= 360 + 1e-6; k++) angles.push(k * step);
  return angles;
}

/** Share of a lamp's own ripple that an exposure still sees, 0 to 1. */
export function rippleShare(seconds: number, mainsHertz: number): number {
  const x = Math.PI * 2 * mainsHertz * seconds;
  return x < 1e-12 ? 1 : Math.abs(Math.sin(x) / x);
}

/** The beat, hertz, at which ripple that is left would pulse: the distance of 2f from the nearest multiple of the rate. */
export function beatHertz(frameRate: number, mainsHertz: number): number {
  const ripple = 2 * mainsHertz;
  return Math.abs(ripple - Math.round(ripple / frameRate) * frameRate);
}
