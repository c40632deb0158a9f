import type { Furniture, Plan } from "#documents/plan";
import { materialOf } from "#science/acoustics/materials";
import { distanceToBox } from "#science/geometry/box";
import { signedArea } from "#science/geometry/polygon";
import type { Vector3 } from "#science/geometry/vector3";
import { sunDirection } from "#science/sun/sun-position";
import type { Daylight } from "./light-places.ts";
import { type WayGrid, wayGridOf } from "./propose-ways.ts";
import type { SceneWall } from "./scene.ts";
import { wallsOf } from "./scene-walls.ts";
import { daylightAt, dayOf, hoursOf } from "./sun-daylight.ts";

/** What of a plan stays the same wherever people and things are put: worked out once for a whole search. */
export interface Ground {
  readonly plan: Plan;
  readonly walls: readonly SceneWall[];
  /** Furniture that stays: all but the chairs under the two. */
  readonly standing: readonly Furniture[];
  /** Ids of the chairs that go with the sitter and with the interviewer. */
  readonly chairs: { readonly sitter: ReadonlySet<string>; readonly interviewer: ReadonlySet<string> };
  readonly ways: WayGrid;
  /** How often each lens of the kit may be used: once, or as often as the plan uses it already. */
  readonly lensCopies: ReadonlyMap<string, number>;
  /** Daylight at the middle of the hours, as the plan's figures have it; null where the day is not known. */
  readonly daylight: Daylight | null;
  /** Towards the sun every ten minutes of the hours in which it can come in. */
  readonly suns: readonly Vector3[];
  readonly hasWindow: boolean;
  readonly hasGlass: boolean;
  /** Equivalent absorption of the empty room at 1 kHz, square metres. */
  readonly absorption: number;
}

/** Minutes between two looks at the sun. */
export const sunStep = 10;

/** A chair is a low piece, no broader than this, under its person; a sofa stays. Metres. */
const chairSize = 1.1;

function chairsUnder(plan: Plan, person: Plan["sitter"]): Set<string> {
  if (person.seatHeight === null) return new Set();
  const [x, y] = person.at;
  return new Set(
    plan.room.furniture
      .filter(
        (f) =>
          f.base < person.seatHeight! &&
          f.base + f.size[2] < 1.3 &&
          Math.max(f.size[0], f.size[1]) <= chairSize &&
          distanceToBox(f, x, y) === 0,
      )
      .map((f) => f.id),
  );
}

/** Everything about a plan that a search needs at every step and that no step changes. */
export function groundOf(plan: Plan): Ground {
  const walls = wallsOf(plan.room);
  const chairs = {
    sitter: chairsUnder(plan, plan.sitter),
    interviewer: chairsUnder(plan, plan.interviewer),
  };
  const standing = plan.room.furniture.filter(
    (f) => !chairs.sitter.has(f.id) && !chairs.interviewer.has(f.id),
  );
  const lensCopies = new Map<string, number>();
  for (const { lens } of plan.cameras) lensCopies.set(lens, (lensCopies.get(lens) ?? 0) + 1);
  const openings = walls.flatMap((wall) => wall.openings);
  return {
    plan,
    walls,
    standing,
    chairs,
    ways: wayGridOf(plan, walls, standing),
    lensCopies,
    ...sunOf(plan, walls),
    hasWindow: openings.some((o) => o.said.kind === "window"),
    hasGlass:
      plan.sitter.glasses === true ||
      openings.some((o) => o.said.kind === "window" && o.said.covered < 1) ||
      plan.room.furniture.some((f) => f.glossy),
    absorption: absorptionOf(plan, walls),
  };
}

function sunOf(plan: Plan, walls: readonly SceneWall[]): { daylight: Daylight | null; suns: Vector3[] } {
  const day = dayOf(plan);
  const hours = hoursOf(plan);
  if (!day || !hours) return { daylight: null, suns: [] };
  const lit = walls.filter((wall) => wall.openings.some((o) => o.passes > 0));
  const suns: Vector3[] = [];
  if (plan.when?.sky !== "overcast")
    for (let minute = hours.from; minute <= hours.to; minute += sunStep) {
      const sun = day.at(minute);
      if (sun.altitude <= 0) continue;
      const toSun = sunDirection(sun, plan.room.bearing);
      if (lit.some((w) => toSun[0] * w.inward[0] + toSun[1] * w.inward[1] < 0)) suns.push(toSun);
    }
  return { daylight: daylightAt(plan, day, Math.round((hours.from + hours.to) / 2)), suns };
}

/** Band of 1 kHz in the published tables. */
const oneKilohertz = 3;

function absorptionOf(plan: Plan, walls: readonly SceneWall[]): number {
  const { materials, height } = plan.room;
  const alpha = (id: string): number => materialOf(id)?.absorbs[oneKilohertz] ?? 0.1;
  const floor = Math.abs(signedArea(plan.room.outline));
  let sum = floor * (alpha(materials.floor) + alpha(materials.ceiling));
  for (const wall of walls) sum += wall.metres * height * alpha(wall.material);
  return sum;
}
