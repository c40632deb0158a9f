import type { Lens, Plan, ShotSize } from "#documents/plan";
import { directionOf, headingOf, radiansOf } from "#science/geometry/vector3";
import { shotFrame } from "#science/optics/shot-size";
import { bodyHeight, headMetres } from "#science/people/body-points";
import type { Ground } from "./propose-ground.ts";
import { rayToWall } from "./scene-rays.ts";

/** A part of the search's places: the room in which the sitter looks, and the side that the cameras take. */
export interface Niche {
  /** The sitter's gaze, degrees: from, and how far round from there. */
  readonly gazeFrom: number;
  readonly gazeSpan: number;
  /** Cameras clockwise of the gaze from above: 1; anticlockwise: -1. */
  readonly side: 1 | -1;
}

/** The numbers that a search may choose, and how a plan follows from them. */
export interface Movers {
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** Which thing each number moves. */
  readonly groups: Int32Array;
  /** What hands would begin with, by the habits of the craft; NaN where the room decides. */
  readonly usual: Float64Array;
  /** Writes a staging into the draft; every number is rounded as a person would read it off a tape. */
  place(x: Float64Array, draft: Plan): void;
}

/** Where the two sit as the movers of other things need it. */
interface Seats {
  x: number;
  y: number;
  gaze: number;
  side: 1 | -1;
}

/** One thing's numbers. */
interface Mover {
  readonly bounds: readonly (readonly [number, number])[];
  /** One for each of the bounds; NaN: no habit. Common practice. */
  readonly usual: readonly number[];
  place(x: Float64Array, at: number, draft: Plan, seats: Seats): void;
}

const centimetres = (metres: number): number => Math.round(metres * 100) / 100;
const whole = (degrees: number): number => Math.round(((degrees % 360) + 360) % 360) % 360;

/**
 * The movers of a plan: of everything that is not pinned. Places are taken from the sitter and the way the sitter looks, not from
 * the room, so that what goes together moves together and a search finds its way.
 */
export function moversOf(ground: Ground, niche: Niche): Movers {
  const { plan } = ground;
  const movers = [
    peopleMover(ground, niche),
    ...plan.cameras.map((_, k) => cameraMover(ground, k)),
    ...plan.slides.map((_, k) => slideMover(ground, k)),
    ...plan.lights.map((_, k) => lightMover(ground, k)),
    ...plan.microphones.map((_, k) => microphoneMover(ground, k)),
  ].filter((m) => m !== null);
  const bounds = movers.flatMap((m) => m.bounds);
  const seats: Seats = { x: 0, y: 0, gaze: 0, side: niche.side };
  return {
    low: Float64Array.from(bounds, ([low]) => low),
    high: Float64Array.from(bounds, ([, high]) => high),
    usual: Float64Array.from(movers.flatMap((m) => m.usual)),
    groups: Int32Array.from(
      movers.filter((m) => m.bounds.length > 0).flatMap((m, k) => m.bounds.map(() => k)),
    ),
    place(x, draft) {
      let at = 0;
      for (const mover of movers) {
        mover.place(x, at, draft, seats);
        at += mover.bounds.length;
      }
    },
  };
}

/** Whether a thing stays where it is: pinned, or on a pinned rail. */
export function staysPut(plan: Plan, id: string): boolean {
  const { pinned } = plan.wishes;
  if (pinned.includes(id)) return true;
  return plan.slides.some((s) => s.camera === id && pinned.includes(s.id));
}

/** How far apart the two sit, metres. Common practice. */
const talk = [1.05, 2.4] as const;
/** How far a sitter who stays in the chair may turn to an interviewer, degrees. Common practice. */
const easyTurn = 40;

function peopleMover(ground: Ground, niche: Niche): Mover {
  const { plan } = ground;
  const stays = { sitter: staysPut(plan, "sitter"), interviewer: staysPut(plan, "interviewer") };
  const { outline } = plan.room;
  const [xs, ys] = [outline.map((c) => c[0]), outline.map((c) => c[1])];
  const across = [Math.min(...xs) + 0.4, Math.max(...xs) - 0.4] as const;
  const up = [Math.min(...ys) + 0.4, Math.max(...ys) - 0.4] as const;
  const gaze = [niche.gazeFrom, niche.gazeFrom + niche.gazeSpan] as const;
  const chairs = chairsOf(ground);
  const told = (draft: Plan, seats: Seats): void => {
    const [sitter, other] = [draft.sitter.at, draft.interviewer.at];
    seats.x = sitter[0];
    seats.y = sitter[1];
    seats.gaze = headingOf([other[0] - sitter[0], other[1] - sitter[1], 0]);
    if (!stays.sitter) {
      draft.sitter.heading = whole(seats.gaze);
      chairs.sitter(draft);
      for (const m of draft.microphones) if (m.role === "lav") forgetPlace(m);
    }
    if (!stays.interviewer) {
      draft.interviewer.heading = whole(seats.gaze + 180);
      chairs.interviewer(draft);
      for (const m of draft.microphones) if (m.role === "interviewer") forgetPlace(m);
    }
  };
  if (stays.sitter && stays.interviewer)
    return { bounds: [], usual: [], place: (_x, _at, draft, seats) => told(draft, seats) };
  if (stays.interviewer)
    return {
      bounds: [across, up],
      usual: [Number.NaN, Number.NaN],
      place(x, at, draft, seats) {
        draft.sitter.at[0] = centimetres(x[at]!);
        draft.sitter.at[1] = centimetres(x[at + 1]!);
        told(draft, seats);
      },
    };
  const first = stays.sitter ? 0 : 2;
  return {
    bounds: stays.sitter ? [[-easyTurn, easyTurn], talk] : [across, up, gaze, talk],
    usual: stays.sitter ? [Number.NaN, 1.5] : [Number.NaN, Number.NaN, Number.NaN, 1.5],
    place(x, at, draft, seats) {
      if (!stays.sitter) {
        draft.sitter.at[0] = centimetres(x[at]!);
        draft.sitter.at[1] = centimetres(x[at + 1]!);
      }
      const turn = x[at + first]! + (stays.sitter ? draft.sitter.heading : 0);
      const way = directionOf(turn);
      const metres = x[at + first + 1]!;
      draft.interviewer.at[0] = centimetres(draft.sitter.at[0] + way[0] * metres);
      draft.interviewer.at[1] = centimetres(draft.sitter.at[1] + way[1] * metres);
      told(draft, seats);
    },
  };
}

function forgetPlace(m: { at?: unknown; aim?: unknown }): void {
  delete m.at;
  delete m.aim;
}

/** Puts the chairs back under their people. */
function chairsOf({ plan, chairs }: Ground): Record<"sitter" | "interviewer", (draft: Plan) => void> {
  const follow = (who: "sitter" | "interviewer") => {
    const person = plan[who];
    const pieces = plan.room.furniture.flatMap((piece, index) =>
      chairs[who].has(piece.id)
        ? [{ index, dx: piece.at[0] - person.at[0], dy: piece.at[1] - person.at[1], heading: piece.heading }]
        : [],
    );
    return (draft: Plan): void => {
      if (pieces.length === 0) return;
      const now = draft[who];
      const turn = radiansOf(now.heading - person.heading);
      const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
      for (const { index, dx, dy, heading } of pieces) {
        const piece = draft.room.furniture[index]!;
        piece.at[0] = centimetres(now.at[0] + dx * cos + dy * sin);
        piece.at[1] = centimetres(now.at[1] - dx * sin + dy * cos);
        piece.heading = whole(heading + now.heading - person.heading);
      }
    };
  };
  return { sitter: follow("sitter"), interviewer: follow("interviewer") };
}

/** The lenses that a camera may have: on its stand and its slider not too heavy. */
function lensesFor(plan: Plan, index: number): Lens[] {
  const said = plan.cameras[index]!;
  const { kit } = plan;
  const body = kit.bodies.find((b) => b.id === said.body);
  const stand = kit.stands.find((s) => s.id === said.stand);
  const slide = plan.slides.find((s) => s.camera === said.id);
  const slider = kit.sliders.find((s) => s.id === slide?.slider);
  const bears = Math.min(
    stand?.loadKg ?? Number.POSITIVE_INFINITY,
    slider?.loadKg ?? Number.POSITIVE_INFINITY,
  );
  const fits = kit.lenses.filter(
    (lens) => lens.focal[0] <= lens.focal[1] && (body?.weightKg ?? 0) + (lens.weightKg ?? 0) <= bears,
  );
  const sorted = fits.sort((a, b) => a.focal[0] - b.focal[0] || a.focal[1] - b.focal[1]);
  return sorted.length > 0 ? sorted : kit.lenses.filter((lens) => lens.id === said.lens);
}

/** A prime's shot may be this much looser or tighter than its name asks for. */
const shotRoom = 0.09;

/** A shot that was said of a camera goes before the wishes; `medium` is what a camera has when nothing was said of it. */
const wishedShot = (plan: Plan, camera: Plan["cameras"][number]): ShotSize =>
  camera.shot === "medium" ? (plan.wishes.shots[camera.id] ?? camera.shot) : camera.shot;

function cameraMover(ground: Ground, index: number): Mover | null {
  const { plan } = ground;
  const original = plan.cameras[index]!;
  const body = plan.kit.bodies.find((b) => b.id === original.body);
  const lenses = lensesFor(plan, index);
  if (staysPut(plan, original.id) || !body || lenses.length === 0) return null;
  const { stature, seatHeight } = plan.sitter;
  const shot = wishedShot(plan, original);
  const tall = shotFrame(shot, stature, seatHeight).height;
  const eyes = bodyHeight("eyes", stature, seatHeight);
  const rise = (original.height ?? eyes) - eyes;
  const firstFree = plan.cameras.findIndex((c) => !staysPut(plan, c.id)) === index;
  return {
    bounds: [firstFree ? [4, 45] : [10, 80], [0, lenses.length - 1e-6], [0, 1]],
    usual: [firstFree ? 17 : 47, Number.NaN, Number.NaN],
    place(x, at, draft, seats) {
      const camera = draft.cameras[index]!;
      const lens = lenses[Math.floor(x[at + 1]!)]!;
      const [shortest, longest] = lens.focal;
      const isZoom = longest > shortest * 1.02;
      const share = x[at + 2]!;
      let focal = shortest;
      let times = 1;
      if (isZoom) focal = Math.round(shortest * (longest / shortest) ** share);
      else times = 1 + shotRoom * (2 * share - 1);
      const away = (tall * times * focal) / body.sensor[1];
      const level = Math.sqrt(Math.max(0.04, away * away - rise * rise));
      const turn = radiansOf(seats.gaze + seats.side * x[at]!);
      const gaze = radiansOf(seats.gaze);
      camera.at[0] = centimetres(seats.x + Math.sin(gaze) * headMetres.eyesForward + Math.sin(turn) * level);
      camera.at[1] = centimetres(seats.y + Math.cos(gaze) * headMetres.eyesForward + Math.cos(turn) * level);
      camera.lens = lens.id;
      camera.shot = shot;
      if (isZoom) camera.focalLength = focal;
      else delete camera.focalLength;
      if (original.stop !== undefined) camera.stop = Math.max(original.stop, lens.stop);
      delete camera.pan;
      delete camera.tilt;
      delete camera.focus;
    },
  };
}

function slideMover(ground: Ground, index: number): Mover | null {
  const { plan } = ground;
  const original = plan.slides[index]!;
  const camera = plan.cameras.findIndex((c) => c.id === original.camera);
  if (plan.wishes.pinned.includes(original.id) || camera < 0) return null;
  const slider = plan.kit.sliders.find((s) => s.id === original.slider);
  const way = [0, 1, 2].map((k) => original.to[k]! - original.from[k]!);
  const long = Math.min(slider?.travel ?? Number.POSITIVE_INFINITY, Math.hypot(...way));
  const rises = Math.max(-long * 0.9, Math.min(long * 0.9, way[2]!));
  const eyes = bodyHeight("eyes", plan.sitter.stature, plan.sitter.seatHeight);
  const high = plan.cameras[camera]!.height ?? eyes;
  return {
    // The rail lies square to the lens or a little off it, whichever way it began, and keeps half its length at least.
    bounds: [
      [-35, 35],
      [0.5, 1],
    ],
    usual: [0, 0.7],
    place(x, at, draft, seats) {
      const slide = draft.slides[index]!;
      const [cx, cy] = draft.cameras[camera]!.at;
      const look = headingOf([seats.x - cx, seats.y - cy, 0]);
      const along = directionOf(look + 90 + x[at]!);
      const length = long * x[at + 1]!;
      const level = Math.sqrt(Math.max(0, length * length - (rises * x[at + 1]!) ** 2));
      for (const [end, sign] of [
        [slide.from, -0.5],
        [slide.to, 0.5],
      ] as const) {
        end[0] = centimetres(cx + along[0] * level * sign);
        end[1] = centimetres(cy + along[1] * level * sign);
        end[2] = centimetres(high + rises * x[at + 1]! * sign);
      }
    },
  };
}

/** Where a light of each role may stand, degrees from the gaze, away from the cameras above 0; metres from the sitter. */
const lightRoom: Readonly<
  Record<Plan["lights"][number]["role"], readonly [readonly [number, number], readonly [number, number]]>
> = {
  key: [
    [-70, 110],
    [0.8, 3.2],
  ],
  fill: [
    [-110, 70],
    [0.8, 3.5],
  ],
  hair: [
    [100, 260],
    [0.8, 2.8],
  ],
  background: [
    [60, 300],
    [0.6, 4],
  ],
  other: [
    [-180, 180],
    [0.7, 4],
  ],
};

/** Where hands put it: degrees as above, metres, height over the sitter's eyes, share of full light. */
const usualLight: Readonly<
  Record<Plan["lights"][number]["role"], readonly [number, number, number, number]>
> = {
  key: [47, 1.6, 0.65, 1],
  fill: [-75, 2, 0.5, 0.08],
  hair: [230, 1.5, 0.85, 0.3],
  background: [255, 2, -0.1, 0.4],
  other: [Number.NaN, 1.6, 0.6, 1],
};

function lightMover(ground: Ground, index: number): Mover | null {
  const { plan } = ground;
  const original = plan.lights[index]!;
  const light = plan.kit.lights.find((l) => l.id === original.light);
  // A lamp with a role of its own and an aim is part of the room.
  if (staysPut(plan, original.id) || !light || (original.role === "other" && original.aim)) return null;
  const { role } = original;
  const stand = plan.kit.stands.find((s) => s.id === original.stand);
  const modifier = light.modifiers.find((m) => m.id === original.modifier);
  const half = (modifier?.size ?? light.face)[1] / 2;
  const eyes = bodyHeight("eyes", plan.sitter.stature, plan.sitter.seatHeight);
  const top = Math.min(plan.room.height - 0.06 - half, stand ? stand.highest + 0.2 : 3, 3);
  const lowest = role === "background" ? 0.4 : role === "hair" ? eyes + 0.5 : eyes;
  const dims = role === "fill" || role === "hair" || role === "background";
  const least = Math.max(light.dimsTo, 0.01);
  const [round, far] = lightRoom[role];
  return {
    bounds: [
      round,
      far,
      [Math.min(lowest, top - 0.05), Math.max(top, 0.3)],
      ...(dims ? [[Math.log(least), 0] as const] : []),
    ],
    usual: [
      ...usualLight[role].slice(0, 2),
      eyes + usualLight[role][2],
      ...(dims ? [Math.log(usualLight[role][3])] : []),
    ],
    place(x, at, draft, seats) {
      const placed = draft.lights[index]!;
      const turn = radiansOf(seats.gaze - seats.side * x[at]!);
      placed.at[0] = centimetres(seats.x + Math.sin(turn) * x[at + 1]!);
      placed.at[1] = centimetres(seats.y + Math.cos(turn) * x[at + 1]!);
      placed.height = Math.floor(x[at + 2]! * 100) / 100;
      if (dims) placed.dim = Math.min(1, Math.max(least, Math.round(Math.exp(x[at + 3]!) * 100) / 100));
      if (role === "background") placed.aim = behindSitter(ground, draft, seats, eyes);
      else delete placed.aim;
    },
  };
}

/** The spot on the wall behind the sitter's head, as the first camera sees it. */
function behindSitter(ground: Ground, draft: Plan, seats: Seats, eyes: number): [number, number, number] {
  const camera = draft.cameras[0];
  const look = camera
    ? headingOf([seats.x - camera.at[0], seats.y - camera.at[1], 0])
    : (seats.gaze + 180) % 360;
  const way = directionOf(look);
  let metres = 8;
  for (const wall of ground.walls) metres = Math.min(metres, rayToWall(wall, [seats.x, seats.y, eyes], way));
  return [centimetres(seats.x + way[0] * metres), centimetres(seats.y + way[1] * metres), centimetres(eyes)];
}

function microphoneMover(ground: Ground, index: number): Mover | null {
  const { plan } = ground;
  const original = plan.microphones[index]!;
  if (original.role !== "boom" || staysPut(plan, original.id)) return null;
  const mouth = bodyHeight("mouth", plan.sitter.stature, plan.sitter.seatHeight);
  return {
    // Before the mouth, to its side, over it; then where its stand is, from the tip.
    bounds: [
      [0.02, 0.6],
      [-60, 60],
      [0.2, 1],
      [-180, 180],
      [0.7, 2.4],
    ],
    usual: [0.3, 0, 0.45, 105, 1.3],
    place(x, at, draft, seats) {
      const boom = draft.microphones[index]!;
      const turn = radiansOf(seats.gaze + seats.side * x[at + 1]!);
      const gaze = radiansOf(seats.gaze);
      const tip: [number, number, number] = [
        centimetres(seats.x + Math.sin(gaze) * headMetres.mouthForward + Math.sin(turn) * x[at]!),
        centimetres(seats.y + Math.cos(gaze) * headMetres.mouthForward + Math.cos(turn) * x[at]!),
        centimetres(mouth + x[at + 2]!),
      ];
      const stand = radiansOf(seats.gaze - seats.side * x[at + 3]!);
      boom.at = tip;
      boom.standAt = [
        centimetres(tip[0] + Math.sin(stand) * x[at + 4]!),
        centimetres(tip[1] + Math.cos(stand) * x[at + 4]!),
      ];
      delete boom.aim;
    },
  };
}
