import type { StagingRule } from "#documents/room-proposals";
import type { SeenThing } from "#documents/room-result";
import { directivityIndex } from "#science/acoustics/microphone-pattern";
import { criticalDistance } from "#science/acoustics/reverberation";
import { talkerDirectivity } from "#science/acoustics/speech-level";
import { distanceToOutline } from "#science/geometry/polygon";
import {
  angleBetween,
  directionOf,
  distanceBetween,
  dot,
  minus,
  tiltOf,
  unit,
  type Vector3,
} from "#science/geometry/vector3";
import { shotFrame } from "#science/optics/shot-size";
import { liking, likingHigh, likingLow } from "#science/search/liking";
import { lengthWords } from "#science/units/length-words";
import { reflectionsIn } from "./geometry-reflections.ts";
import { boomShadows } from "./geometry-shadows.ts";
import { openingName, thingsOf } from "./geometry-things.ts";
import { backgroundOf, lampLux, placesOf } from "./light-places.ts";
import { framed, type Look, offMouth, sunMinutes } from "./propose-look.ts";
import { isClear } from "./scene-rays.ts";

/**
 * A wish of the craft or of the person. The best figures and the weights are common practice: sitter off the walls, window or key
 * on the side away from the cameras, interviewer between key and nearest camera, about 30 degrees and two steps of lens
 * between A and B, 24 with 50 and 35 with 85, f/1.8 to f/2 for a sitter who stays put, boom an arm's length from the mouth.
 */
interface SoftRule {
  readonly code: string;
  readonly name: string;
  readonly weight: number;
  /** 0 to 1; null: the plan has nothing that it could be asked of. */
  score(look: Look): number | null;
  says(look: Look): string;
}

const mean = (values: readonly number[]): number | null =>
  values.length === 0 ? null : values.reduce((a, b) => a + b, 0) / values.length;
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
    thingsOf(look.scene).filter((t) => kinds(t)),
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

/** Full marks only for what no frame shows at all; less the more of a frame it fills. */
const outOfFrame = (area: number, zero: number): number => (area > 0 ? 0.9 * likingLow(area, 0, zero) : 1);

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

/** Each monitor: turn from the sitter's face; 180 where it cannot be read. */
function screenTurns(look: Look): { id: string; turn: number }[] {
  const { scene } = look;
  const { interviewer, sitter } = scene;
  const toSitter = minus(sitter.eyes, interviewer.eyes);
  return scene.plan.monitors.map(({ id, at, heading }) => {
    const way = minus(at, interviewer.eyes);
    const isReadable = dot(unit(way), directionOf(heading)) < -0.5 && isClear(scene, interviewer.eyes, at);
    return { id, turn: isReadable ? angleBetween(toSitter, way) : 180 };
  });
}

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

const hairLights = (look: Look) =>
  look.scene.lights
    .filter((l) => l.said.role === "hair")
    .map((light) => {
      const way = minus(light.point, look.scene.sitter.head);
      const gaze = look.scene.sitter.gaze;
      const round =
        (Math.atan2(way[0] * gaze[1] - way[1] * gaze[0], way[0] * gaze[0] + way[1] * gaze[1]) * 180) /
        Math.PI;
      return { away: -look.side * round, up: tiltOf(minus(light.point, look.scene.sitter.crown)) };
    });

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
    score: (look) => {
      const a = first(look);
      return a ? liking(a.eyeline, 2, 7, 17, 42) : null;
    },
    says: (look) =>
      `The sitter looks ${degrees(first(look)!.eyeline)} past camera ${first(look)!.camera.id}.`,
  },
  {
    code: "eyeline-b",
    name: "Eyeline off the other lens",
    weight: 6,
    score: (look) => mean(others(look).map((c) => liking(c.eyeline, 8, 25, 46, 65))),
    says: (look) =>
      `${listed(others(look).map((c) => `Camera ${c.camera.id} stands ${degrees(c.eyeline)} off the gaze`))}.`,
  },
  {
    code: "step-angle",
    name: "Angle between the two cameras",
    weight: 8,
    score: (look) => look.pair && liking(look.pair.angleChange, 8, 27, 40, 65),
    says: (look) =>
      `The cameras are ${degrees(look.pair!.angleChange)} apart${look.pair!.angleChange >= 27 ? ": a cut is seen as meant" : ""}.`,
  },
  {
    code: "step-lens",
    name: "Step between the two lenses",
    weight: 8,
    score: (look) =>
      look.pair &&
      liking(look.pair.steps, 0, 1.6, 3.4, 6.5) *
        (look.pair.isClean ? 1 : 0.6) *
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
    score: (look) => mean(look.cameras.map((c) => likingHigh(c.behind, 0.5, 3))),
    says: (look) =>
      `Behind the sitter are ${listed(look.cameras.map((c) => `${words(look, c.behind)} in camera ${c.camera.id}`))}.`,
  },
  {
    code: "blur",
    name: "Soft background",
    weight: 4,
    score: (look) => mean(look.cameras.map((c) => likingHigh(c.blur, 0.002, 0.02))),
    says: (look) =>
      `A point there becomes a disc of ${listed(look.cameras.map((c) => `${(c.blur * 100).toFixed(1)} % of camera ${c.camera.id}'s frame`))}.`,
  },
  {
    code: "off-wall",
    name: "Sitter off the walls",
    weight: 7,
    score: (look) => likingHigh(look.toWall, 0.4, 1.5),
    says: (look) => `The sitter has ${words(look, look.toWall)} to the nearest wall.`,
  },
  {
    code: "key-side",
    name: "Key from the side away from the cameras",
    weight: 9,
    score: (look) => look.key && liking(look.key.away, 5, 33, 62, 115),
    says: (look) => {
      const key = look.key!;
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
    score: (look) =>
      look.key &&
      mean(look.cameras.map((c) => likingHigh(Math.sign(look.side * c.turn) * look.key!.away, 6, 14))),
    says: (look) =>
      look.key!.away >= 12
        ? "The cameras see the shadow side of the face, and the interviewer sits between the key and the nearest lens."
        : look.key!.away > -12
          ? "The key is frontal: both cheeks are lit alike."
          : "The cameras see the lit side of the face.",
  },
  {
    code: "key-height",
    name: "Height of the key",
    weight: 4,
    score: (look) => (look.key?.isLamp ? liking(look.key.up, -5, 20, 42, 65) : null),
    says: (look) => `The key stands ${degrees(look.key!.up)} over the eyes.`,
  },
  {
    code: "key-to-fill",
    name: "Key to fill as wished",
    weight: 8,
    score: (look) =>
      look.keyToFill === null
        ? null
        : likingLow(Math.abs(look.keyToFill - look.scene.plan.wishes.keyToFill), 0.2, 2),
    says: (look) =>
      `The darker cheek is ${look.keyToFill!.toFixed(1)} stops under the lit one; ${look.scene.plan.wishes.keyToFill.toFixed(1)} were wished for.`,
  },
  {
    code: "hair-light",
    name: "Hair light from behind",
    weight: 3,
    score: (look) =>
      mean(
        hairLights(look).map(
          ({ away, up }) =>
            liking(Math.abs(away), 100, 130, 180, 181) * liking(up, 0, 20, 50, 75) * (away < 0 ? 1 : 0.85),
        ),
      ),
    says: (look) =>
      `The hair light stands ${listed(hairLights(look).map(({ away, up }) => `${degrees(Math.abs(away))} round from the gaze and ${degrees(up)} up`))}.`,
  },
  {
    code: "background-light",
    name: "Background lit a little under the face",
    weight: 3,
    score: (look) => {
      if (!look.scene.lights.some((l) => l.said.role === "background")) return null;
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
    // A window that hardly reaches the face does not matter.
    score: (look) =>
      look.window &&
      1 - likingHigh(look.window.factor, 0.002, 0.03) * (1 - liking(look.window.away, -45, 15, 115, 165)),
    says: (look) => {
      const { id, away } = look.window!;
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
    score: (look) => (look.ground.hasWindow ? outOfFrame(windowArea(look), 0.12) : null),
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
    weight: 8,
    score: (look) => {
      const wanted = look.scene.plan.wishes.show;
      if (wanted.length === 0) return null;
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
    weight: 8,
    score: (look) => {
      const { hide } = look.scene.plan.wishes;
      if (hide.length === 0) return null;
      const frames = seenOf(look, (t) => hide.includes(t.id));
      return mean(
        hide.map((id) =>
          outOfFrame(Math.max(0, ...frames.map((seen) => seen.find((t) => t.id === id)?.area ?? 0)), 0.06),
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
    score: (look) =>
      mean(
        booms(look).map(
          (m) =>
            liking(distanceBetween(m.point, m.mouth), 0.15, 0.25, 0.5, 1.1) *
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
    score: (look) => mean(booms(look).map((m) => likingHigh(directOverRoom(look, m), -3, 9))),
    says: (look) =>
      `The voice at the boom is ${listed(booms(look).map((m) => `${directOverRoom(look, m).toFixed(0)} dB`))} over the room's own sound.`,
  },
  {
    code: "sun",
    name: "No sun on the sitter or the background",
    weight: 6,
    score: (look) => {
      if (look.ground.suns.length === 0) return null;
      const { sitter, background } = sunMinutes(look);
      return 0.7 * likingLow(sitter, 0, 90) + 0.3 * likingLow(background, 0, 120);
    },
    says: (look) => {
      const { sitter, background } = sunMinutes(look);
      if (sitter > 0) return `The sun stands on the sitter's eyes for about ${sitter} minutes.`;
      return background > 0
        ? `The sun stays off the sitter's eyes; it crosses the background for about ${background} minutes.`
        : "The sun reaches neither the sitter's eyes nor the background in these hours.";
    },
  },
  {
    code: "cables",
    name: "Short cable runs",
    weight: 2,
    score: (look) => mean(mains(look).map((l) => likingLow(toWall(look, l.point), 1, 4))),
    says: (look) =>
      `The longest run from a light to a wall is ${words(look, Math.max(0, ...mains(look).map((l) => toWall(look, l.point))))}.`,
  },
  {
    code: "sight-lines",
    name: "A screen in the interviewer's sight",
    weight: 3,
    score: (look) => {
      const turns = screenTurns(look).map((s) => s.turn);
      return turns.length === 0 ? null : likingLow(Math.min(...turns), 35, 100);
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
    score: (look) => mean(headroomsOff(look).map((off) => likingLow(off, 0.03, 0.15))),
    says: (look) =>
      `Over the head ${look.cameras.length === 1 ? "is" : "are"} ${listed(look.cameras.map((c) => `${Math.round(c.crown * 100)} % of camera ${c.camera.id}'s frame`))}.`,
  },
  {
    code: "talk",
    name: "The two within easy talk",
    weight: 5,
    score: (look) => liking(look.talk, 0.8, 1.2, 2, 3),
    says: (look) => `Sitter and interviewer are ${words(look, look.talk)} apart.`,
  },
  {
    code: "perspective",
    name: "Lenses far enough for a natural face",
    weight: 5,
    score: (look) => mean(look.cameras.map((c) => likingHigh(c.camera.sitterDistance, 0.6, 1.5))),
    says: (look) =>
      `The lenses are ${listed(look.cameras.map((c) => words(look, c.camera.sitterDistance)))} from the face.`,
  },
  {
    code: "boom-shadow",
    name: "No shadow of the boom",
    weight: 4,
    score: (look) => (booms(look).length === 0 ? null : 0.5 ** boomShadows(look.scene).length),
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
    score: (look) =>
      look.ground.hasGlass
        ? 0.5 ** look.scene.cameras.reduce((sum, c) => sum + reflectionsIn(look.scene, c).length, 0)
        : null,
    says: (look) => {
      const found = look.scene.cameras.flatMap((c) => reflectionsIn(look.scene, c).map((r) => r.name));
      return found.length === 0
        ? "No glass mirrors a light or a person."
        : `Mirrored in glass: ${listed([...new Set(found)])}.`;
    },
  },
  {
    code: "looks",
    name: "Looks out of frame the way that was wished",
    weight: 6,
    score: (look) => {
      const { looks } = look.scene.plan.wishes;
      return looks === "either" ? null : (look.side === 1) === (looks === "right") ? 1 : 0;
    },
    says: (look) => `The sitter looks to the frame's ${look.side === 1 ? "right" : "left"}.`,
  },
  {
    code: "interviewer-room",
    name: "Room behind the interviewer's chair",
    weight: 2,
    score: (look) => likingHigh(toWall(look, look.scene.interviewer.head), 0.3, 0.8),
    says: (look) =>
      `The interviewer's chair has ${words(look, toWall(look, look.scene.interviewer.head))} to the wall.`,
  },
];

/** The weighed mean of the soft rules that the plan can be asked, 0 to 1: cheap, no words. */
export function softScore(look: Look): number {
  let [sum, weights] = [0, 0];
  for (const rule of softRules) {
    const score = rule.score(look);
    if (score === null) continue;
    sum += rule.weight * score;
    weights += rule.weight;
  }
  return weights > 0 ? sum / weights : 0;
}

/** The soft rules with their scores and reasons. */
export function softRulesOf(look: Look): StagingRule[] {
  return softRules.flatMap((rule) => {
    const score = rule.score(look);
    return score === null
      ? []
      : [{ code: rule.code, name: rule.name, weight: rule.weight, score, says: rule.says(look) }];
  });
}
