import type { Plan } from "#documents/plan";
import { directionOf, headingOf, radiansOf } from "#science/geometry/vector3";
import { bodyHeight, headMetres } from "#science/people/body-points";
import type { Ground } from "./propose-ground.ts";
import { centimetres, type Mover, type Seats } from "./propose-mover.ts";
import { cameraMover, slideMover } from "./propose-movers-camera.ts";
import { staysPut } from "./propose-pins.ts";
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
  const least = Math.max(light.dimsTo, 0.01);
  const [round, far] = lightRoom[role];
  const [usualRound, usualFar, usualUp, usualDim] = usualLight[role];
  return {
    bounds: [round, far, [Math.min(lowest, top - 0.05), Math.max(top, 0.3)], [Math.log(least), 0]],
    usual: [usualRound, usualFar, eyes + usualUp, Math.log(usualDim)],
    place(x, at, draft, seats) {
      const placed = draft.lights[index]!;
      const turn = radiansOf(seats.gaze - seats.side * x[at]!);
      placed.at[0] = centimetres(seats.x + Math.sin(turn) * x[at + 1]!);
      placed.at[1] = centimetres(seats.y + Math.cos(turn) * x[at + 1]!);
      placed.height = Math.floor(x[at + 2]! * 100) / 100;
      placed.dim = Math.min(1, Math.max(least, Math.round(Math.exp(x[at + 3]!) * 100) / 100));
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
