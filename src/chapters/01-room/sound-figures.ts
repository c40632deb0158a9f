import type { Plan } from "#documents/plan";
import type { SoundFigures } from "#documents/room-light-result";
import { airAbsorption } from "#science/acoustics/air-absorption";
import { materialOf } from "#science/acoustics/materials";
import { directivityIndex, patternShare } from "#science/acoustics/microphone-pattern";
import {
  criticalDistance,
  energyPerMetre,
  eyringSeconds,
  octaveBands,
  sabineSeconds,
  schroederHertz,
} from "#science/acoustics/reverberation";
import {
  levelAt,
  reverberantLevel,
  speechLevel,
  sumOfLevels,
  talkerDirectivity,
  talkerOffAxisLoss,
} from "#science/acoustics/speech-level";
import { speedOfSound } from "#science/acoustics/speed-of-sound";
import { signedArea } from "#science/geometry/polygon";
import {
  angleBetween,
  directionOf,
  distanceBetween,
  dot,
  minus,
  type Vector3,
} from "#science/geometry/vector3";
import { type PinHole, pinHole } from "#science/optics/pin-hole";
import { posingOf } from "./move-pose.ts";
import type { Scene, SceneMicrophone, ScenePerson } from "./scene.ts";

/** Relative humidity that the air's own absorption is told for, percent. */
const usualHumidity = 50;
/** The band by which microphones are judged: 1 kHz. */
const judged = 3;
/** A boom's tip keeps this far outside a frame, metres. Common practice: a hand's breadth of sway. */
const sway = 0.05;

interface RoomSound {
  readonly volume: number;
  readonly surface: number;
  readonly bands: SoundFigures["bands"];
  /** R = A/(1 - α) in each band. */
  readonly constants: readonly number[];
}

/** Absorption, Sabine and Eyring of a plan's room, with its furniture and two people. */
export function roomSound(scene: Scene): RoomSound {
  const { room } = scene;
  const floor = Math.abs(signedArea(room.outline));
  const volume = floor * room.height;
  let surface = 2 * floor;
  const absorption = octaveBands.map(() => 0);
  const add = (material: string, area: number): void => {
    const absorbs = (materialOf(material) ?? materialOf("plasterboard")!).absorbs;
    for (let b = 0; b < absorption.length; b++) absorption[b]! += absorbs[b]! * area;
  };
  add(room.materials.floor, floor);
  add(room.materials.ceiling, floor);
  for (const wall of scene.walls) {
    let solid = wall.metres * room.height;
    surface += solid;
    for (const { said, from, to, sill, head } of wall.openings) {
      const area = (to - from) * (head - sill);
      solid -= area;
      if (said.kind === "hole" || said.open)
        for (let b = 0; b < absorption.length; b++) absorption[b]! += area;
      else {
        // A window that is covered has a curtain or a blind before it.
        add(said.kind === "door" ? "wooden-door" : "window-glass", area * (1 - said.covered));
        add("curtain-light", area * said.covered);
      }
    }
    add(wall.material, Math.max(0, solid));
  }
  for (const box of scene.furniture) {
    const [w, d, h] = box.size;
    const area = 2 * (w + d) * h + w * d * (box.base > 0.01 ? 2 : 1);
    surface += area;
    add(box.material ?? "chair-wood", area);
  }
  // The published row is for one person to a square metre: each adds that square metre.
  add("people", 2);
  surface += 2;
  const speed = speedOfSound(room.temperature);
  const constants: number[] = [];
  const bands = octaveBands.map((hertz, b) => {
    const A = absorption[b]!;
    const meanAlpha = Math.min(0.99, A / surface);
    const air = energyPerMetre(airAbsorption(hertz, room.temperature, usualHumidity));
    constants.push((A + 4 * air * volume) / (1 - meanAlpha));
    return {
      hertz,
      absorption: A,
      meanAlpha,
      sabine: sabineSeconds(volume, A + 4 * air * volume, speed),
      eyring: eyringSeconds(volume, surface, meanAlpha, speed, air),
      criticalDistance: criticalDistance(1, A),
    };
  });
  return { volume, surface, bands, constants };
}

/** A thing that makes noise. */
interface NoiseSource {
  readonly id: string;
  readonly name: string;
  readonly at: Vector3;
  readonly db: number;
}

function noisesOf(scene: Scene): NoiseSource[] {
  const list: NoiseSource[] = [];
  for (const { id, slider, from, to } of scene.slides)
    if (slider?.noise !== undefined)
      list.push({
        id,
        name: slider.name,
        at: [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2, (from[2] + to[2]) / 2],
        db: slider.noise,
      });
  for (const { id, light, point, said } of scene.lights)
    if (light.noise !== undefined && said.dim > 0)
      list.push({ id, name: light.name, at: point, db: light.noise });
  for (const box of scene.furniture)
    if (box.noise !== undefined)
      list.push({
        id: box.id,
        name: box.name,
        at: [box.at[0], box.at[1], box.base + box.size[2] / 2],
        db: box.noise,
      });
  return list;
}

/** Level of a source at a microphone as it hears it, dB: straight with its pattern, and by way of the room. */
export function heardLevel(
  microphone: SceneMicrophone,
  at: Vector3,
  db: number,
  roomConstant: number,
): number {
  const pattern = microphone.microphone?.pattern ?? "omni";
  const way = minus(at, microphone.point);
  const share = Math.abs(patternShare(pattern, angleBetween(way, microphone.direction)));
  const straight =
    levelAt(db, distanceBetween(at, microphone.point)) + 20 * Math.log10(Math.max(1e-3, share));
  return sumOfLevels([straight, reverberantLevel(db, roomConstant) - directivityIndex(pattern)]);
}

function microphoneFigures(
  scene: Scene,
  microphone: SceneMicrophone,
  roomConstant: number,
  noises: readonly NoiseSource[],
): SoundFigures["microphones"][number] {
  const pattern = microphone.microphone?.pattern ?? "omni";
  const mine = microphone.said.role === "interviewer" ? scene.interviewer : scene.sitter;
  const other = microphone.said.role === "interviewer" ? scene.sitter : scene.interviewer;
  const metres = Math.max(0.02, distanceBetween(microphone.point, microphone.mouth));
  const offAxis = angleBetween(minus(microphone.mouth, microphone.point), microphone.direction);
  const share = Math.max(1e-3, Math.abs(patternShare(pattern, offAxis)));
  const offAxisDb = 20 * Math.log10(share);
  const speechAt = (person: ScenePerson): number => {
    const way = minus(microphone.point, person.mouth);
    const loss = talkerOffAxisLoss(angleBetween(way, directionOf(person.headHeading)));
    return levelAt(speechLevel.normal, distanceBetween(microphone.point, person.mouth)) - loss;
  };
  const speechDb = speechAt(mine) + offAxisDb;
  // The talker sends less to the room than straight ahead: by the directivity.
  const room =
    reverberantLevel(speechLevel.normal, roomConstant) -
    10 * Math.log10(talkerDirectivity) -
    directivityIndex(pattern);
  const theirs = speechAt(other);
  const theirShare = Math.abs(
    patternShare(pattern, angleBetween(minus(other.mouth, microphone.point), microphone.direction)),
  );
  const noise = noises
    .map(({ id, name, at, db }) => ({ id, name, db: heardLevel(microphone, at, db, roomConstant) }))
    .sort((a, b) => b.db - a.db);
  const selfNoiseDb = microphone.microphone?.selfNoise ?? null;
  const all = [...noise.map(({ db }) => db), ...(selfNoiseDb === null ? [] : [selfNoiseDb])];
  const noiseDb = all.length > 0 ? sumOfLevels(all) : null;
  return {
    id: microphone.id,
    role: microphone.said.role,
    pattern: microphone.microphone?.pattern ?? null,
    point: [...microphone.point] as [number, number, number],
    metres,
    offAxis,
    offAxisDb,
    speechDb,
    directToReverberantDb: speechDb - room,
    evenMetres: criticalDistance(talkerDirectivity * 10 ** (directivityIndex(pattern) / 10), roomConstant),
    otherTalkerDb: sumOfLevels([theirs + 20 * Math.log10(Math.max(1e-3, theirShare)), room]),
    noise,
    selfNoiseDb,
    noiseDb,
    speechToNoiseDb: noiseDb === null ? null : speechDb - noiseDb,
  };
}

/**
 * Lowest height over a place of the plan that a frame does not see, metres; null where its frame never reaches there.
 *
 * The frame's upper edge is a plane: along an upright line both depth and height are linear, so there is one crossing.
 */
export function lowestOutside(camera: PinHole, x: number, y: number): number | null {
  const { point, forward, up, right, tanHalfWidth, tanHalfHeight } = camera;
  const flat = minus([x, y, point[2]], point);
  // dot(way, up) = depth · tan: (a + z·u) = (b + z·f)·tan, z over the lens.
  const slope = up[2] - forward[2] * tanHalfHeight;
  if (Math.abs(slope) < 1e-9) return null;
  const z = (dot(flat, forward) * tanHalfHeight - dot(flat, up)) / slope;
  const depth = dot(flat, forward) + z * forward[2];
  if (depth <= 0) return null;
  // A boom comes in from the side: its tip may hang this much beside the frame and still its arm be seen.
  const across = Math.abs(dot(flat, right)) / (depth * tanHalfWidth);
  return across > 1.15 ? null : point[2] + z;
}

function boomFigures(scene: Scene, microphone: SceneMicrophone): SoundFigures["booms"][number] {
  const [x, y, height] = microphone.point;
  const cameras = scene.cameras.map((camera) => {
    const slide = scene.slides.find((s) => s.camera.id === camera.id);
    const posing = slide && posingOf(scene, slide);
    const holes: PinHole[] = posing
      ? [0, 0.5, 1].map((share) => {
          const { point, pan, tilt } = posing.at(share * slide.said.seconds);
          return pinHole(point, pan, tilt, camera.tanHalfWidth, camera.tanHalfHeight);
        })
      : [camera];
    const heights = holes.map((hole) => lowestOutside(hole, x, y)).filter((z) => z !== null);
    return { id: camera.id, lowest: heights.length > 0 ? Math.max(...heights) + sway : null };
  });
  const bound = cameras.filter((c): c is { id: string; lowest: number } => c.lowest !== null);
  const highest = bound.reduce<{ id: string; lowest: number } | null>(
    (best, c) => (best === null || c.lowest > best.lowest ? c : best),
    null,
  );
  // Where no frame sees the place the boom may come as near as it likes, but not into the talker.
  const floor = scene.sitter.mouth[2] + 0.1;
  const lowest = Math.max(floor, highest?.lowest ?? floor);
  return {
    id: microphone.id,
    height,
    lowest,
    by: highest && highest.lowest > floor ? highest.id : null,
    metresThere: distanceBetween([x, y, lowest], microphone.mouth),
    cameras: bound,
  };
}

/** Sound of a plan: the room's time, and every microphone's distance, pickup and noise. */
export function soundFigures(plan: Plan, scene: Scene): SoundFigures {
  const room = roomSound(scene);
  const speed = speedOfSound(plan.room.temperature);
  const noises = noisesOf(scene);
  const roomConstant = room.constants[judged]!;
  const microphones = scene.microphones.map((m) => microphoneFigures(scene, m, roomConstant, noises));
  const forSitter = scene.microphones.filter((m) => m.said.role !== "interviewer");
  const first = forSitter[0];
  const delays = first
    ? forSitter.slice(1).map((m) => ({
        from: first.id,
        to: m.id,
        milliseconds:
          (1000 *
            (distanceBetween(m.point, scene.sitter.mouth) -
              distanceBetween(first.point, scene.sitter.mouth))) /
          speed,
      }))
    : [];
  const reverberation = (room.bands[2]!.eyring + room.bands[3]!.eyring) / 2;
  return {
    speedOfSound: speed,
    volume: room.volume,
    surface: room.surface,
    bands: room.bands,
    reverberation,
    schroederHertz: schroederHertz(reverberation, room.volume),
    microphones,
    delays,
    booms: scene.microphones.filter((m) => m.said.role === "boom").map((m) => boomFigures(scene, m)),
  };
}
