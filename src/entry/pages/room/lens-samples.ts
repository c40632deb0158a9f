import type { SceneCamera } from "#room/scene";

/** Where on the lens one exposure of many looks from, and where on each light it is lit from. */
export interface LensSample {
  /** Metres to the camera's right and up from the middle of the pupil. */
  readonly right: number;
  readonly up: number;
  /** Shares of a pixel, -0.5 to 0.5. */
  readonly jitterX: number;
  readonly jitterY: number;
  /** Shares of a light's breadth and height, -0.5 to 0.5. */
  readonly lightX: number;
  readonly lightY: number;
}

/** The angle that no number of turns brings back: sunflower seeds lie by it. */
const golden = Math.PI * (3 - Math.sqrt(5));
/** The plastic number's powers: R2, the additive recurrence of best spread in a square. */
const plastic = 1.324717957244746;

const fraction = (x: number): number => x - Math.floor(x);

/**
 * The pupil's radius, metres, whose blur is the published disc: (f²/N)·|d - s|/(d(s - f)) on the sensor. A pin-hole
 * camera at distance f behind the pupil draws A·f·|d - s|/(d·s), so that A is (f/N)·s/(s - f).
 */
export function pupilRadius(camera: SceneCamera): number {
  const f = camera.focalMm / 1000;
  const s = Math.max(camera.focus, f * 1.05);
  // The frame is drawn by the focal length as the lens breathes; the disc is that of its own.
  const drawn = camera.breathedFocalMm / 1000;
  return ((f * f) / camera.stop / drawn) * (s / (s - f)) * 0.5;
}

/**
 * The samples of one exposure. One: the middle of the pupil. Many: spread evenly over the pupil, in an order in which
 * any first few are spread too.
 */
export function lensSamples(camera: SceneCamera, many: number): LensSample[] {
  if (many <= 1) return [{ right: 0, up: 0, jitterX: 0, jitterY: 0, lightX: 0, lightY: 0 }];
  const radius = pupilRadius(camera);
  const stride = coprimeNear(many * 0.618, many);
  return Array.from({ length: many }, (_, n) => {
    const i = (n * stride) % many;
    const r = radius * Math.sqrt((i + 0.5) / many);
    return {
      // An anamorphic lens draws discs narrower by its squeeze.
      right: (r * Math.cos(i * golden)) / camera.squeeze,
      up: r * Math.sin(i * golden),
      jitterX: fraction(0.5 + n / plastic) - 0.5,
      jitterY: fraction(0.5 + n / plastic ** 2) - 0.5,
      lightX: fraction(0.25 + n * 0.754877666) - 0.5,
      lightY: fraction(0.75 + n * 0.569840291) - 0.5,
    };
  });
}

function coprimeNear(wanted: number, many: number): number {
  const divisor = (a: number, b: number): number => (b === 0 ? a : divisor(b, a % b));
  let n = Math.max(1, Math.round(wanted));
  while (divisor(n, many) !== 1) n++;
  return n;
}
