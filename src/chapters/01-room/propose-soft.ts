import type { StagingRule } from "#documents/room-proposals";
import type { SeenThing } from "#documents/room-result";
import { directivityIndex } from "#science/acoustics/microphone-pattern";
import { criticalDistance } from "#science/acoustics/reverberation";
import { talkerDirectivity } from "#science/acoustics/speech-level";
import { distanceToOutline } from "#science/geometry/polygon";
import {
  distanceBetween,
  headingOf,
  minus,
  tiltOf,
  turnBetween,
  type Vector3,
} from "#science/geometry/vector3";
import { shotFrame } from "#science/optics/shot-size";
import { stopWords } from "#science/optics/stops";
import { liking, likingHigh, likingLow } from "#science/search/liking";
import { lengthWords } from "#science/units/length-words";
import { openSentence } from "#science/units/number-words";
import { reflectionsOnTheWay } from "./camera-poses.ts";
import { sightsOf } from "./geometry-reach.ts";

import { boomShadows } from "./geometry-shadows.ts";
import { openingName } from "./geometry-things.ts";
import { backgroundOf, lampLux, placesOf } from "./light-places.ts";
import { framed, keyToFillOf, type Look, offMouth, sunMinutes } from "./propose-look.ts";
import { exposureFor } from "./propose-settings.ts";

/**
 * A wish of the craft or of the person; the person's weighs more. The best figures and the weights are common practice: sitter off the walls, window or key
 * on the side away from the cameras, interviewer between key and nearest camera, about 30 degrees and two steps of lens
 * between A and B, 24 with 50 and 35 with 85, f/1.8 to f/2 for a sitter who stays put, boom an arm's length from the mouth.
 */
interface SoftRule {
  readonly code: string;
  readonly name: string;
  readonly weight: number;
  /** Whether the plan has anything that it could be asked of; the same for every staging of a plan. */
  asked(look: Look): boolean;
  /** 0 to 1. */
  score(look: Look): number;
  /** Costs much to work out: asked last, and often not at all. */
  readonly isDear?: true;
  says(look: Look): string;
}

const mean = (values: readonly number[]): number =>
  values.reduce((a, b) => a + b, 0) / Math.max(1, values.length);
const always = (): boolean => true;
const hasCameras = (look: Look): boolean => look.cameras.length > 0;
const hasPair = (look: Look): boolean => look.pair !== null;
const hasLight = (look: Look): boolean => look.scene.lights.length > 0 || look.ground.hasWindow;
const hasBoom = (look: Look): boolean => booms(look).length > 0;
const hasRole = (look: Look, ...roles: string[]): boolean =>
  look.scene.lights.some((l) => roles.includes(l.said.role));
const degrees = (value: number): string => `${Math.round(value)}°`;
const words = (look: Look, metres: number): string => lengthWords(metres, look.scene.plan.units);
const listed = (items: readonly string[]): string =>
  items.length < 2 ? (items[0] ?? "") : `${items.slice(0, -1).join(", ")} and ${items.at(-1)!}`;

const seenOf = (
  look: Look,
  kinds: (thing: { id: string; kind: SeenThing["kind"] }) => boolean,
): SeenThing[][] =>
  framed(
    look,
    look.things().filter((t) => kinds(t)),
  );

const booms = (look: Look) => look.scene.microphones.filter((m) => m.said.role === "boom");
const mains = (look: Look) => look.scene.lights.filter((l) => l.light.batteryWattHours === undefined);
const toWall = (look: Look, at: Vector3): number => distanceToOutline(look.scene.room.outline, at[0], at[1]);

/** Level of the mouth's own sound over the room's at a microphone, decibels. */
function directOverRoom(look: Look, boom: ReturnType<typeof booms>[number]): number {
  const metres = Math.max(0.05, distanceBetween(boom.point, boom.mouth));
  const pattern = boom.microphone?.pattern ?? "omni";
  const critical = criticalDistance(talkerDirectivity, look.ground.absorption);
  return 20 * Math.log10(critical / metres) + directivityIndex(pattern);
}

/** Full marks only for nothing of it at all; less the more there is. */
const noneOf = (amount: number, zero: number): number => (amount > 0 ? 0.9 * likingLow(amount, 0, zero) : 1);

function windowArea(look: Look): number {
  const shown = look.scene.plan.wishes.show;
  const uncovered = new Set(
    look.scene.openings
      .filter((o) => o.kind === "window" && o.covered < 1 && !shown.includes(o.id))
      .map((o) => o.id),
  );
  if (uncovered.size === 0) return 0;
  const frames = seenOf(look, (t) => uncovered.has(t.id));
  return Math.max(0, ...frames.map((seen) => seen.reduce((sum, t) => sum + t.area, 0)));
}

/** Each monitor: turn from the sitter's face, degrees; 180 where it cannot be read. */
const screenTurns = (look: Look): { id: string; turn: number }[] =>
  sightsOf(look.scene).map(({ id, degrees: turn, faces, clear }) => ({
    id,
    turn: faces && clear ? turn : 180,
  }));

const backgroundStops = (look: Look): number | null => {
  const behind = backgroundOf(look.scene);
  if (!behind) return null;
  const { left, right } = placesOf(look.scene);
  let [back, l, r] = [0, 0, 0];
  for (const light of look.scene.lights) {
    back += lampLux(look.scene, light, behind);
    l += lampLux(look.scene, light, left);
    r += lampLux(look.scene, light, right);
  }
  return back > 0.01 && Math.max(l, r) > 0.01 ? Math.log2(Math.max(l, r) / back) : null;
};

/** Each hair light: round from the gaze, away from the cameras above 0; up from the crown; stops over the lit cheek. */
function hairLights(look: Look): { away: number; up: number; stops: number }[] {
  const { scene } = look;
  const hair = scene.lights.filter((l) => l.said.role === "hair");
  if (hair.length === 0) return [];
  const { left, right, hair: top } = placesOf(scene);
  const cheek = (place: typeof left): number =>
    scene.lights.reduce((sum, l) => sum + lampLux(scene, l, place), 0);
  const face = Math.max(1, cheek(left), cheek(right));
  return hair.map((light) => {
    const way = minus(light.point, scene.sitter.head);
    return {
      away: -look.side * turnBetween(headingOf(scene.sitter.gaze), headingOf(way)),
      up: tiltOf(minus(light.point, scene.sitter.crown)),
      stops: Math.log2(Math.max(0.01, lampLux(scene, light, top)) / face),
    };
  });
}

/** How far a lens stands over the eyes, degrees as seen from them. */
const downOn = (look: Look, camera: Look["cameras"][number]["camera"]): number =>
  tiltOf(minus(camera.point, look.scene.sitter.eyes));

/** Each camera's exposure: stops off, and how many stops more sensitive than its least it has to be. */
function exposures(look: Look): { off: number; sensitive: number; says: string }[] {
  const { lit } = look.cheeks();
  return look.cameras.map(({ camera }) => {
    const { off, iso, nd } = exposureFor(camera, lit);
    const set = `f/${stopWords(camera.stop)} and ISO ${iso}${nd > 0 ? ` with ${stopsInWords(nd)} of ND` : ""}`;
    const is =
      Math.abs(off) <= 0.4
        ? "is exposed right"
        : `is ${stopsInWords(Math.abs(off))} too ${off > 0 ? "bright" : "dark"}`;
    return {
      off,
      sensitive: Math.log2(iso / Math.min(iso, ...camera.body.isos)),
      says: `camera ${camera.id} ${is} at ${set}`,
    };
  });
}

const stopsInWords = (stops: number): string => {
  const shown = stops.toFixed(1).replace(/\.0$/, "");
  return `${shown} ${shown === "1" ? "stop" : "stops"}`;
};

const headroomsOff = (look: Look): number[] =>
  look.cameras.map(({ camera, crown }) => {
    const { stature, seatHeight } = look.scene.sitter;
    return Math.abs(crown - shotFrame(camera.said.shot, stature, seatHeight).headroom);
  });

const first = (look: Look) => look.cameras[0];
const others = (look: Look) => look.cameras.slice(1);

/** The second camera's lens is the longer one where its shot is the tighter, and the other way round. */
function isTighterLonger(look: Look): boolean {
  const [a, b] = look.cameras;
  if (!a || !b || !look.pair) return true;
  const tall = (c: typeof a): number => 2 * c.camera.sitterDepth * c.camera.tanHalfHeight;
  const [equalA, equalB] = look.pair.equalFocalMm;
  return (equalA - equalB) * (tall(a) - tall(b)) <= 0;
}

const softRules: readonly SoftRule[] = [
  {
    code: "eyeline-a",
    name: "Eyeline close to the first lens",
    weight: 10,
    asked: hasCameras,
    score: (look) => liking(first(look)!.eyeline, 2, 8, 15, 40),
    says: (look) =>
      `The sitter looks ${degrees(first(look)!.eyeline)} past camera ${first(look)!.camera.id}.`,
  },
  {
    code: "eyeline-b",
    name: "Eyeline off the other lens",
    weight: 6,
    asked: (look) => look.cameras.length > 1,
    score: (look) => mean(others(look).map((c) => liking(c.eyeline, 8, 28, 43, 65))),
    says: (look) =>
      `${listed(others(look).map((c) => `Camera ${c.camera.id} stands ${degrees(c.eyeline)} off the gaze`))}.`,
  },
  {
    code: "step-angle",
    name: "Angle between the two cameras",
    weight: 8,
    asked: hasPair,
    score: (look) => liking(look.pair!.angleChange, 8, 28, 38, 65),
    says: (look) =>
      `The cameras are ${degrees(look.pair!.angleChange)} apart${look.pair!.angleChange >= 28 ? ": a cut is seen as meant" : ""}.`,
  },
  {
    code: "step-lens",
    name: "Step between the two lenses",
    weight: 8,
    asked: hasPair,
    score: (look) =>
      liking(look.pair!.steps, 0, 1.6, 3.4, 6.5) *
      (look.pair!.isClean ? 1 : 0.6) *
      (isTighterLonger(look) ? 1 : 0.4),
    says: (look) => {
      const [a, b] = look.cameras;
      return `Camera ${a!.camera.id} has ${Math.round(a!.camera.focalMm)} mm, camera ${b!.camera.id} ${Math.round(b!.camera.focalMm)} mm: ${look.pair!.steps.toFixed(1)} steps of lens, ${look.pair!.sizeChange.toFixed(1)} times in size.`;
    },
  },
  {
    code: "depth",
    name: "Depth behind the sitter",
    weight: 8,
    asked: hasCameras,
    score: (look) => mean(look.cameras.map((c) => likingHigh(c.behind, 0.5, 4))),
    says: (look) =>
      `Behind the sitter are ${listed(look.cameras.map((c) => `${words(look, c.behind)} in camera ${c.camera.id}`))}.`,
  },
  {
    code: "blur",
    name: "Soft background",
    weight: 4,
    asked: hasCameras,
    score: (look) => mean(look.cameras.map((c) => likingHigh(c.blur, 0.002, 0.03))),
    says: (look) =>
      `Behind the sitter a small light blurs to ${listed(look.cameras.map((c) => `${(c.blur * 100).toFixed(1)} % of the frame's height in camera ${c.camera.id}`))}.`,
  },
  {
    code: "off-wall",
    name: "Sitter off the walls",
    weight: 7,
    asked: always,
    score: (look) => likingHigh(look.toWall, 0.4, 2),
    says: (look) => `The sitter has ${words(look, look.toWall)} to the nearest wall.`,
  },
  {
    code: "key-side",
    name: "Key from the side away from the cameras",
    weight: 9,
    asked: hasLight,
    score: (look) => (look.key ? liking(look.key.away, 5, 38, 55, 110) : 0),
    says: (look) => {
      const { key } = look;
      if (!key) return "Nothing lights the face.";
      const what = key.isLamp ? "The key" : openingName(look.scene, key.id).replace(/^the/, "The");
      return key.away > 0
        ? `${what} comes from ${degrees(key.away)} on the far side of the interviewer.`
        : `${what} comes from ${degrees(-key.away)} on the cameras' own side.`;
    },
  },
  {
    code: "shadow-side",
    name: "Shadow side to the cameras, interviewer between key and nearest camera",
    weight: 6,
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
  {
    code: "key-height",
    name: "Height of the key",
    weight: 4,
    asked: (look) => hasRole(look, "key", "fill", "other"),
    score: (look) => (look.key?.isLamp ? liking(look.key.up, -5, 20, 42, 65) : 0),
    says: (look) =>
      look.key?.isLamp
        ? `The key stands ${degrees(look.key.up)} over the eyes.`
        : "No lamp is turned to the face.",
  },
  {
    code: "key-to-fill",
    name: "Key to fill as wished",
    weight: 8,
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
  {
    code: "exposure",
    name: "Light enough, and not too much, for every camera",
    weight: 5,
    asked: (look) => hasLight(look) && hasCameras(look),
    isDear: true,
    score: (look) =>
      mean(
        exposures(look).map(
          ({ off, sensitive }) => liking(off, -2, -0.4, 0.4, 2) * (0.4 + 0.6 * likingLow(sensitive, 3, 6)),
        ),
      ),
    says: (look) => `${openSentence(listed(exposures(look).map((e) => e.says)))}.`,
  },
  {
    code: "eye-line",
    name: "Lens at the height that was wished for",
    weight: 4,
    asked: hasCameras,
    score: (look) =>
      mean(
        look.cameras.map(({ camera }) => {
          const wish = look.scene.plan.wishes.eyeLine ?? "level";
          const down = downOn(look, camera);
          const off = wish === "level" ? Math.abs(down) - 1.5 : wish === "above" ? 2 - down : down + 2;
          return likingLow(off, 0.5, 9);
        }),
      ),
    says: (look) =>
      `${listed(
        look.cameras.map(({ camera }, k) => {
          const down = downOn(look, camera);
          const name = `${k === 0 ? "Camera" : "camera"} ${camera.id}`;
          return Math.abs(down) < 1.5
            ? `${name} is level with the eyes`
            : `${name} looks ${degrees(Math.abs(down))} ${down > 0 ? "down on" : "up at"} them`;
        }),
      )}.`,
  },
  {
    code: "hair-light",
    name: "Hair light from behind, opposite the key",
    weight: 3,
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
      `The hair light stands ${listed(hairLights(look).map(({ away, up, stops }) => `${degrees(Math.abs(away))} round from the gaze and ${degrees(up)} up, ${Math.abs(stops).toFixed(1)} stops ${stops < 0 ? "under" : "over"} the face`))}.`,
  },
  {
    code: "background-light",
    name: "Background lit a little under the face",
    weight: 3,
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
  {
    code: "window-light",
    name: "Daylight from the key's side",
    weight: 5,
    asked: (look) => look.ground.hasWindow,
    // A window that hardly reaches the face does not matter.
    score: (look) =>
      look.window
        ? 1 - likingHigh(look.window.factor, 0.002, 0.03) * (1 - liking(look.window.away, -45, 15, 115, 165))
        : 1,
    says: (look) => {
      if (!look.window) return "No window lights the face.";
      const { id, away } = look.window;
      const name = openingName(look.scene, id).replace(/^the/, "The");
      if (Math.abs(away) > 130) return `${name} is behind the sitter.`;
      return away > -5
        ? `${name} lights the sitter from the key's side, ${degrees(Math.abs(away))} off the gaze.`
        : `${name} lights the shadow side, ${degrees(-away)} off the gaze.`;
    },
  },
  {
    code: "window-in-frame",
    name: "No window in frame",
    weight: 7,
    asked: (look) => look.ground.hasWindow,
    isDear: true,
    score: (look) => noneOf(windowArea(look), 0.12),
    says: (look) => {
      const area = windowArea(look);
      return area === 0
        ? "No window is in any frame."
        : `A window fills ${(area * 100).toFixed(area < 0.1 ? 1 : 0)} % of a frame.`;
    },
  },
  {
    code: "show",
    name: "What was to be shown is behind the sitter",
    weight: 14,
    asked: (look) => look.scene.plan.wishes.show.length > 0,
    isDear: true,
    score: (look) => {
      const wanted = look.scene.plan.wishes.show;
      const frames = seenOf(look, (t) => wanted.includes(t.id));
      return mean(
        wanted.map((id) =>
          likingHigh(Math.max(0, ...frames.map((seen) => seen.find((t) => t.id === id)?.area ?? 0)), 0, 0.02),
        ),
      );
    },
    says: (look) => {
      const wanted = look.scene.plan.wishes.show;
      const seen = seenOf(look, (t) => wanted.includes(t.id)).flat();
      const shown = wanted.filter((id) => seen.some((t) => t.id === id));
      const missing = wanted.filter((id) => !shown.includes(id));
      const name = (id: string): string =>
        look.scene.furniture.find((f) => f.id === id)?.name ?? openingName(look.scene, id);
      return missing.length === 0
        ? `In frame as wished: ${listed(shown.map(name))}.`
        : `Not in any frame, though wished for: ${listed(missing.map(name))}.`;
    },
  },
  {
    code: "hide",
    name: "What was to be hidden is out of every frame",
    weight: 14,
    asked: (look) => look.scene.plan.wishes.hide.length > 0,
    isDear: true,
    score: (look) => {
      const { hide } = look.scene.plan.wishes;
      const frames = seenOf(look, (t) => hide.includes(t.id));
      return mean(
        hide.map((id) =>
          noneOf(Math.max(0, ...frames.map((seen) => seen.find((t) => t.id === id)?.area ?? 0)), 0.06),
        ),
      );
    },
    says: (look) => {
      const { hide } = look.scene.plan.wishes;
      const seen = seenOf(look, (t) => hide.includes(t.id)).flat();
      const names = [...new Set(seen.map((t) => t.name))];
      return names.length === 0
        ? "Nothing that was to be hidden is in a frame."
        : `In a frame, though it was to be hidden: ${listed(names)}.`;
    },
  },
  {
    code: "microphone",
    name: "Boom close to the mouth",
    weight: 7,
    asked: hasBoom,
    score: (look) =>
      mean(
        booms(look).map(
          (m) =>
            liking(distanceBetween(m.point, m.mouth), 0.15, 0.25, 0.42, 1.1) *
            (0.5 + 0.5 * likingLow(offMouth(look.scene, m.point), 65, 115)),
        ),
      ),
    says: (look) =>
      `The boom's tip is ${listed(booms(look).map((m) => words(look, distanceBetween(m.point, m.mouth))))} from the mouth.`,
  },
  {
    code: "room-sound",
    name: "Voice over the room's own sound",
    weight: 4,
    asked: hasBoom,
    score: (look) => mean(booms(look).map((m) => likingHigh(directOverRoom(look, m), -3, 12))),
    says: (look) =>
      `The voice at the boom is ${listed(booms(look).map((m) => `${directOverRoom(look, m).toFixed(0)} dB`))} over the room's own sound.`,
  },
  {
    code: "sun",
    name: "No sun on the sitter, in a lens or on the background",
    weight: 6,
    asked: (look) => look.ground.suns.length > 0,
    isDear: true,
    score: (look) => {
      const { sitter, lens, background } = sunMinutes(look);
      return 0.6 * noneOf(sitter, 90) + 0.2 * noneOf(lens, 120) + 0.2 * noneOf(background, 120);
    },
    says: (look) => {
      const { sitter, lens, background } = sunMinutes(look);
      const about = (minutes: number): string => `for about ${minutes} minutes`;
      if (sitter > 0) return `The sun stands on the sitter's eyes ${about(sitter)}.`;
      if (lens > 0) return `The sun stays off the sitter's eyes; it shines into a lens ${about(lens)}.`;
      return background > 0
        ? `The sun stays off the sitter's eyes; it crosses the background ${about(background)}.`
        : "The sun reaches neither the sitter's eyes nor a lens or the background in these hours.";
    },
  },
  {
    code: "cables",
    name: "Short cable runs",
    weight: 2,
    asked: (look) => mains(look).length > 0,
    score: (look) => mean(mains(look).map((l) => likingLow(toWall(look, l.point), 0.8, 4))),
    says: (look) =>
      `The longest run from a light to a wall is ${words(look, Math.max(0, ...mains(look).map((l) => toWall(look, l.point))))}.`,
  },
  {
    code: "sight-lines",
    name: "A screen in the interviewer's sight",
    weight: 3,
    asked: (look) => look.scene.plan.monitors.length > 0,
    score: (look) => {
      const turns = screenTurns(look).map((s) => s.turn);
      return likingLow(Math.min(...turns), 35, 100);
    },
    says: (look) => {
      const best = screenTurns(look).sort((a, b) => a.turn - b.turn)[0]!;
      return best.turn > 100
        ? "No screen can be read from the interviewer's chair."
        : `From the chair, ${best.id} is read ${degrees(best.turn)} off the sitter's face.`;
    },
  },
  {
    code: "headroom",
    name: "Head room of the shot",
    weight: 3,
    asked: hasCameras,
    score: (look) => mean(headroomsOff(look).map((off) => likingLow(off, 0.03, 0.15))),
    says: (look) =>
      `Over the head ${look.cameras.length === 1 ? "is" : "are"} ${listed(look.cameras.map((c) => `${Math.round(c.crown * 100)} % of camera ${c.camera.id}'s frame`))}.`,
  },
  {
    code: "talk",
    name: "The two within easy talk",
    weight: 5,
    asked: always,
    score: (look) => liking(look.talk, 0.8, 1.3, 1.8, 3),
    says: (look) => `Sitter and interviewer are ${words(look, look.talk)} apart.`,
  },
  {
    code: "perspective",
    name: "Lenses far enough for a natural face",
    weight: 5,
    asked: hasCameras,
    score: (look) => mean(look.cameras.map((c) => likingHigh(c.camera.sitterDistance, 0.6, 1.8))),
    says: (look) =>
      `The lenses are ${listed(look.cameras.map((c) => words(look, c.camera.sitterDistance)))} from the face.`,
  },
  {
    code: "boom-shadow",
    name: "No shadow of the boom",
    weight: 4,
    asked: hasBoom,
    isDear: true,
    score: (look) => 0.5 ** boomShadows(look.scene).length,
    says: (look) => {
      const shadows = boomShadows(look.scene);
      return shadows.length === 0
        ? "The boom throws no shadow that a lens sees."
        : `The boom's shadow falls on ${listed([...new Set(shadows.map((s) => (s.on === "sitter" ? "the sitter" : `the ${s.on}`)))])} in a frame.`;
    },
  },
  {
    code: "reflections",
    name: "Nothing mirrored in glass",
    weight: 3,
    asked: (look) => look.ground.hasGlass,
    isDear: true,
    score: (look) =>
      0.5 ** look.scene.cameras.reduce((sum, c) => sum + reflectionsOnTheWay(look.scene, c).length, 0),
    says: (look) => {
      const found = look.scene.cameras.flatMap((c) => reflectionsOnTheWay(look.scene, c).map((r) => r.name));
      return found.length === 0
        ? "No glass mirrors a light or a person."
        : `Mirrored in glass: ${listed([...new Set(found)])}.`;
    },
  },
  {
    code: "looks",
    name: "Looks out of frame the way that was wished",
    weight: 12,
    asked: (look) => look.scene.plan.wishes.looks !== "either",
    score: (look) => ((look.side === 1) === (look.scene.plan.wishes.looks === "right") ? 1 : 0),
    says: (look) => `The sitter looks to the frame's ${look.side === 1 ? "right" : "left"}.`,
  },
  {
    code: "interviewer-room",
    name: "Room behind the interviewer's chair",
    weight: 2,
    asked: always,
    score: (look) => likingHigh(toWall(look, look.scene.interviewer.head), 0.3, 0.8),
    says: (look) =>
      `The interviewer's chair has ${words(look, toWall(look, look.scene.interviewer.head))} to the wall.`,
  },
];

/** The cheap ones first. */
const searchOrder = [...softRules].sort((a, b) => Number(a.isDear ?? false) - Number(b.isDear ?? false));

/**
 * What a staging lacks of the weighed mean of the soft rules that the plan can be asked: 0 nothing, 1 all. No words, cheap.
 *
 * @param enough - Once it is certain to lack more than this, the rest is not worked out.
 */
export function softLack(look: Look, enough: number = Number.POSITIVE_INFINITY): number {
  let weights = 0;
  for (const rule of softRules) if (rule.asked(look)) weights += rule.weight;
  const most = enough * weights;
  let lack = 0;
  for (const rule of searchOrder) {
    if (!rule.asked(look)) continue;
    lack += rule.weight * (1 - rule.score(look));
    if (lack > most) break;
  }
  return lack / weights;
}

/** The soft rules with their scores and reasons. */
export function softRulesOf(look: Look): StagingRule[] {
  return softRules
    .filter((rule) => rule.asked(look))
    .map((rule) => ({
      code: rule.code,
      name: rule.name,
      weight: rule.weight,
      score: rule.score(look),
      says: rule.says(look),
    }));
}
