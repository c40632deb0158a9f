import type { Vector3 } from "./lens-view.ts";
import { lantern, pointOnWindow, windowAlong, windowOnSurface, windows } from "./loft-light.ts";
import type { MillerPart, MillerShape } from "./miller-shape.ts";
import { fractalNoise, valueNoise } from "./value-noise.ts";

/** Fill that comes back from the loft itself: from above, and from the boards below. */
export const fillAbove: Vector3 = [0.054, 0.056, 0.061];
export const fillBelow: Vector3 = [0.046, 0.039, 0.032];

interface Cloth {
  readonly colour: Vector3;
  /** How far light creeps round the edge of shadow, per band. */
  readonly wrap: Vector3;
  readonly shine: number;
  readonly gloss: number;
}

const matt: Vector3 = [0.1, 0.1, 0.1];
const cloths: Record<MillerPart, Cloth> = {
  skin: { colour: [0.54, 0.325, 0.228], wrap: [0.34, 0.2, 0.14], shine: 0.05, gloss: 22 },
  lips: { colour: [0.37, 0.165, 0.135], wrap: [0.34, 0.2, 0.15], shine: 0.014, gloss: 20 },
  mouth: { colour: [0.12, 0.045, 0.04], wrap: matt, shine: 0.02, gloss: 30 },
  eye: { colour: [0.6, 0.57, 0.54], wrap: [0.25, 0.2, 0.2], shine: 0, gloss: 1 },
  hair: { colour: [0.145, 0.088, 0.052], wrap: [0.2, 0.2, 0.2], shine: 0.1, gloss: 14 },
  jersey: { colour: [0.1, 0.152, 0.112], wrap: [0.24, 0.24, 0.24], shine: 0.006, gloss: 6 },
  apron: { colour: [0.6, 0.54, 0.43], wrap: [0.18, 0.18, 0.18], shine: 0.006, gloss: 6 },
  breeches: { colour: [0.2, 0.185, 0.16], wrap: matt, shine: 0, gloss: 1 },
  chair: { colour: [0.16, 0.085, 0.045], wrap: [0.05, 0.05, 0.05], shine: 0.05, gloss: 24 },
};

const lightCentres = windows.map((w) => pointOnWindow(w, 0.5, 0.5));
/** Half the width of each light over its distance, inverted: how soft its shadows are. */
const shadowHardness = [3.2, 6, 4];

/** What of a light gets past the miller herself, 0 to 1, its edge as soft as the light is wide. */
function lightPast(
  shape: MillerShape,
  p: Vector3,
  towards: Vector3,
  hardness: number,
  reach: number,
): number {
  let open = 1;
  let t = 0.006;
  for (let step = 0; step < 22 && t < reach; step++) {
    const d = shape.distance(p[0] + towards[0] * t, p[1] + towards[1] * t, p[2] + towards[2] * t);
    const now = (hardness * d) / t;
    if (now < open) open = now;
    if (open < -0.6) return 0;
    t += d < 0.006 ? 0.006 : Math.min(d, 0.12);
  }
  if (open > 1) return 1;
  // from -1 to 1, so that the middle of the penumbra lies on the geometrical edge
  const s = Math.max(0, (open + 0.6) / 1.6);
  return s * s * (3 - 2 * s);
}

function openness(shape: MillerShape, p: Vector3, n: Vector3): number {
  let shut = 0;
  let weight = 1;
  for (let i = 1; i <= 5; i++) {
    const h = 0.006 + 0.022 * i * (1 + 0.25 * i);
    const d = shape.distance(p[0] + n[0] * h, p[1] + n[1] * h, p[2] + n[2] * h);
    shut += Math.max(0, h - d) * weight;
    weight *= 0.62;
  }
  return Math.max(0.08, 1 - 4.2 * shut);
}

/** The surface's direction at p, from four looks at the field. */
export function surfaceNormal(shape: MillerShape, x: number, y: number, z: number, e: number): Vector3 {
  const a = shape.distance(x + e, y - e, z - e);
  const b = shape.distance(x - e, y - e, z + e);
  const c = shape.distance(x - e, y + e, z - e);
  const d = shape.distance(x + e, y + e, z + e);
  const nx = a - b - c + d;
  const ny = -a - b + c + d;
  const nz = -a + b - c + d;
  const length = Math.hypot(nx, ny, nz) || 1;
  return [nx / length, ny / length, nz / length];
}

/** The weave, the pores and the strands: leans the normal by a pattern's slope. */
function withTexture(
  part: MillerPart,
  shape: MillerShape,
  p: Vector3,
  n: Vector3,
): { n: Vector3; tint: number } {
  let bx = 0;
  let by = 0;
  const bz = 0;
  let tint = 1;
  if (part === "jersey") {
    const [x, y, z] = shape.toBody(p[0], p[1], p[2]);
    const around = Math.atan2(x, z + 0.05) * 0.16;
    const rib = Math.sin(around * 900) * 0.12;
    const row = Math.sin(y * 850) * 0.12;
    bx = rib;
    by = row;
    tint = 0.9 + 0.2 * valueNoise(x * 40, y * 40, z * 40) + 0.1 * Math.sin(around * 900) * Math.sin(y * 850);
  } else if (part === "apron") {
    bx = 0.5 * (valueNoise(p[0] * 16, p[1] * 7, p[2] * 16) - 0.5);
    by = 0.3 * (valueNoise(p[0] * 16 + 9, p[1] * 7, p[2] * 16) - 0.5);
    const flour = fractalNoise(p[0] * 9, p[1] * 9, p[2] * 9);
    tint = 0.86 + 0.22 * flour + 0.03 * Math.sin(p[0] * 1500) * Math.sin(p[1] * 1500);
  } else if (part === "skin" || part === "lips") {
    const g = part === "lips" ? 260 : 420;
    bx = 0.07 * (valueNoise(p[0] * g, p[1] * g, p[2] * g) - 0.5);
    by = 0.07 * (valueNoise(p[0] * g + 31, p[1] * g, p[2] * g) - 0.5);
    tint = 0.97 + 0.06 * fractalNoise(p[0] * 60, p[1] * 60, p[2] * 60);
  } else if (part === "hair") {
    const [x, y, z] = shape.toHead(p[0], p[1], p[2]);
    const strand =
      valueNoise(Math.atan2(x, y + 0.03) * 60, z * 6, 3) +
      0.6 * valueNoise(Math.atan2(x, y + 0.03) * 190, z * 9, 7);
    bx = 0.5 * (strand - 0.8);
    tint = 0.45 + 0.75 * strand;
  } else if (part === "chair") {
    tint = 0.6 + 0.7 * fractalNoise(p[0] * 90, p[1] * 8, p[2] * 90);
  }
  const x = n[0] + bx;
  const y = n[1] + by;
  const z = n[2] + bz;
  const length = Math.hypot(x, y, z);
  return { n: [x / length, y / length, z / length], tint };
}

function skinColour(shape: MillerShape, p: Vector3, base: Vector3): Vector3 {
  const [x, y, z] = shape.toHead(p[0], p[1], p[2]);
  if (y < -0.3) return [base[0] * 0.95, base[1] * 0.86, base[2] * 0.82];
  const m = Math.abs(x);
  // warmth of cheeks, nose and ears; shade of the eye's hollow; a lash line
  const cheek = Math.exp(-(((m - 0.042) / 0.022) ** 2) - ((y + 0.027) / 0.02) ** 2);
  const nose = Math.exp(-((x / 0.014) ** 2) - ((y + 0.038) / 0.013) ** 2) * (z > 0.08 ? 1 : 0);
  const ear = m > 0.07 && z < 0.01 ? 0.7 : 0;
  const warm = Math.min(1, 0.75 * cheek + 0.7 * nose + ear);
  const hollow = Math.exp(-(((m - 0.029) / 0.017) ** 2) - ((y + 0.001) / 0.0125) ** 2) * (z > 0.05 ? 1 : 0);
  const nostril =
    Math.exp(-(((m - 0.0062) / 0.0034) ** 2) - ((y + 0.0475) / 0.0026) ** 2) * (z > 0.085 ? 1 : 0);
  // the brow: fine hairs along an arch that tapers outwards
  const reach = (m - 0.0105) / 0.038;
  let brow = 0;
  if (z > 0.04 && reach > -0.1 && reach < 1.1) {
    const arch = 0.0252 + 0.0085 * Math.sin(Math.min(1, Math.max(0, reach)) * 2.35) - 0.001 * reach;
    const thick =
      0.0031 - 0.0019 * Math.max(0, reach) + 0.0012 * (valueNoise(m * 1500 + y * 900, y * 400, 4) - 0.5);
    const ends = Math.min(1, (reach + 0.1) / 0.16, (1.1 - reach) / 0.2);
    brow =
      ends *
      Math.exp(-(((y - arch) / thick) ** 2)) *
      (0.7 + 0.45 * valueNoise(m * 2200 - y * 1500, y * 300, 8));
  }
  const dark = Math.min(0.92, Math.max(1.1 * brow, 0.85 * shape.lashAt(p[0], p[1], p[2])));
  const red0 = base[0] * (1 - 0.02 * warm - 0.22 * hollow) * (1 - 0.72 * nostril);
  const green0 = base[1] * (1 - 0.22 * warm - 0.28 * hollow) * (1 - 0.8 * nostril);
  const blue0 = base[2] * (1 - 0.22 * warm - 0.24 * hollow) * (1 - 0.8 * nostril);
  return [
    red0 * (1 - dark) + 0.05 * dark,
    green0 * (1 - dark) + 0.032 * dark,
    blue0 * (1 - dark) + 0.024 * dark,
  ];
}

/** Iris, pupil and the white, for a point of an eyeball. */
function eyeColour(shape: MillerShape, p: Vector3): Vector3 {
  const [x, y, z] = shape.toHead(p[0], p[1], p[2]);
  const side = x > 0 ? 1 : -1;
  // where she looks: a little further round than her head is turned
  const gx = -0.1;
  const gy = 0.01;
  const dx = (x - side * 0.0305) / 0.0127 - gx;
  const dy = (y - 0.002) / 0.0127 - gy;
  const r = Math.sqrt(dx * dx + dy * dy);
  if (z < 0.074) return [0.42, 0.36, 0.34];
  if (r < 0.17) return [0.012, 0.011, 0.011];
  if (r < 0.46) {
    const spokes = 0.75 + 0.5 * valueNoise(Math.atan2(dy, dx) * 9, r * 6, 2);
    const rim = r > 0.4 ? 0.5 : 1;
    return [0.085 * spokes * rim, 0.1 * spokes * rim, 0.085 * spokes * rim];
  }
  const shade = 1 - 0.3 * Math.min(1, Math.max(0, (y - 0.004) / 0.006));
  return [0.58 * shade, 0.54 * shade, 0.51 * shade];
}

/**
 * The light that a point of the miller sends to the eye.
 *
 * @param p - Point on her surface, metres. @param n - Its normal. @param d - Direction in which the eye looks.
 * @returns Linear light in three bands; 1 is what a white matt board squarely in the key shows, about twice over.
 */
export function shadeMiller(shape: MillerShape, p: Vector3, geometric: Vector3, d: Vector3): Vector3 {
  const part = shape.partAt(p[0], p[1], p[2]);
  const cloth = cloths[part];
  const { n, tint } = withTexture(part, shape, p, geometric);
  let albedo: Vector3 = cloth.colour;
  if (part === "skin") albedo = skinColour(shape, p, albedo);
  else if (part === "eye") albedo = eyeColour(shape, p);
  const start: Vector3 = [
    p[0] + geometric[0] * 0.003,
    p[1] + geometric[1] * 0.003,
    p[2] + geometric[2] * 0.003,
  ];
  let r = 0;
  let g = 0;
  let b = 0;
  const open = openness(shape, start, geometric);
  let shine = 0;
  for (let i = 0; i < 3; i++) {
    const from: Vector3 = i < 2 ? lightCentres[i]! : lantern.position;
    const lx = from[0] - p[0];
    const ly = from[1] - p[1];
    const lz = from[2] - p[2];
    const away = Math.hypot(lx, ly, lz);
    const l: Vector3 = [lx / away, ly / away, lz / away];
    const facing = n[0] * l[0] + n[1] * l[1] + n[2] * l[2];
    const spread = i === 0 ? 0.12 : 0.03;
    if (facing < -0.5) continue;
    const colour = i < 2 ? windows[i]!.radiance : lantern.intensity;
    const strength = i < 2 ? windowOnSurface(windows[i]!, p, l, 2) : 1 / (away * away);
    const past = lightPast(shape, start, l, shadowHardness[i]!, 0.9);
    if (past <= 0 && part !== "skin") continue;
    for (let band = 0; band < 3; band++) {
      const w = cloth.wrap[band]! + spread;
      let s = (facing + w) / (1 + w);
      if (s <= 0) continue;
      s = (s * (s + 0.35 * w)) / (1 + 0.35 * w);
      // under skin the red reaches further into the shadow's edge
      const through = part === "skin" && band === 0 ? Math.min(1, past + 0.12 * past * (1 - past) * 4) : past;
      const add = strength * colour[band]! * s * through;
      if (band === 0) r += add;
      else if (band === 1) g += add;
      else b += add;
    }
    if (cloth.shine > 0 && facing > 0) {
      const hx = l[0] - d[0];
      const hy = l[1] - d[1];
      const hz = l[2] - d[2];
      const h = Math.hypot(hx, hy, hz);
      const nh = Math.max(0, (n[0] * hx + n[1] * hy + n[2] * hz) / h);
      const graze = 1 + 5 * (1 - Math.max(0, -(d[0] * hx + d[1] * hy + d[2] * hz) / h)) ** 5;
      shine +=
        cloth.shine *
        graze *
        nh ** cloth.gloss *
        ((cloth.gloss + 8) / 8) *
        strength *
        colour[1]! *
        past *
        Math.min(1, facing * 3);
    }
  }
  const lift = 0.5 + 0.5 * n[1];
  const front = 0.72 + 0.28 * Math.max(0, n[2]);
  const edge = (1 - Math.max(0, -(n[0] * d[0] + n[1] * d[1] + n[2] * d[2]))) ** 3;
  r += open * front * (fillBelow[0] + (fillAbove[0] - fillBelow[0]) * lift);
  g += open * front * (fillBelow[1] + (fillAbove[1] - fillBelow[1]) * lift);
  b += open * front * (fillBelow[2] + (fillAbove[2] - fillBelow[2]) * lift);
  // cloth and down catch the light along their edge
  const fuzz = part === "jersey" ? 0.9 * edge : part === "skin" ? 0.2 * edge : 0;
  let out: [number, number, number] = [
    albedo[0] * tint * r * (1 + fuzz) + shine,
    albedo[1] * tint * g * (1 + fuzz) + shine,
    albedo[2] * tint * b * (1 + fuzz) + shine,
  ];
  if (part === "eye") {
    // the wet eye shows the windows themselves
    const nd = geometric[0] * d[0] + geometric[1] * d[1] + geometric[2] * d[2];
    const back: Vector3 = [
      d[0] - 2 * nd * geometric[0],
      d[1] - 2 * nd * geometric[1],
      d[2] - 2 * nd * geometric[2],
    ];
    const seen = windowAlong(p, back);
    const lid = 0.55 + 0.45 * open;
    out = [out[0] * lid, out[1] * lid, out[2] * lid];
    if (seen) {
      const f = 0.045 + 0.5 * (1 + nd) ** 5;
      out = [out[0] + f * seen[0], out[1] + f * seen[1], out[2] + f * seen[2]];
    }
  }
  return out;
}
