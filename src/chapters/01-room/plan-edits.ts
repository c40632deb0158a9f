import type { Plan } from "#documents/plan";
import {
  along,
  directionOf,
  distanceBetween,
  headingOf,
  minus,
  turnBetween,
  type Vector3,
} from "#science/geometry/vector3";
import { sceneOf } from "./scene.ts";

type Spot = readonly [number, number];

/** Some parts of the plan as they are to be, and what was done, in a few words. */
export interface PlanEdit {
  readonly what: string;
  readonly plan: Partial<Plan>;
}

/** Lengths in a plan are kept to the millimetre, angles to a tenth of a degree. */
const mm = (metres: number): number => Math.round(metres * 1000) / 1000;
const tenth = (degrees: number): number => Math.round(degrees * 10) / 10;
const spot = (at: Spot): [number, number] => [mm(at[0]), mm(at[1])];
const point = (at: Vector3): [number, number, number] => [mm(at[0]), mm(at[1]), mm(at[2])];
const around = (degrees: number): number => tenth(((degrees % 360) + 360) % 360);

/** The nearest place on a grid. */
export const snapped = (at: Spot, gridMetres: number): [number, number] => [
  mm(Math.round(at[0] / gridMetres) * gridMetres),
  mm(Math.round(at[1] / gridMetres) * gridMetres),
];

/** Where a thing of a plan stands on the floor; null where the plan has no such thing, or it has no place of its own. */
export function placeOf(plan: Plan, id: string): [number, number] | null {
  if (id === "sitter") return [...plan.sitter.at];
  if (id === "interviewer") return [...plan.interviewer.at];
  const camera = plan.cameras.find((c) => c.id === id);
  if (camera) return [...camera.at];
  const other = [...plan.lights, ...plan.room.furniture].find((one) => one.id === id);
  if (other) return [...other.at];
  const microphone = plan.microphones.find((m) => m.id === id);
  if (microphone)
    return microphone.standAt
      ? [...microphone.standAt]
      : microphone.at
        ? [microphone.at[0], microphone.at[1]]
        : null;
  const slide = plan.slides.find((s) => s.id === id);
  return slide ? [slide.to[0], slide.to[1]] : null;
}

/**
 * Moves a thing to a place on the floor. What hangs on it goes with it: the boom with the sitter's mouth, the rail with
 * its camera; the far end of a rail swings about its near end.
 *
 * @returns null where the plan has no such thing.
 */
export function movedTo(plan: Plan, id: string, to: Spot): PlanEdit | null {
  const from = placeOf(plan, id);
  if (!from) return null;
  const by: Spot = [to[0] - from[0], to[1] - from[1]];
  const shift = (at: readonly [number, number, number]): [number, number, number] =>
    point([at[0] + by[0], at[1] + by[1], at[2]]);
  const at = spot(to);
  if (id === "sitter") {
    const microphones = plan.microphones.map((m) =>
      m.role === "boom" && m.at ? { ...m, at: shift(m.at) } : m,
    );
    return {
      what: "the sitter's place",
      plan: {
        sitter: { ...plan.sitter, at },
        ...(plan.microphones.some((m) => m.role === "boom" && m.at) ? { microphones } : {}),
      },
    };
  }
  if (id === "interviewer")
    return { what: "the interviewer's place", plan: { interviewer: { ...plan.interviewer, at } } };
  if (plan.cameras.some((c) => c.id === id)) {
    const rides = plan.slides.some((s) => s.camera === id);
    const cameras = plan.cameras.map((c) => (c.id === id ? { ...c, at } : c));
    const slides = plan.slides.map((s) =>
      s.camera === id ? { ...s, from: shift(s.from), to: shift(s.to) } : s,
    );
    return { what: `camera ${id}'s place`, plan: { cameras, ...(rides ? { slides } : {}) } };
  }
  if (plan.lights.some((l) => l.id === id))
    return {
      what: `the place of ${lightName(plan, id)}`,
      plan: { lights: plan.lights.map((l) => (l.id === id ? { ...l, at } : l)) },
    };
  if (plan.room.furniture.some((f) => f.id === id)) {
    const furniture = plan.room.furniture.map((f) => (f.id === id ? { ...f, at } : f));
    const name = furniture.find((f) => f.id === id)!.name;
    return { what: `the place of ${name}`, plan: { room: { ...plan.room, furniture } } };
  }
  const microphone = plan.microphones.find((m) => m.id === id);
  if (microphone) {
    const moved = microphone.standAt ? { standAt: at } : { at: shift(microphone.at!) };
    return {
      what: `the place of ${microphone.role === "boom" ? "the boom" : id}`,
      plan: { microphones: plan.microphones.map((m) => (m.id === id ? { ...m, ...moved } : m)) },
    };
  }
  const slides = plan.slides.map((s) => (s.id === id ? { ...s, to: point([to[0], to[1], s.to[2]]) } : s));
  return { what: "the slide's far end", plan: { slides } };
}

const lightName = (plan: Plan, id: string): string => {
  const role = plan.lights.find((l) => l.id === id)?.role;
  return role && role !== "other" ? `the ${role === "hair" ? "back" : role} light` : `light ${id}`;
};

/** Turns a thing about its upright, degrees clockwise. A camera or a light that was aimed by itself is then aimed by hand. */
export function turnedBy(plan: Plan, id: string, degrees: number): PlanEdit | null {
  if (id === "sitter" || id === "interviewer") {
    const person = { ...plan[id], heading: around(plan[id].heading + degrees) };
    return {
      what: `the ${id}'s heading`,
      plan: id === "sitter" ? { sitter: person } : { interviewer: person },
    };
  }
  const scene = sceneOf(plan);
  const camera = scene.cameras.find((c) => c.id === id);
  if (camera) {
    const pan = tenth(turnBetween(0, camera.pan + degrees));
    return {
      what: `camera ${id}'s pan`,
      plan: {
        cameras: plan.cameras.map((c) =>
          c.id === id ? { ...c, pan, tilt: c.tilt ?? tenth(camera.tilt) } : c,
        ),
      },
    };
  }
  const light = scene.lights.find((l) => l.id === id);
  if (light) {
    const away = minus(light.aim, light.point);
    const flat = Math.hypot(away[0], away[1]);
    const turned = along(light.point, directionOf(headingOf(away) + degrees), flat);
    const aim = point([turned[0], turned[1], light.aim[2]]);
    return {
      what: `the aim of ${lightName(plan, id)}`,
      plan: { lights: plan.lights.map((l) => (l.id === id ? { ...l, aim } : l)) },
    };
  }
  const piece = plan.room.furniture.find((f) => f.id === id);
  if (piece) {
    const furniture = plan.room.furniture.map((f) =>
      f.id === id ? { ...f, heading: around(f.heading + degrees) } : f,
    );
    return { what: `the turn of ${piece.name}`, plan: { room: { ...plan.room, furniture } } };
  }
  const slide = plan.slides.find((s) => s.id === id);
  if (!slide) return null;
  const length = distanceBetween([slide.from[0], slide.from[1], 0], [slide.to[0], slide.to[1], 0]);
  const heading = headingOf(minus(slide.to, slide.from)) + degrees;
  const end = along(slide.from, directionOf(heading), length);
  return movedTo(plan, id, [end[0], end[1]]);
}

/** Takes a thing out of the plan, with what hangs on it. */
export function without(plan: Plan, id: string): PlanEdit | null {
  if (plan.cameras.some((c) => c.id === id))
    return {
      what: `taking out camera ${id}`,
      plan: {
        cameras: plan.cameras.filter((c) => c.id !== id),
        slides: plan.slides.filter((s) => s.camera !== id),
      },
    };
  if (plan.lights.some((l) => l.id === id))
    return {
      what: `taking out ${lightName(plan, id)}`,
      plan: { lights: plan.lights.filter((l) => l.id !== id) },
    };
  if (plan.microphones.some((m) => m.id === id))
    return { what: `taking out ${id}`, plan: { microphones: plan.microphones.filter((m) => m.id !== id) } };
  if (plan.slides.some((s) => s.id === id))
    return { what: "taking out the slide", plan: { slides: plan.slides.filter((s) => s.id !== id) } };
  const { furniture, openings } = plan.room;
  const piece = furniture.find((f) => f.id === id) ?? openings.find((o) => o.id === id);
  if (!piece) return null;
  return {
    what: `taking out ${piece.name ?? id}`,
    plan: {
      room: {
        ...plan.room,
        furniture: furniture.filter((f) => f.id !== id),
        openings: openings.filter((o) => o.id !== id),
      },
    },
  };
}

/** An id that nothing in the plan has yet: the word, or the word with a number. */
export function freeId(plan: Plan, word: string): string {
  const taken = new Set([
    "sitter",
    "interviewer",
    ...[
      plan.cameras,
      plan.lights,
      plan.microphones,
      plan.slides,
      plan.room.furniture,
      plan.room.openings,
    ].flatMap((list) => list.map(({ id }) => id)),
  ]);
  let free = word;
  for (let n = 2; taken.has(free); n++) free = `${word}-${n}`;
  return free;
}
