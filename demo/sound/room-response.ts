import { hash32 } from "../random.ts";
import { kaiser } from "./windowed-sinc.ts";

export type Place = readonly [x: number, y: number, z: number];

/** A room with square corners; `min` and `max` are its walls' planes, metres. */
export interface Shoebox {
  readonly min: Place;
  readonly max: Place;
  /** Share of pressure that each pair of walls sends back: x, y, z. */
  readonly reflection: Place;
  /** Each reflection also loses treble: a first-order low-pass at this frequency. */
  readonly trebleHz: number;
}

/** Metres a second in dry air at 20 degrees Celsius (ISO 9613-1: 343.2). */
export const speedOfSound = 343.2;

/** A microphone: its place, and the axis and shape of its pattern (0 takes all directions alike, 0.5 a cardioid). */
export interface Microphone {
  readonly at: Place;
  readonly axis?: Place;
  readonly pattern?: number;
}

export interface ImageSource {
  readonly at: Place;
  readonly reflections: number;
  /** Product of the walls' reflection factors. */
  readonly strength: number;
}

/**
 * All mirror images of a source up to a distance.
 *
 * Source: J. B. Allen & D. A. Berkley, "Image method for efficiently simulating small-room acoustics",
 * J. Acoust. Soc. Am. 65(4), 1979, 943-950.
 *
 * @param reachMetres - Images farther from `ear` are left out.
 */
export function* imageSources(
  room: Shoebox,
  source: Place,
  ear: Place,
  reachMetres: number,
): Generator<ImageSource> {
  const size = [0, 1, 2].map((k) => room.max[k]! - room.min[k]!) as unknown as [number, number, number];
  const counts = size.map((s) => Math.ceil(reachMetres / (2 * s)) + 1) as unknown as [number, number, number];
  const along = (k: 0 | 1 | 2): { at: number; reflections: number; strength: number }[] => {
    const list: { at: number; reflections: number; strength: number }[] = [];
    for (let n = -counts[k]; n <= counts[k]; n++)
      for (const flip of [0, 1] as const) {
        const local = source[k] - room.min[k];
        const reflections = Math.abs(n - flip) + Math.abs(n);
        list.push({
          at: room.min[k] + (flip ? -local : local) + 2 * n * size[k],
          reflections,
          strength: room.reflection[k] ** reflections,
        });
      }
    return list;
  };
  const xs = along(0);
  const ys = along(1);
  const zs = along(2);
  for (const x of xs)
    for (const y of ys)
      for (const z of zs) {
        const squared = (x.at - ear[0]) ** 2 + (y.at - ear[1]) ** 2 + (z.at - ear[2]) ** 2;
        if (squared > reachMetres * reachMetres) continue;
        yield {
          at: [x.at, y.at, z.at],
          reflections: x.reflections + y.reflections + z.reflections,
          strength: x.strength * y.strength * z.strength,
        };
      }
}

/**
 * What a microphone hears of a click: level falls as one over distance (1 at one metre), each wall takes its share.
 *
 * Images of the second reflection and later are moved a few centimetres by chance, as real walls do, so that the
 * box does not ring (E. De Sena et al., "On the modeling of rectangular geometries in room acoustic
 * simulations", IEEE/ACM TASLP 23(4), 2015).
 *
 * @returns `seconds` of response; sample n is n / rate after the click.
 */
export function roomResponse(
  room: Shoebox,
  source: Place,
  ear: Microphone,
  rate: number,
  seconds: number,
): Float32Array {
  const length = Math.round(seconds * rate);
  const most = 40;
  const byReflections: Float32Array[] = [];
  const half = 16;
  for (const image of imageSources(room, source, ear.at, seconds * speedOfSound)) {
    const n = Math.min(most, image.reflections);
    let [x, y, z] = image.at;
    if (image.reflections > 1) {
      const h = hash32(Math.round(x * 1000), Math.round(y * 1000), Math.round(z * 1000));
      x += ((h & 1023) / 1023 - 0.5) * 0.12;
      y += (((h >>> 10) & 1023) / 1023 - 0.5) * 0.12;
      z += (((h >>> 20) & 1023) / 1023 - 0.5) * 0.12;
    }
    const dx = x - ear.at[0];
    const dy = y - ear.at[1];
    const dz = z - ear.at[2];
    const away = Math.max(0.05, Math.hypot(dx, dy, dz));
    const pattern = ear.pattern ?? 0;
    const facing = ear.axis ? (dx * ear.axis[0] + dy * ear.axis[1] + dz * ear.axis[2]) / away : 1;
    const level = ((1 - pattern + pattern * facing) * image.strength) / away;
    if (Math.abs(level) < 1e-5) continue;
    const plane = (byReflections[n] ??= new Float32Array(length));
    const at = (away / speedOfSound) * rate;
    const first = Math.max(0, Math.ceil(at - half));
    const last = Math.min(length - 1, Math.floor(at + half));
    for (let k = first; k <= last; k++) {
      const t = k - at;
      const s = t === 0 ? 1 : Math.sin(Math.PI * t) / (Math.PI * t);
      plane[k]! += level * s * (image.reflections > 6 ? 1 - (t / half) ** 2 : kaiser(t / half, 6));
    }
  }
  // from the most-reflected inwards: each step out of the walls loses treble once more
  const pole = Math.exp((-2 * Math.PI * room.trebleHz) / rate);
  const out = new Float32Array(length);
  for (let n = Math.min(most, byReflections.length - 1); n >= 0; n--) {
    const plane = byReflections[n];
    if (plane) for (let k = 0; k < length; k++) out[k]! += plane[k]!;
    if (n === 0) break;
    let held = 0;
    for (let k = 0; k < length; k++) out[k] = held += (1 - pole) * (out[k]! - held);
  }
  return out;
}
