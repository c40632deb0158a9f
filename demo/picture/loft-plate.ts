import { hash32 } from "../random.ts";
import { directionThrough, type LensView, type Vector3 } from "./lens-view.ts";
import { isGlass, lantern, room, windowArea, windows } from "./loft-light.ts";
import { type Surface, things } from "./loft-scene.ts";
import { fractalNoise, valueNoise } from "./value-noise.ts";

/** The loft without the miller: linear light and distance along the optical axis, metres. */
export interface Plate {
  readonly width: number;
  readonly height: number;
  readonly rgb: Float32Array;
  readonly depth: Float32Array;
}

interface Placed {
  readonly form: "box" | "drum" | "egg" | "funnel";
  readonly c: Vector3;
  readonly half: Vector3;
  readonly foot: number;
  /** Rows of the turn from the room to the thing. */
  readonly m: readonly number[];
  readonly reach: number;
  readonly surface: Surface;
}

const placed: Placed[] = things.map((thing) => {
  const a = thing.turn ?? 0;
  const b = thing.lean ?? 0;
  const ca = Math.cos(a);
  const sa = Math.sin(a);
  const cb = Math.cos(b);
  const sb = Math.sin(b);
  // own axes in the room: turn about y of (lean about z)
  return {
    form: thing.form,
    c: thing.centre,
    half: thing.half,
    foot: thing.foot ?? 1,
    m: [ca * cb, sb, -sa * cb, -ca * sb, cb, sa * sb, sa, 0, ca],
    reach: Math.hypot(...thing.half) ** 2,
    surface: thing.surface,
  };
});

// the last thing hit
let hitAt = 0;
let hitThing: Placed | null = null;
let hitWall = -1;
let nx = 0;
let ny = 0;
let nz = 0;

function meetBox(p: Placed, ox: number, oy: number, oz: number, dx: number, dy: number, dz: number): number {
  let near = -1e9;
  let far = 1e9;
  let axis = 0;
  for (let k = 0; k < 3; k++) {
    const o = k === 0 ? ox : k === 1 ? oy : oz;
    const d = k === 0 ? dx : k === 1 ? dy : dz;
    const h = p.half[k]!;
    const inv = 1 / (Math.abs(d) < 1e-9 ? 1e-9 : d);
    let a = (-h - o) * inv;
    let b = (h - o) * inv;
    if (a > b) {
      const c = a;
      a = b;
      b = c;
    }
    if (a > near) {
      near = a;
      axis = k;
    }
    if (b < far) far = b;
    if (near > far) return -1;
  }
  if (near < 1e-4) return -1;
  lx = axis === 0 ? -Math.sign(dx) : 0;
  ly = axis === 1 ? -Math.sign(dy) : 0;
  lz = axis === 2 ? -Math.sign(dz) : 0;
  return near;
}

// the normal in the thing's own frame
let lx = 0;
let ly = 0;
let lz = 0;

function meetDrum(p: Placed, ox: number, oy: number, oz: number, dx: number, dy: number, dz: number): number {
  const r = p.half[0];
  const h = p.half[1];
  const a = dx * dx + dz * dz;
  const b = ox * dx + oz * dz;
  const c = ox * ox + oz * oz - r * r;
  let best = -1;
  const q = b * b - a * c;
  if (q < 0) return -1;
  if (a > 1e-9) {
    const t = (-b - Math.sqrt(q)) / a;
    const y = oy + t * dy;
    if (t > 1e-4 && y > -h && y < h) {
      best = t;
      lx = (ox + t * dx) / r;
      ly = 0;
      lz = (oz + t * dz) / r;
    }
  }
  if (best < 0 && Math.abs(dy) > 1e-9) {
    const t = ((dy > 0 ? -h : h) - oy) / dy;
    const x = ox + t * dx;
    const z = oz + t * dz;
    if (t > 1e-4 && x * x + z * z < r * r) {
      best = t;
      lx = 0;
      ly = dy > 0 ? -1 : 1;
      lz = 0;
    }
  }
  return best;
}

function meetEgg(p: Placed, ox: number, oy: number, oz: number, dx: number, dy: number, dz: number): number {
  const [rx, ry, rz] = p.half;
  const ax = ox / rx;
  const ay = oy / ry;
  const az = oz / rz;
  const bx = dx / rx;
  const by = dy / ry;
  const bz = dz / rz;
  const a = bx * bx + by * by + bz * bz;
  const b = ax * bx + ay * by + az * bz;
  const c = ax * ax + ay * ay + az * az - 1;
  const q = b * b - a * c;
  if (q < 0) return -1;
  const t = (-b - Math.sqrt(q)) / a;
  if (t < 1e-4) return -1;
  lx = (ax + t * bx) / rx;
  ly = (ay + t * by) / ry;
  lz = (az + t * bz) / rz;
  const l = Math.hypot(lx, ly, lz);
  lx /= l;
  ly /= l;
  lz /= l;
  return t;
}

function meetFunnel(
  p: Placed,
  ox: number,
  oy: number,
  oz: number,
  dx: number,
  dy: number,
  dz: number,
): number {
  const [hx, hy, hz] = p.half;
  // |x| <= hx (mid + slope y): six planes
  const mid = (1 + p.foot) / 2;
  const slope = (1 - p.foot) / 2 / hy;
  let near = -1e9;
  let far = 1e9;
  let k = -1;
  for (let i = 0; i < 6; i++) {
    const ax = i === 0 ? 1 : i === 1 ? -1 : 0;
    const az = i === 2 ? 1 : i === 3 ? -1 : 0;
    const ay = i === 4 ? 1 : i === 5 ? -1 : i < 2 ? -slope * hx : -slope * hz;
    const w = i === 4 || i === 5 ? hy : i < 2 ? hx * mid : hz * mid;
    const denominator = ax * dx + ay * dy + az * dz;
    const t = (w - (ax * ox + ay * oy + az * oz)) / (Math.abs(denominator) < 1e-9 ? 1e-9 : denominator);
    if (denominator < 0) {
      if (t > near) {
        near = t;
        k = i;
      }
    } else if (t < far) far = t;
  }
  if (near > far || near < 1e-4) return -1;
  lx = k === 0 ? 1 : k === 1 ? -1 : 0;
  lz = k === 2 ? 1 : k === 3 ? -1 : 0;
  ly = k === 4 ? 1 : k === 5 ? -1 : k < 2 ? -slope * hx : -slope * hz;
  const l = Math.hypot(lx, ly, lz);
  lx /= l;
  ly /= l;
  lz /= l;
  return near;
}

/** Finds what a ray meets first (into the module's hit fields), or, for `anything`, whether it meets a thing before `limit`. */
function meet(
  ox: number,
  oy: number,
  oz: number,
  dx: number,
  dy: number,
  dz: number,
  limit: number,
  anything: boolean,
): boolean {
  let best = limit;
  hitThing = null;
  for (let i = 0; i < placed.length; i++) {
    const p = placed[i]!;
    const cx = p.c[0] - ox;
    const cy = p.c[1] - oy;
    const cz = p.c[2] - oz;
    const along = cx * dx + cy * dy + cz * dz;
    const off = cx * cx + cy * cy + cz * cz - along * along;
    if (off > p.reach || (along < 0 && along * along > p.reach)) continue;
    const m = p.m;
    const px = -(m[0]! * cx + m[1]! * cy + m[2]! * cz);
    const py = -(m[3]! * cx + m[4]! * cy + m[5]! * cz);
    const pz = -(m[6]! * cx + m[7]! * cy + m[8]! * cz);
    const qx = m[0]! * dx + m[1]! * dy + m[2]! * dz;
    const qy = m[3]! * dx + m[4]! * dy + m[5]! * dz;
    const qz = m[6]! * dx + m[7]! * dy + m[8]! * dz;
    const t =
      p.form === "box"
        ? meetBox(p, px, py, pz, qx, qy, qz)
        : p.form === "drum"
          ? meetDrum(p, px, py, pz, qx, qy, qz)
          : p.form === "egg"
            ? meetEgg(p, px, py, pz, qx, qy, qz)
            : meetFunnel(p, px, py, pz, qx, qy, qz);
    if (t > 0 && t < best) {
      if (anything) return true;
      best = t;
      hitThing = p;
      nx = m[0]! * lx + m[3]! * ly + m[6]! * lz;
      ny = m[1]! * lx + m[4]! * ly + m[7]! * lz;
      nz = m[2]! * lx + m[5]! * ly + m[8]! * lz;
    }
  }
  if (anything) return false;
  if (!hitThing) {
    const tx = ((dx > 0 ? room.maxX : room.minX) - ox) / (Math.abs(dx) < 1e-9 ? 1e-9 : dx);
    const ty = ((dy > 0 ? room.maxY : room.minY) - oy) / (Math.abs(dy) < 1e-9 ? 1e-9 : dy);
    const tz = ((dz > 0 ? room.maxZ : room.minZ) - oz) / (Math.abs(dz) < 1e-9 ? 1e-9 : dz);
    best = Math.min(tx, ty, tz);
    hitWall = best === tx ? 0 : best === ty ? 1 : 2;
    nx = hitWall === 0 ? -Math.sign(dx) : 0;
    ny = hitWall === 1 ? -Math.sign(dy) : 0;
    nz = hitWall === 2 ? -Math.sign(dz) : 0;
  }
  hitAt = best;
  return true;
}

const base: Record<Surface, Vector3> = {
  oak: [0.2, 0.115, 0.06],
  darkOak: [0.095, 0.058, 0.035],
  paleOak: [0.26, 0.17, 0.1],
  stone: [0.25, 0.235, 0.21],
  sack: [0.42, 0.34, 0.22],
  iron: [0.05, 0.05, 0.052],
  limewash: [0.17, 0.163, 0.15],
  boards: [0.19, 0.125, 0.075],
  ceiling: [0.12, 0.08, 0.05],
  flour: [0.7, 0.68, 0.62],
};

/** The surface's colour at a point, into `colour`. */
const colour = new Float64Array(3);
function paint(x: number, y: number, z: number, fine: boolean): void {
  let surface: Surface;
  if (hitThing) surface = hitThing.surface;
  else surface = hitWall === 1 ? (ny > 0 ? "boards" : "ceiling") : "limewash";
  const c = base[surface];
  let k = 1;
  if (fine) {
    if (surface === "limewash") {
      // rubble courses under old limewash, darker towards the floor
      const along = hitWall === 0 ? z : x;
      const course = Math.floor(y / 0.17 + 0.25 * valueNoise(along * 1.5, y, 3));
      const stone =
        hash32(
          Math.floor(along / 0.34 + (course % 2) * 0.5 + 0.4 * valueNoise(along * 2, course, 1)),
          course,
          5,
        ) / 4294967296;
      const joint = Math.abs(((y / 0.17 + 0.25 * valueNoise(along * 1.5, y, 3)) % 1) - 0.5) > 0.44 ? 0.72 : 1;
      k =
        joint *
        (0.62 + 0.4 * stone) *
        (0.6 + 0.6 * fractalNoise(along * 2.2, y * 2.2, 2)) *
        (0.6 + 0.4 * Math.min(1, y / 1.2));
    } else if (surface === "boards" || surface === "ceiling") {
      const board = Math.floor(x / 0.19);
      const gap = Math.abs(((((x / 0.19) % 1) + 1) % 1) - 0.5) > 0.475 ? 0.35 : 1;
      k =
        gap *
        (0.65 + 0.55 * (hash32(board, 9) / 4294967296)) *
        (0.7 + 0.6 * valueNoise(x * 40, z * 2.5, board));
      if (surface === "boards") k *= 0.85 + 0.5 * fractalNoise(x * 1.6, 3, z * 1.6);
    } else if (surface === "stone") k = 0.7 + 0.5 * fractalNoise(x * 14, y * 14, z * 14);
    else if (surface === "sack") k = 0.72 + 0.5 * fractalNoise(x * 7, y * 12, z * 7);
    else if (surface === "iron" || surface === "flour") k = 1;
    else if (hitThing?.form === "drum") {
      const stave = Math.floor((Math.atan2(z - hitThing.c[2], x - hitThing.c[0]) / Math.PI) * 22);
      k = (0.7 + 0.5 * (hash32(stave, 3) / 4294967296)) * (0.8 + 0.4 * valueNoise(stave * 3, y * 5, z * 30));
    } else
      k =
        0.72 +
        0.55 * valueNoise(x * 28 + z * 5, y * 4, z * 28) * (0.7 + 0.6 * valueNoise(x * 3, y * 3, z * 3));
  }
  // a hundred years of dust and lamp smoke
  const dusk = 0.62;
  colour[0] = c[0] * k * dusk;
  colour[1] = c[1] * k * dusk;
  colour[2] = c[2] * k * dusk;
}

let random = 1;
function next(): number {
  random ^= random << 13;
  random ^= random >>> 17;
  random ^= random << 5;
  return (random >>> 0) / 4294967296;
}

/** A black cloth hung beside the tall window keeps its light off the end of the loft. */
function pastFlag(z: number): number {
  const t = Math.min(1, Math.max(0, (z + 2.6) / 2.6));
  return 0.13 + 0.87 * t * t * (3 - 2 * t);
}

// light that falls on a point, over pi
const light = new Float64Array(3);
function addDirect(x: number, y: number, z: number, ax: number, ay: number, az: number): void {
  for (const w of windows) {
    const a = next();
    const b = next();
    if (!isGlass(w, a, b)) continue;
    const along = w.along[0] + a * (w.along[1] - w.along[0]);
    const up = w.up[0] + b * (w.up[1] - w.up[0]);
    const dx = (w.wall === "x" ? room.minX + 0.02 : along) - x;
    const dy = up - y;
    const dz = (w.wall === "x" ? along : room.minZ + 0.02) - z;
    const squared = dx * dx + dy * dy + dz * dz + 0.02;
    const away = Math.sqrt(squared);
    const here = (dx * ax + dy * ay + dz * az) / away;
    const there = (w.wall === "x" ? -dx : -dz) / away;
    if (here <= 0 || there <= 0) continue;
    if (meet(x, y, z, dx / away, dy / away, dz / away, away - 0.12, true)) continue;
    const k = ((here * there * windowArea(w)) / (squared * Math.PI)) * (w.wall === "x" ? pastFlag(z) : 1);
    light[0]! += k * w.radiance[0];
    light[1]! += k * w.radiance[1];
    light[2]! += k * w.radiance[2];
  }
  const dx = lantern.position[0] - x;
  const dy = lantern.position[1] - y;
  const dz = lantern.position[2] - z;
  const squared = dx * dx + dy * dy + dz * dz + 0.03;
  const away = Math.sqrt(squared);
  const here = (dx * ax + dy * ay + dz * az) / away;
  if (here > 0 && !meet(x, y, z, dx / away, dy / away, dz / away, away - 0.09, true)) {
    const k = here / squared;
    light[0]! += k * lantern.intensity[0];
    light[1]! += k * lantern.intensity[1];
    light[2]! += k * lantern.intensity[2];
  }
}

const glow = new Float64Array(3);
/** Light of the lantern's own glass and of the windows, seen straight; false where the ray meets neither. */
function meetsGlow(ox: number, oy: number, oz: number, dx: number, dy: number, dz: number): boolean {
  // the flame's glass: a small ball
  const cx = lantern.position[0] - ox;
  const cy = lantern.position[1] - oy;
  const cz = lantern.position[2] - oz;
  const along = cx * dx + cy * dy + cz * dz;
  const off = cx * cx + cy * cy + cz * cz - along * along;
  if (along > 0 && along < hitAt && off < 0.0016) {
    const k = off < 0.00045 ? 12 : 3;
    glow[0] = k;
    glow[1] = k * 0.6;
    glow[2] = k * 0.26;
    return true;
  }
  if (hitThing) return false;
  for (const w of windows) {
    if (w.wall === "x" ? hitWall !== 0 || dx > 0 : hitWall !== 2 || dz > 0) continue;
    const a = ((w.wall === "x" ? oz + hitAt * dz : ox + hitAt * dx) - w.along[0]) / (w.along[1] - w.along[0]);
    const b = (oy + hitAt * dy - w.up[0]) / (w.up[1] - w.up[0]);
    if (a <= 0 || a >= 1 || b <= 0 || b >= 1) continue;
    if (isGlass(w, a, b)) {
      // the sky is brighter high up; the far bank is a darker band
      const sky = (b < 0.2 ? 0.42 : 0.8 + 0.35 * b) * 0.34;
      glow[0] = w.radiance[0] * sky;
      glow[1] = w.radiance[1] * sky;
      glow[2] = w.radiance[2] * sky * (b < 0.2 ? 0.85 : 1);
    } else glow.fill(0.03);
    return true;
  }
  return false;
}

/**
 * Draws the loft by following light: from the windows and the lantern straight, and over one bounce.
 *
 * @param samples - Paths for each pixel. The noise that is left is meant to be taken up by the lens's blur.
 */
export function renderLoft(
  view: LensView,
  samples: number,
  seed: number,
  tell: (share: number) => void = () => {},
): Plate {
  const { width, height } = view;
  const rgb = new Float32Array(width * height * 3);
  const depth = new Float32Array(width * height);
  for (let j = 0; j < height; j++) {
    for (let i = 0; i < width; i++) {
      random = hash32(i, j, seed) || 1;
      let r = 0;
      let g = 0;
      let b = 0;
      let inverse = 0;
      for (let s = 0; s < samples; s++) {
        const d = directionThrough(view, i + (s + next()) / samples, j + next());
        const [ox, oy, oz] = view.position;
        meet(ox, oy, oz, d[0], d[1], d[2], 1e9, false);
        const axis = d[0] * view.forward[0] + d[1] * view.forward[1] + d[2] * view.forward[2];
        inverse += 1 / (hitAt * axis);
        if (meetsGlow(ox, oy, oz, d[0], d[1], d[2])) {
          r += glow[0]!;
          g += glow[1]!;
          b += glow[2]!;
          continue;
        }
        const x = ox + hitAt * d[0] + nx * 0.002;
        const y = oy + hitAt * d[1] + ny * 0.002;
        const z = oz + hitAt * d[2] + nz * 0.002;
        const ax = nx;
        const ay = ny;
        const az = nz;
        paint(x, y, z, true);
        const cr = colour[0]!;
        const cg = colour[1]!;
        const cb = colour[2]!;
        light[0] = 0.004;
        light[1] = 0.004;
        light[2] = 0.0045;
        addDirect(x, y, z, ax, ay, az);
        // one bounce, in a direction chosen by the cosine
        const u = next();
        const v = next() * 2 * Math.PI;
        const q = Math.sqrt(u);
        let tx = Math.abs(ax) > 0.7 ? 0 : 1;
        let ty = Math.abs(ax) > 0.7 ? 1 : 0;
        let tz = 0;
        const along = tx * ax + ty * ay + tz * az;
        tx -= along * ax;
        ty -= along * ay;
        tz -= along * az;
        const l = Math.hypot(tx, ty, tz);
        tx /= l;
        ty /= l;
        tz /= l;
        const sx = ay * tz - az * ty;
        const sy = az * tx - ax * tz;
        const sz = ax * ty - ay * tx;
        const up = Math.sqrt(1 - u);
        const ex = q * Math.cos(v) * tx + q * Math.sin(v) * sx + up * ax;
        const ey = q * Math.cos(v) * ty + q * Math.sin(v) * sy + up * ay;
        const ez = q * Math.cos(v) * tz + q * Math.sin(v) * sz + up * az;
        meet(x, y, z, ex, ey, ez, 1e9, false);
        const first0 = light[0]!;
        const first1 = light[1]!;
        const first2 = light[2]!;
        if (!meetsGlow(x, y, z, ex, ey, ez)) {
          const bx = x + hitAt * ex + nx * 0.002;
          const by = y + hitAt * ey + ny * 0.002;
          const bz = z + hitAt * ez + nz * 0.002;
          paint(bx, by, bz, false);
          light[0] = 0.012;
          light[1] = 0.012;
          light[2] = 0.013;
          addDirect(bx, by, bz, nx, ny, nz);
          light[0] = first0 + light[0]! * colour[0]!;
          light[1] = first1 + light[1]! * colour[1]!;
          light[2] = first2 + light[2]! * colour[2]!;
        }
        r += cr * light[0]!;
        g += cg * light[1]!;
        b += cb * light[2]!;
      }
      const k = j * width + i;
      rgb[3 * k] = r / samples;
      rgb[3 * k + 1] = g / samples;
      rgb[3 * k + 2] = b / samples;
      depth[k] = samples / inverse;
    }
    tell((j + 1) / height);
  }
  return { width, height, rgb, depth };
}
