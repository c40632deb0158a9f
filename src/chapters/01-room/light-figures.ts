import type { Plan } from "#documents/plan";
import type { LightAt, LightFigures, LightSource } from "#documents/room-light-result";
import { distanceBetween, minus, unit } from "#science/geometry/vector3";
import { luxPerFootcandle, stopsBetween } from "#science/light/footcandle";
import { gelFor, miredShift } from "#science/light/mired";
import { mixedWhite } from "#science/light/mixed-light";
import { polygonFactor } from "#science/light/polygon-light";
import { shadowEdgeMetres, softnessDegrees } from "#science/light/rectangle-lamp";
import { clockOfMinutes } from "#science/sun/local-time";
import { keyOf } from "./camera-key.ts";
import { exposureOf } from "./light-exposure.ts";
import {
  backgroundOf,
  bounceOf,
  type Daylight,
  type LitPlace,
  lampLux,
  placesOf,
  sunLux,
  windowLux,
} from "./light-places.ts";
import type { Scene } from "./scene.ts";
import { isClear } from "./scene-rays.ts";
import { daylightAt, dayOf, hoursOf } from "./sun-daylight.ts";

/** From the tip of the nose to the cheek that its shadow falls on, metres. Common practice. */
const noseToCheek = 0.03;
/** Differences under this are not seen, mired. Common practice: half of an eighth gel. */
const unseenMired = 9;

interface Part {
  readonly id: string;
  readonly lux: number;
  readonly kelvin: number;
}

/** Everything that falls on a place. */
function partsAt(scene: Scene, place: LitPlace, day: Daylight | null, bounce: readonly Part[]): Part[] {
  const parts: Part[] = [];
  for (const light of scene.lights)
    parts.push({ id: light.id, lux: lampLux(scene, light, place), kelvin: light.kelvin });
  if (day) {
    for (const wall of scene.walls)
      for (const opening of wall.openings)
        if (opening.passes > 0)
          parts.push({
            id: opening.said.id,
            lux: windowLux(scene, opening, place, day),
            kelvin: day.outside.skyKelvin,
          });
    const sun = sunLux(scene, place, day);
    if (sun) parts.push({ id: "sun", lux: sun.lux, kelvin: day.outside.sunKelvin });
  }
  parts.push(...bounce);
  return parts.filter(({ lux }) => lux > 0);
}

function lightAt(parts: readonly Part[]): LightAt {
  const lux = parts.reduce((sum, part) => sum + part.lux, 0);
  const from = new Map<string, number>();
  for (const part of parts) from.set(part.id, (from.get(part.id) ?? 0) + part.lux);
  return {
    lux,
    footcandles: lux / luxPerFootcandle,
    kelvin: mixedWhite(parts)?.kelvin ?? null,
    from: [...from].map(([id, lux]) => ({ id, lux })).sort((a, b) => b.lux - a.lux),
  };
}

/**
 * Light of a plan: what falls where, its ratios, and what each camera makes of it.
 *
 * @param scene - Of the same plan.
 * @param atMinute - Minute of the day for which daylight is counted; the middle of the hours where it is not said.
 */
export function lightFigures(plan: Plan, scene: Scene, atMinute?: number): LightFigures {
  const sunDay = dayOf(plan);
  const hours = hoursOf(plan);
  const minute = atMinute ?? (hours ? Math.round((hours.from + hours.to) / 2) : 0);
  const day = sunDay ? daylightAt(plan, sunDay, minute) : null;
  const bounce = bounceOf(scene, day).map((part): Part => ({ id: "bounce", ...part }));
  const places = placesOf(scene);
  const at = (place: LitPlace): LightAt => lightAt(partsAt(scene, place, day, bounce));
  const face = at(places.face);
  const [left, right] = [at(places.left), at(places.right)];
  const leftIsLit = left.lux >= right.lux;
  const [lit, shadow] = leftIsLit ? [left, right] : [right, left];
  const hair = at(places.hair);
  const behind = backgroundOf(scene);
  const background = behind
    ? { ...at(behind), what: behind.what, at: [...behind.at] as [number, number, number] }
    : null;
  const keyToFillStops = shadow.lux > 0.01 ? stopsBetween(shadow.lux, lit.lux) : null;
  const rippling = scene.lights.filter((l) => l.light.flicker !== "none").map((l) => l.id);
  const ripplingLux = lit.from.reduce((sum, { id, lux }) => sum + (rippling.includes(id) ? lux : 0), 0);
  return {
    at: day ? clockOfMinutes(minute) : null,
    face,
    lit: { ...lit, side: leftIsLit ? "left" : "right" },
    shadow: { ...shadow, side: leftIsLit ? "right" : "left" },
    hair,
    background,
    keyToFillStops,
    wishedKeyToFillStops: plan.wishes.keyToFill,
    subjectToBackgroundStops:
      background && background.lux > 0.01 && lit.lux > 0.01 ? stopsBetween(background.lux, lit.lux) : null,
    hairToFaceStops: hair.lux > 0.01 && lit.lux > 0.01 ? stopsBetween(lit.lux, hair.lux) : null,
    sources: sourcesOf(scene, day, bounce),
    cameras: scene.cameras.map((camera) =>
      exposureOf(scene, camera, lit.lux, keyToFillStops ?? 0, lit.lux > 0 ? ripplingLux / lit.lux : 0),
    ),
    daylight: sunDay && hours ? daylightThrough(plan, scene, hours) : [],
  };
}

/** Every source as the face has it, the brightest first. */
function sourcesOf(scene: Scene, day: Daylight | null, bounce: readonly Part[]): LightSource[] {
  const { sitter } = scene;
  const face = sitter.eyes;
  const sources: LightSource[] = [];
  const key = keyOf(scene);
  const edge = (softness: number): number => 1000 * shadowEdgeMetres(softness, noseToCheek);
  for (const light of scene.lights) {
    const normal = unit(minus(light.point, face));
    const softness = softnessDegrees(light, face);
    sources.push({
      id: light.id,
      kind: "light",
      metres: distanceBetween(light.point, face),
      lux: lampLux(scene, light, { at: face, normal }),
      kelvin: light.kelvin,
      softness,
      shadowEdgeMm: edge(softness),
      // A hair light is meant for the crown.
      blocked:
        light.luxAtOneMetre > 0 &&
        !isClear(scene, light.point, light.said.role === "hair" ? sitter.crown : face),
      miredOff: null,
      gel: null,
    });
  }
  if (day) {
    for (const wall of scene.walls)
      for (const opening of wall.openings) {
        if (opening.passes <= 0) continue;
        const normal = unit(minus(opening.middle, face));
        const place = { at: face, normal };
        // The solid angle's own breadth: a factor of sin² of half of it, for a round window.
        const factor = polygonFactor(opening.corners, face, normal);
        const softness = (2 * Math.asin(Math.sqrt(Math.min(1, factor))) * 180) / Math.PI;
        sources.push({
          id: opening.said.id,
          kind: "window",
          metres: distanceBetween(opening.middle, face),
          lux: windowLux(scene, opening, place, day),
          kelvin: day.outside.skyKelvin,
          softness,
          shadowEdgeMm: edge(Math.min(170, softness)),
          blocked: false,
          miredOff: null,
          gel: null,
        });
      }
    const sun = day.toSun && sunLux(scene, { at: face, normal: day.toSun }, day);
    if (sun)
      sources.push({
        id: "sun",
        kind: "sun",
        metres: null,
        lux: sun.lux,
        kelvin: day.outside.sunKelvin,
        softness: 0.53,
        shadowEdgeMm: edge(0.53),
        blocked: false,
        miredOff: null,
        gel: null,
      });
  }
  const bounced = bounce.reduce((sum, part) => sum + part.lux, 0);
  sources.push({
    id: "bounce",
    kind: "bounce",
    metres: null,
    lux: bounced,
    kelvin: mixedWhite(bounce)?.kelvin ?? null,
    softness: null,
    shadowEdgeMm: null,
    blocked: false,
    miredOff: null,
    gel: null,
  });
  sources.sort((a, b) => b.lux - a.lux);
  // The key is what the white balance is set by; without a lamp the brightest source is.
  const lamp = scene.lights.find((l) => l.id === key?.id);
  const balance = lamp?.kelvin ?? sources.find((s) => s.kelvin !== null)?.kelvin ?? null;
  return sources.map((source) => {
    if (balance === null || source.kelvin === null || source.kind === "bounce" || source.lux <= 0)
      return source;
    const miredOff = miredShift(balance, source.kelvin);
    return { ...source, miredOff, gel: Math.abs(miredOff) > unseenMired ? gelFor(-miredOff) : null };
  });
}

/** Daylight on the face through the hours, at each half hour. */
function daylightThrough(
  plan: Plan,
  scene: Scene,
  hours: { from: number; to: number },
): LightFigures["daylight"] {
  const sunDay = dayOf(plan)!;
  const { face } = placesOf(scene);
  const open = scene.walls.flatMap((wall) => wall.openings.filter((o) => o.passes > 0));
  if (open.length === 0) return [];
  const rows: LightFigures["daylight"] = [];
  for (let minute = hours.from; minute <= hours.to; minute += 30) {
    const day = daylightAt(plan, sunDay, minute);
    let lux = sunLux(scene, face, day)?.lux ?? 0;
    for (const opening of open) lux += windowLux(scene, opening, face, day);
    rows.push({ at: clockOfMinutes(minute), lux });
  }
  return rows;
}
