import type { Plan } from "#documents/plan";
import { sideOfLine } from "#room/geometry-line";
import { freeId, type PlanEdit } from "#room/plan-edits";
import { sceneOf } from "#room/scene";
import { distanceToBox } from "#science/geometry/box";
import { type Corner, distanceToOutline, isInside } from "#science/geometry/polygon";
import { directionOf, headingOf, turnBetween } from "#science/geometry/vector3";

/*
 * Where a thing that is put into a plan stands at first: where it would be wanted, and the nearest place from there that
 * is inside the room and free. Common practice: cameras on one side of the line, thirty degrees from one another; the key
 * beyond the interviewer; a boom's stand behind the sitter's shoulder.
 */

/** An edit that puts something in, and the id of what was put in. */
export interface PutIn {
  readonly id: string;
  readonly edit: PlanEdit;
}

type Spot = [number, number];
const grid = 0.05;
const onGrid = (metres: number): number => Math.round(Math.round(metres / grid) * grid * 1000) / 1000;

/** How near others stand, metres: people take more than a stand. */
const room = { person: 0.55, stand: 0.5, box: 0.1 };
/** A box that hangs higher than this is walked beneath. */
const overhead = 1.9;

/** Whether something of this radius can stand at a place: in the room, and clear of all that stands there. */
export function isFree(plan: Plan, [x, y]: Corner, radius: number): boolean {
  const { outline, furniture } = plan.room;
  if (!isInside(outline, x, y) || distanceToOutline(outline, x, y) < radius) return false;
  const isClear = (at: Corner, reach: number): boolean => Math.hypot(at[0] - x, at[1] - y) >= reach + radius;
  return (
    [plan.sitter, plan.interviewer].every(({ at }) => isClear(at, room.person)) &&
    [...plan.cameras, ...plan.lights].every(({ at }) => isClear(at, room.stand / 2)) &&
    plan.microphones.every(({ standAt }) => !standAt || isClear(standAt, room.stand / 2)) &&
    furniture.every((box) => box.base >= overhead || distanceToBox(box, x, y) >= radius + room.box)
  );
}

/**
 * The free place nearest to the one that is wanted; the wanted one where nothing is free.
 *
 * @param radius - Of what is to stand there, metres.
 * @param suits - What else the place must be.
 */
export function freeSpot(
  plan: Plan,
  wanted: Corner,
  radius: number,
  suits: (at: Corner) => boolean = () => true,
): Spot {
  const xs = plan.room.outline.map(([x]) => x);
  const ys = plan.room.outline.map(([, y]) => y);
  let best: Spot = [onGrid(wanted[0]), onGrid(wanted[1])];
  let nearest = Number.POSITIVE_INFINITY;
  const step = 2 * grid;
  for (let x = onGrid(Math.min(...xs)); x <= Math.max(...xs); x += step)
    for (let y = onGrid(Math.min(...ys)); y <= Math.max(...ys); y += step) {
      const away = Math.hypot(x - wanted[0], y - wanted[1]);
      if (away >= nearest || !isFree(plan, [x, y], radius) || !suits([x, y])) continue;
      nearest = away;
      best = [onGrid(x), onGrid(y)];
    }
  return best;
}

/** A place so many metres from the sitter, at a heading of the drawing. */
const fromSitter = (plan: Plan, heading: number, metres: number): Spot => {
  const way = directionOf(heading);
  return [plan.sitter.at[0] + way[0] * metres, plan.sitter.at[1] + way[1] * metres];
};

/** The way from the sitter to the interviewer, and the side of it that the cameras are on: 1 is clockwise. */
function lineOf(plan: Plan): {
  readonly heading: number;
  readonly side: 1 | -1;
  readonly turns: readonly number[];
} {
  const to = (at: Corner): number => headingOf([at[0] - plan.sitter.at[0], at[1] - plan.sitter.at[1], 0]);
  const heading = to(plan.interviewer.at);
  const turns = plan.cameras.map(({ at }) => turnBetween(heading, to(at)));
  return { heading, side: (turns[0] ?? 1) < 0 ? -1 : 1, turns };
}

/** One more camera, on the side of the line that the others are on; null where letters, bodies or lenses are at an end. */
export function putInCamera(plan: Plan): PutIn | null {
  const id = [..."ABCDEFGH"].find((letter) => !plan.cameras.some((c) => c.id === letter));
  const [body, lens] = [plan.kit.bodies[0], plan.kit.lenses[0]];
  if (!id || !body || !lens) return null;
  const { heading, side, turns } = lineOf(plan);
  const farthest = Math.max(-8, ...turns.map((turn) => turn * side));
  const turn = Math.min(100, farthest + 30);
  const scene = sceneOf(plan);
  const others = turns.length > 0 ? (side === 1 ? "right" : "left") : null;
  const at = freeSpot(
    plan,
    fromSitter(plan, heading + side * turn, 2.2),
    room.stand / 2,
    ([x, y]) => others === null || sideOfLine(scene, [x, y, scene.sitter.head[2]]) === others,
  );
  const camera: Plan["cameras"][number] = {
    id,
    body: body.id,
    lens: lens.id,
    at,
    shot: "medium",
    frameRate: plan.cameras[0]?.frameRate ?? body.frameRates[0] ?? 25,
    shutterAngle: plan.cameras[0]?.shutterAngle ?? 180,
  };
  return { id, edit: { what: `camera ${id}`, plan: { cameras: [...plan.cameras, camera] } } };
}

/** One more light: the key, the fill, the hair light, whichever is wanted first; null where the kit has none. */
export function putInLight(plan: Plan): PutIn | null {
  const light = plan.kit.lights[0];
  if (!light) return null;
  const id = freeId(plan, "light");
  const { heading, side } = lineOf(plan);
  // The key lies beyond the interviewer for the cameras, the fill on their side, the hair light behind.
  const places = [
    { role: "key", turn: -side * 40, metres: 1.9, height: 2 },
    { role: "fill", turn: side * 75, metres: 2, height: 1.7 },
    { role: "hair", turn: 180 - side * 35, metres: 1.5, height: 2.2 },
    { role: "background", turn: 180 + side * 60, metres: 1.8, height: 1.2 },
  ] as const;
  const next = places.find(({ role }) => !plan.lights.some((one) => one.role === role)) ?? places[3];
  const placed: Plan["lights"][number] = {
    id,
    light: light.id,
    role: next.role,
    at: freeSpot(plan, fromSitter(plan, heading + next.turn, next.metres), room.stand / 2),
    height: Math.min(next.height, plan.room.height - 0.2),
    dim: 1,
    gelMired: 0,
    gelLossStops: 0,
  };
  return { id, edit: { what: `a ${next.role} light`, plan: { lights: [...plan.lights, placed] } } };
}

/** A boom over the sitter, its stand behind the shoulder away from the cameras; null where the kit has no microphone. */
export function putInBoom(plan: Plan): PutIn | null {
  const own = plan.kit.microphones.find(({ pattern }) => pattern !== "omni") ?? plan.kit.microphones[0];
  if (!own) return null;
  const id = freeId(plan, "boom");
  const { heading, side } = lineOf(plan);
  const standAt = freeSpot(plan, fromSitter(plan, heading - side * 115, 1.4), room.stand / 2);
  const boom: Plan["microphones"][number] = { id, microphone: own.id, role: "boom", standAt };
  return { id, edit: { what: "a boom", plan: { microphones: [...plan.microphones, boom] } } };
}

/** A slide under the last camera that has none, across its way of looking; null where there is nothing to ride it. */
export function putInSlide(plan: Plan): PutIn | null {
  const [slider] = plan.kit.sliders;
  const rider = plan.cameras.findLast((c) => !plan.slides.some((s) => s.camera === c.id));
  if (!slider || !rider) return null;
  const seen = sceneOf(plan).cameras.find((c) => c.id === rider.id);
  const height = seen?.point[2] ?? rider.height ?? 1.2;
  const across = directionOf((seen?.pan ?? 0) + 90);
  // As long as the rail and the room let it.
  let half = Math.min(slider.travel, 0.6) / 2;
  const end = (sign: 1 | -1): Spot => [
    Math.round((rider.at[0] + sign * half * across[0]) * 1000) / 1000,
    Math.round((rider.at[1] + sign * half * across[1]) * 1000) / 1000,
  ];
  const { outline } = plan.room;
  const fits = (at: Spot): boolean =>
    isInside(outline, at[0], at[1]) && distanceToOutline(outline, at[0], at[1]) > 0.1;
  while (half > 0.1 && !(fits(end(1)) && fits(end(-1)))) half -= 0.05;
  const id = freeId(plan, "slide");
  const slide: Plan["slides"][number] = {
    id,
    slider: slider.id,
    camera: rider.id,
    from: [...end(-1), height],
    to: [...end(1), height],
    seconds: 30,
    ease: "in-out",
    returns: true,
    hold: { point: "eyes" },
    head: "linear",
    tilts: false,
  };
  return {
    id,
    edit: { what: `a slide for camera ${rider.id}`, plan: { slides: [...plan.slides, slide] } },
  };
}

/** A box the size of a small table, behind the sitter where there is room. */
export function putInFurniture(plan: Plan): PutIn {
  const id = freeId(plan, "table");
  const size: [number, number, number] = [0.8, 0.5, 0.7];
  const { heading, side } = lineOf(plan);
  const piece: Plan["room"]["furniture"][number] = {
    id,
    name: id.replace("-", " "),
    at: freeSpot(plan, fromSitter(plan, heading + 180 + side * 30, 1.5), Math.hypot(size[0], size[1]) / 2),
    heading: 0,
    size,
    base: 0,
    glossy: false,
  };
  return {
    id,
    edit: {
      what: "a piece of furniture",
      plan: { room: { ...plan.room, furniture: [...plan.room.furniture, piece] } },
    },
  };
}

/** A window or a door in the middle of the longest free stretch of wall, no wider than it. */
export function putInOpening(plan: Plan, kind: "window" | "door"): PutIn {
  const { outline, openings, height } = plan.room;
  const stretches = outline.flatMap((corner, wall) => {
    const next = outline[(wall + 1) % outline.length]!;
    const metres = Math.hypot(next[0] - corner[0], next[1] - corner[1]);
    const cuts = openings.filter((o) => o.wall === wall).sort((a, b) => a.from - b.from);
    return [...cuts, { from: metres, width: 0 }].map((cut, i) => {
      const from = i === 0 ? 0 : cuts[i - 1]!.from + cuts[i - 1]!.width;
      return { wall, from, metres: Math.max(0, cut.from - from) };
    });
  });
  const widest = stretches.reduce((a, b) => (b.metres > a.metres ? b : a));
  const wanted =
    kind === "door" ? { width: 0.85, sill: 0, height: 2 } : { width: 1.2, sill: 0.9, height: 1.2 };
  const width = Math.max(0.05, Math.min(wanted.width, Math.round((widest.metres - 0.1) * 100) / 100));
  const sill = Math.min(wanted.sill, Math.max(0, height - 0.3));
  const id = freeId(plan, kind);
  return {
    id,
    edit: {
      what: `a ${kind}`,
      plan: {
        room: {
          ...plan.room,
          openings: [
            ...openings,
            {
              id,
              name: id.replace("-", " "),
              kind,
              wall: widest.wall,
              from: Math.round((widest.from + Math.max(0, widest.metres - width) / 2) * 100) / 100,
              width,
              sill,
              height: Math.round(Math.min(wanted.height, height - sill - 0.05) * 100) / 100,
              transmission: 0.8,
              covered: 0,
              open: false,
            },
          ],
        },
      },
    },
  };
}
