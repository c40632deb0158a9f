import { headingOf, minus, tiltOf } from "#science/geometry/vector3";
import { rightStops } from "#science/light/exposure";
import { stopWords } from "#science/optics/stops";
import { liking, likingHigh, likingLow } from "#science/search/liking";
import { openSentence } from "#science/units/number-words";
import { listWords, stopsWords } from "./figure-words.ts";
import { openingName } from "./geometry-things.ts";
import { backgroundOf, type LitPlace, lampLux, placesOf } from "./light-places.ts";
import { awayFrom, keyToFillOf, type Look } from "./propose-look.ts";
import { exposureFor } from "./propose-settings.ts";
import { degrees, hasCameras, mean, type SoftRules } from "./propose-soft-rule.ts";
import type { Scene } from "./scene.ts";

const hasLight = (look: Look): boolean => look.scene.lights.length > 0 || look.ground.hasWindow;
const hasRole = (look: Look, ...roles: string[]): boolean =>
  look.scene.lights.some((l) => roles.includes(l.said.role));

/** What all lamps together give a place, lux. */
const lampsLux = (scene: Scene, place: LitPlace): number =>
  scene.lights.reduce((sum, light) => sum + lampLux(scene, light, place), 0);

/** How far the wall behind the sitter is under the better lit cheek by lamps alone, stops; null: no lamp reaches one of the two. */
function backgroundStops({ scene }: Look): number | null {
  const behind = backgroundOf(scene);
  if (!behind) return null;
  const { left, right } = placesOf(scene);
  const back = lampsLux(scene, behind);
  const face = Math.max(lampsLux(scene, left), lampsLux(scene, right));
  return back > 0.01 && face > 0.01 ? Math.log2(face / back) : null;
}

/** Each hair light: round from the gaze, away from the cameras above 0; up from the crown; stops over the lit cheek. */
function hairLights({ scene, side }: Look): { away: number; up: number; stops: number }[] {
  const hair = scene.lights.filter((l) => l.said.role === "hair");
  if (hair.length === 0) return [];
  const { left, right, hair: top } = placesOf(scene);
  const face = Math.max(1, lampsLux(scene, left), lampsLux(scene, right));
  const gaze = headingOf(scene.sitter.gaze);
  return hair.map((light) => ({
    away: awayFrom({ side, gaze }, minus(light.point, scene.sitter.head)),
    up: tiltOf(minus(light.point, scene.sitter.crown)),
    stops: Math.log2(Math.max(0.01, lampLux(scene, light, top)) / face),
  }));
}

/** Each camera's exposure: stops off, and how many stops more sensitive than its least it has to be. */
function exposures(look: Look): { off: number; sensitive: number; says: string }[] {
  const { lit } = look.cheeks();
  return look.cameras.map(({ camera }) => {
    const { off, iso, nd } = exposureFor(camera, lit);
    const set = `f/${stopWords(camera.stop)} and ISO ${iso}${nd > 0 ? ` with ${stopsWords(nd)} of ND` : ""}`;
    const is =
      Math.abs(off) <= rightStops
        ? "is exposed right"
        : `is ${stopsWords(off)} too ${off > 0 ? "bright" : "dark"}`;
    return {
      off,
      sensitive: Math.log2(iso / Math.min(iso, ...camera.body.isos)),
      says: `camera ${camera.id} ${is} at ${set}`,
    };
  });
}

/** What is wished of the light on the face, the hair and the wall behind, and of what the cameras make of it. */
export const lightRules = {
  "key-side": {
    name: "Key from the side away from the cameras",
    asked: hasLight,
    score: (look) => (look.key ? liking(look.key.away, 5, 38, 55, 110) : 0),
    says: (look) => {
      const { key } = look;
      if (!key) return "Nothing lights the face.";
      const what = key.isLamp ? "The key" : openSentence(openingName(look.scene, key.id));
      return key.away > 0
        ? `${what} comes from ${degrees(key.away)} on the far side of the interviewer.`
        : `${what} comes from ${degrees(-key.away)} on the cameras' own side.`;
    },
  },
  "shadow-side": {
    name: "Shadow side to the cameras, interviewer between key and nearest camera",
    asked: (look) => hasLight(look) && hasCameras(look),
    score: (look) =>
      mean(look.cameras.map((c) => likingHigh(Math.sign(look.side * c.turn) * (look.key?.away ?? 0), 6, 14))),
    says: (look) =>
      (look.key?.away ?? 0) >= 12
        ? "The cameras see the shadow side of the face, and the interviewer sits between the key and the nearest lens."
        : (look.key?.away ?? 0) > -12
          ? "The key is frontal: both cheeks are lit alike."
          : "The cameras see the lit side of the face.",
  },
  "key-height": {
    name: "Height of the key",
    asked: (look) => hasRole(look, "key", "fill", "other"),
    score: (look) => (look.key?.isLamp ? liking(look.key.up, -5, 20, 42, 65) : 0),
    says: (look) =>
      look.key?.isLamp
        ? `The key stands ${degrees(look.key.up)} over the eyes.`
        : "No lamp is turned to the face.",
  },
  "key-to-fill": {
    name: "Key to fill as wished",
    asked: hasLight,
    isDear: true,
    score: (look) =>
      likingLow(
        Math.abs((keyToFillOf(look) ?? Number.POSITIVE_INFINITY) - look.scene.plan.wishes.keyToFill),
        0.1,
        2,
      ),
    says: (look) =>
      `The darker cheek is ${(keyToFillOf(look) ?? 0).toFixed(1)} stops under the lit one; ${look.scene.plan.wishes.keyToFill.toFixed(1)} were wished for.`,
  },
  exposure: {
    name: "Light enough, and not too much, for every camera",
    asked: (look) => hasLight(look) && hasCameras(look),
    isDear: true,
    score: (look) =>
      mean(
        exposures(look).map(
          ({ off, sensitive }) =>
            liking(off, -2, -rightStops, rightStops, 2) * (0.4 + 0.6 * likingLow(sensitive, 3, 6)),
        ),
      ),
    says: (look) => `${openSentence(listWords(exposures(look).map((e) => e.says)))}.`,
  },
  "hair-light": {
    name: "Hair light from behind, opposite the key",
    asked: (look) => hasRole(look, "hair"),
    isDear: true,
    score: (look) =>
      mean(
        hairLights(look).map(
          ({ away, up, stops }) =>
            liking(Math.abs(away), 100, 130, 180, 181) *
            liking(up, 0, 20, 50, 75) *
            (0.3 + 0.7 * liking(stops, -3, -0.7, 0.5, 2.5)) *
            (away < 0 ? 1 : 0.85),
        ),
      ),
    says: (look) =>
      `The hair light stands ${listWords(hairLights(look).map(({ away, up, stops }) => `${degrees(Math.abs(away))} round from the gaze and ${degrees(up)} up, ${Math.abs(stops).toFixed(1)} stops ${stops < 0 ? "under" : "over"} the face`))}.`,
  },
  "background-light": {
    name: "Background lit a little under the face",
    asked: (look) => hasRole(look, "background"),
    isDear: true,
    score: (look) => {
      const stops = backgroundStops(look);
      return stops === null ? 0 : liking(stops, -0.7, 0.8, 2.5, 5);
    },
    says: (look) => {
      const stops = backgroundStops(look);
      return stops === null
        ? "No lamp reaches the wall behind the sitter."
        : `By lamps alone the wall behind is ${Math.abs(stops).toFixed(1)} stops ${stops >= 0 ? "under" : "over"} the face.`;
    },
  },
} satisfies SoftRules;
