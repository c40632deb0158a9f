import type { BrokenRule } from "#documents/room-proposals";
import { distanceToBox } from "#science/geometry/box";
import { distanceToEdge, distanceToOutline, isInside } from "#science/geometry/polygon";
import { headingOf, minus, turnBetween, type Vector3 } from "#science/geometry/vector3";
import { aimFor, type PinHole, pinHole } from "#science/optics/pin-hole";
import { shotFrame } from "#science/optics/shot-size";
import { lengthWords } from "#science/units/length-words";
import { openSentence } from "#science/units/number-words";
import { boomTail, lightName, poleTop } from "./geometry-things.ts";
import { barInFrame, oblongInFrame } from "./propose-frame.ts";
import type { Ground } from "./propose-ground.ts";
import { type FloorDisc, goalsCutOff, wayBreadth } from "./propose-ways.ts";
import type { Scene, SceneCamera } from "./scene.ts";
import { eyesPlaceFor } from "./scene-camera.ts";
import { isClear } from "./scene-rays.ts";
import { theThing } from "./thing-words.ts";

/* Common practice, metres and degrees. */

/** A seated person with the chair: as the plan's figures take it for a way around the sitter's seat. */
const seatRadius = 0.35;
/** A chair may reach between a stand's legs by this share of their spread: three legs leave room between them. */
const betweenLegs = 0.5;
/** A rail with its end stops, to each side. */
const railRadius = 0.15;
/** Furniture that hangs higher is passed under. */
const overhead = 1.9;
/** A camera nearer to the line than this would slip over it. */
const offLine = 2.5;
/** A frame this many times taller or shorter than the shot's own is still that shot. */
const shotSlack = 1.15;
/** The longest reach of a boom's pole on a stand, and its least height over the crown. */
const poleReach = 2.6;
const overCrown = 0.02;
const underCeiling = 0.05;
/** A boom and its pole stay this far out of every frame: stands sink and sitters lean. */
const boomGap = 0.06;
/** Eyes stay at least this share of the frame from its edges. */
const eyesInside = 0.08;

/** What no proposal may do. The order is that of {@link hardRules}. */
export type HardRule =
  | "inside"
  | "furniture"
  | "apart"
  | "way"
  | "line"
  | "frames"
  | "close-focus"
  | "shot-size"
  | "kit"
  | "boom"
  | "rail"
  | "sight"
  | "ceiling";

/** The hard rules, with their names as sentences. */
export const hardRules: readonly (readonly [HardRule, string])[] = [
  ["inside", "Everything stands inside the room"],
  ["furniture", "Everything is clear of the furniture"],
  ["apart", "Nothing stands in anything else's place"],
  ["way", "A way leads from the door to both chairs and to every camera"],
  ["line", "All cameras are on one side of the line"],
  ["frames", "No camera, stand, light, boom, rail or interviewer is in any frame"],
  ["close-focus", "Every lens can focus on the sitter"],
  ["shot-size", "Every camera has the shot wished for"],
  ["kit", "Every lens is in the kit and on one camera"],
  ["boom", "The boom hangs within reach, over the head and under the ceiling"],
  ["rail", "The rail fits its slider and the room"],
  ["sight", "Nothing stands between the sitter and a lens or a light"],
  ["ceiling", "Every light fits under the ceiling and on its stand"],
];

/** Told of each breach: which rule, how far, and, where words are asked for, between what. */
type Tell = (rule: HardRule, amount: number, says: () => string, remedy: string) => void;

/** Something that stands on the floor. */
interface Footing {
  readonly id: string;
  /** Undefined: a person. */
  readonly stand: Scene["stands"][number] | undefined;
  readonly at: readonly [number, number];
  readonly radius: number;
}

/**
 * How far a staging breaks the hard rules, all told: 0 where it keeps every one, growing with each breach so that a search is led
 * back.
 *
 * @param enough - From here on the sum is not worked out to the end.
 */
export function breachOf(scene: Scene, ground: Ground, enough: number = Number.POSITIVE_INFINITY): number {
  let sum = 0;
  const tell: Tell = (_, amount) => {
    sum += Math.min(3, amount);
  };
  for (const look of looks) {
    look(scene, ground, tell);
    if (sum > enough) return sum;
  }
  // The dearest look, at the ways, is worth it only where the rest is kept; till then they count as all cut off.
  if (sum > 0) return sum + mostCut;
  tellWays(scene, ground, tell);
  return sum;
}

/** More than what all ways cut off amount to. */
const mostCut = 3;

/** The hard rules that a staging breaks, the worst first, in words. */
export function brokenRules(scene: Scene, ground: Ground): BrokenRule[] {
  const worst = new Map<HardRule, { amount: number; worst: number; says: string; remedy: string }>();
  tellBreaches(scene, ground, (rule, amount, says, remedy) => {
    const known = worst.get(rule);
    if (!known) worst.set(rule, { amount, worst: amount, says: says(), remedy });
    else {
      known.amount += amount;
      if (amount > known.worst) Object.assign(known, { worst: amount, says: says(), remedy });
    }
  });
  return [...worst]
    .sort((a, b) => b[1].amount - a[1].amount)
    .map(([code, { says, remedy }]) => ({
      code,
      name: hardRules.find(([rule]) => rule === code)![1],
      says,
      remedy,
    }));
}

/** The looks for breaches, the cheapest first; ways come after them. */
const looks: readonly ((scene: Scene, ground: Ground, tell: Tell) => void)[] = [
  (scene, ground, tell) => tellFloor(scene, ground, footingsOf(scene), tell),
  (scene, _, tell) => tellLine(scene, tell),
  (scene, ground, tell) => tellKit(scene, ground, tell),
  (scene, _, tell) => {
    for (const microphone of scene.microphones)
      if (microphone.said.role === "boom") tellBoom(scene, microphone, tell);
  },
  (scene, _, tell) => tellLights(scene, tell),
  (scene, _, tell) => {
    for (const camera of scene.cameras) tellCamera(scene, camera, tell);
  },
  (scene, _, tell) => tellFrames(scene, tell),
];

function tellBreaches(scene: Scene, ground: Ground, tell: Tell): void {
  for (const look of looks) look(scene, ground, tell);
  tellWays(scene, ground, tell);
}

function footingsOf(scene: Scene): Footing[] {
  const { sitter, interviewer } = scene;
  const footings: Footing[] = [
    { id: "sitter", stand: undefined, at: sitter.said.at, radius: seatRadius },
    { id: "interviewer", stand: undefined, at: interviewer.said.at, radius: seatRadius },
  ];
  for (const stand of scene.stands)
    footings.push({ id: stand.holds, stand, at: stand.at, radius: stand.footprint });
  return footings;
}

const footingName = (scene: Scene, { id, stand }: Footing): string =>
  stand ? standName(scene, stand) : `the ${id}`;

function standName(scene: Scene, stand: Scene["stands"][number]): string {
  if (stand.kind === "camera") return `the stand of camera ${stand.holds}`;
  if (stand.kind === "boom") return "the boom's stand";
  const light = scene.lights.find((l) => l.id === stand.holds);
  return light ? `the stand of ${lightName(light)}` : `the stand of ${stand.holds}`;
}

function tellFloor(scene: Scene, ground: Ground, footings: readonly Footing[], tell: Tell): void {
  const { outline } = scene.room;
  const { units } = scene.plan;
  for (let k = 0; k < footings.length; k++) {
    const footing = footings[k]!;
    const [x, y] = footing.at;
    const edge = distanceToOutline(outline, x, y);
    const over = footing.radius - (isInside(outline, x, y) ? edge : -edge);
    if (over > 0)
      tell(
        "inside",
        over,
        () =>
          `${openSentence(footingName(scene, footing))} is ${lengthWords(over, units)} too close to the wall.`,
        "Bring it into the room, or take kit with smaller stands.",
      );
    for (const piece of ground.standing) {
      if (piece.base >= overhead) continue;
      const into = footing.radius - distanceToBox(piece, x, y);
      if (into > 0)
        tell(
          "furniture",
          into,
          () =>
            `${openSentence(footingName(scene, footing))} is ${lengthWords(into, units)} too close to ${theThing(piece.name)}.`,
          "Move the furniture, or what stands at it.",
        );
    }
    for (let j = k + 1; j < footings.length; j++) {
      const other = footings[j]!;
      if (other.id === footing.id) continue;
      // The two people come first in the list.
      const legs = k < 2 && j >= 2 ? other.radius * betweenLegs : other.radius;
      const into = footing.radius + legs - Math.hypot(other.at[0] - x, other.at[1] - y);
      if (into > 0)
        tell(
          "apart",
          into,
          () =>
            `${openSentence(footingName(scene, footing))} and ${footingName(scene, other)} are ${lengthWords(into, units)} too close together.`,
          "Move one of the two, or leave one out.",
        );
    }
  }
  for (const slide of scene.slides) tellRail(scene, ground, slide, footings, tell);
}

function tellRail(
  scene: Scene,
  ground: Ground,
  slide: Scene["slides"][number],
  footings: readonly Footing[],
  tell: Tell,
): void {
  const { units } = scene.plan;
  const travel = slide.slider?.travel ?? slide.metres;
  if (slide.metres > travel + 0.004)
    tell(
      "rail",
      slide.metres - travel,
      () =>
        `The move is ${lengthWords(slide.metres, units)} long; its slider travels ${lengthWords(travel, units)}.`,
      "Shorten the move, or take a longer slider.",
    );
  const [a, b] = [[slide.from[0], slide.from[1]] as const, [slide.to[0], slide.to[1]] as const];
  for (const end of [a, b]) {
    const edge = distanceToOutline(scene.room.outline, end[0], end[1]);
    const over = railRadius - (isInside(scene.room.outline, end[0], end[1]) ? edge : -edge);
    if (over > 0)
      tell(
        "rail",
        over,
        () =>
          `The rail of camera ${slide.camera.id} comes ${lengthWords(over, units)} too close to the wall.`,
        "Turn or shorten the rail.",
      );
  }
  for (const piece of ground.standing) {
    if (piece.base >= overhead || piece.base + piece.size[2] < slide.from[2] - 0.2) continue;
    for (const t of [0, 0.5, 1]) {
      const into = railRadius - distanceToBox(piece, a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t);
      if (into > 0)
        tell(
          "rail",
          into,
          () => `The rail of camera ${slide.camera.id} runs into ${theThing(piece.name)}.`,
          "Turn or shorten the rail.",
        );
    }
  }
  for (const footing of footings) {
    if (footing.id === slide.camera.id) continue;
    // Over a stand's legs a rail may pass, not through its column; a person needs the whole place.
    const radius = footing.id === "sitter" || footing.id === "interviewer" ? footing.radius : 0.15;
    const into = radius + railRadius - distanceToEdge(a, b, footing.at[0], footing.at[1]);
    if (into > 0)
      tell(
        "rail",
        into,
        () => `The rail of camera ${slide.camera.id} runs into ${footingName(scene, footing)}.`,
        "Turn or shorten the rail, or move what stands there.",
      );
  }
}

function tellWays(scene: Scene, ground: Ground, tell: Tell): void {
  const { sitter, interviewer } = scene;
  const discs: FloorDisc[] = [[sitter.head[0], sitter.head[1], seatRadius]];
  const goals: FloorDisc[] = [
    [interviewer.head[0], interviewer.head[1], 0],
    [sitter.head[0], sitter.head[1], seatRadius],
  ];
  for (const stand of scene.stands) {
    const disc: FloorDisc = [stand.at[0], stand.at[1], stand.footprint];
    discs.push(disc);
    if (stand.kind === "camera") goals.push(disc);
  }
  const cut = goalsCutOff(ground.ways, discs, goals);
  if (cut > 0)
    tell(
      "way",
      0.4 * cut,
      () =>
        `No way ${lengthWords(wayBreadth, scene.plan.units)} broad leads from the door to ${cut === 1 ? "one" : cut} of the chairs and cameras.`,
      "Take out a stand or a piece of furniture, or free the door.",
    );
}

/** Every place that the cameras have, on their rails too. */
function* lensPlaces(scene: Scene): Iterable<{ camera: SceneCamera; at: Vector3 }> {
  for (const camera of scene.cameras) {
    yield { camera, at: camera.point };
    for (const slide of scene.slides)
      if (slide.camera.id === camera.id) {
        yield { camera, at: slide.from };
        yield { camera, at: slide.to };
      }
  }
}

function tellLine(scene: Scene, tell: Tell): void {
  const { sitter, interviewer } = scene;
  const line = headingOf(minus(interviewer.head, sitter.head));
  let [left, right] = [0, 0];
  for (const { at } of lensPlaces(scene)) {
    const turn = turnBetween(line, headingOf(minus(at, sitter.head)));
    // What it takes to be clearly on the right of the line, and on the left.
    right += Math.max(0, offLine - turn, turn - (180 - offLine)) / 30;
    left += Math.max(0, offLine + turn, -turn - (180 - offLine)) / 30;
  }
  const least = Math.min(left, right);
  if (least > 0)
    tell(
      "line",
      least + 0.1,
      () => "The line between sitter and interviewer runs between the cameras, or through one.",
      "Bring all cameras to one side of the line.",
    );
}

function tellCamera(scene: Scene, camera: SceneCamera, tell: Tell): void {
  const { sitter } = scene;
  const { units } = scene.plan;
  const near = camera.lens.closeFocus - camera.sitterDepth;
  if (near > 0)
    tell(
      "close-focus",
      near,
      () =>
        `Camera ${camera.id} is ${lengthWords(camera.sitterDepth, units)} from the sitter; its lens focuses from ${lengthWords(camera.lens.closeFocus, units)} on.`,
      "Take a lens that focuses closer, or a wider shot.",
    );
  const wished = shotFrame(camera.said.shot, sitter.stature, sitter.seatHeight).height;
  const times = camera.sitterDistance / (wished / (2 * camera.tanHalfHeight));
  const off = Math.max(times / shotSlack, 1 / (times * shotSlack)) - 1;
  if (off > 0)
    tell(
      "shot-size",
      off,
      () =>
        `Camera ${camera.id} cannot have a ${camera.said.shot} shot: it is ${lengthWords(camera.sitterDistance, units)} from the sitter, and that shot asks for ${lengthWords(wished / (2 * camera.tanHalfHeight), units)} with this lens.`,
      "Put another lens in the kit, wish for another shot, or take a pin out.",
    );
  const dx = eyesOff(camera, sitter.eyes);
  if (dx > 0)
    tell(
      "shot-size",
      dx,
      () => `Camera ${camera.id} does not have the sitter's eyes in its frame.`,
      "Leave its pan and tilt unsaid, or take its pin out.",
    );
  for (const [part, point] of [
    ["eyes", sitter.eyes],
    ["mouth", sitter.mouth],
    ["breast", sitter.breastbone],
  ] as const)
    if (!isClear(scene, camera.point, point))
      tell(
        "sight",
        0.3,
        () => `Something stands between camera ${camera.id} and the sitter's ${part}.`,
        "Move the furniture, or take a pin out.",
      );
}

/** How far a point lies outside the middle of the frame, as a share of it. */
function eyesOff(camera: SceneCamera, at: Vector3): number {
  const way = minus(at, camera.point);
  const depth = way[0] * camera.forward[0] + way[1] * camera.forward[1] + way[2] * camera.forward[2];
  if (depth < 0.05) return 1;
  const x = way[0] * camera.right[0] + way[1] * camera.right[1];
  const y = way[0] * camera.up[0] + way[1] * camera.up[1] + way[2] * camera.up[2];
  const off = Math.max(Math.abs(x) / camera.tanHalfWidth, Math.abs(y) / camera.tanHalfHeight) / depth / 2;
  return Math.max(0, off - (0.5 - eyesInside));
}

function tellKit(scene: Scene, ground: Ground, tell: Tell): void {
  const { cameras } = scene;
  for (const [k, camera] of cameras.entries()) {
    let used = 1;
    for (let j = 0; j < k; j++) if (cameras[j]!.said.lens === camera.said.lens) used++;
    if (used > (ground.lensCopies.get(camera.said.lens) ?? 1))
      tell("kit", 0.5, () => `${camera.lens.name} would be on two cameras.`, "Put another lens in the kit.");
    const [shortest, longest] = camera.lens.focal;
    const outside = Math.max(shortest - 0.5 - camera.focalMm, camera.focalMm - longest - 0.5);
    if (outside > 0)
      tell(
        "kit",
        outside / 10,
        () =>
          `Camera ${camera.id} is set to ${Math.round(camera.focalMm)} mm, which ${camera.lens.name} does not have.`,
        "Set a focal length that the lens has.",
      );
  }
}

function tellBoom(scene: Scene, microphone: Scene["microphones"][number], tell: Tell): void {
  const { room, sitter } = scene;
  const { units } = scene.plan;
  const tail = boomTail(microphone);
  const top = poleTop(microphone);
  const high = Math.max(microphone.point[2], tail[2], top?.[2] ?? 0) - (room.height - underCeiling);
  if (high > 0)
    tell(
      "boom",
      high,
      () => `The boom is ${lengthWords(high, units)} too high for the ceiling.`,
      "Bring it lower, or frame tighter.",
    );
  const low = sitter.crown[2] + overCrown - microphone.point[2];
  // In front of the face a boom may hang lower than the crown; over the head it may not.
  const ahead = Math.hypot(microphone.point[0] - sitter.head[0], microphone.point[1] - sitter.head[1]);
  if (low > 0 && ahead < 0.3)
    tell("boom", low, () => "The boom hangs at the sitter's head.", "Raise it, or bring it forward.");
  if (!isInside(room.outline, microphone.point[0], microphone.point[1]))
    tell("boom", 0.5, () => "The boom's tip is outside the room.", "Bring it in.");
  if (!top) return;
  const reach = Math.hypot(top[0] - tail[0], top[1] - tail[1], top[2] - tail[2]) - poleReach;
  if (reach > 0)
    tell(
      "boom",
      reach,
      () => `The boom's stand is ${lengthWords(reach, units)} farther off than its pole reaches.`,
      "Bring the stand nearer.",
    );
}

function tellLights(scene: Scene, tell: Tell): void {
  const { units } = scene.plan;
  for (const light of scene.lights) {
    const high = light.point[2] + light.size[1] / 2 - (scene.room.height - underCeiling);
    if (high > 0)
      tell(
        "ceiling",
        high,
        () => `${openSentence(lightName(light))} is ${lengthWords(high, units)} too high for the ceiling.`,
        "Lower it, or take a smaller modifier.",
      );
    const stand = scene.plan.kit.stands.find((s) => s.id === light.said.stand);
    const over = stand ? light.point[2] - stand.highest - 0.2 : 0;
    if (over > 0)
      tell(
        "ceiling",
        over,
        () =>
          `${openSentence(lightName(light))} is ${lengthWords(over, units)} higher than its stand reaches.`,
        "Lower it, or take a taller stand.",
      );
    const isForSitter = light.said.role === "key" || light.said.role === "fill" || light.said.role === "hair";
    if (isForSitter && !isClear(scene, light.point, scene.sitter.eyes))
      tell(
        "sight",
        0.3,
        () => `Something stands between ${lightName(light)} and the sitter.`,
        "Move the furniture, or take a pin out.",
      );
  }
}

/** The frames of a camera where it stands and, on a rail, at the move's two ends, turned so that the sitter stays in place. */
function posesOf(scene: Scene, camera: SceneCamera): readonly PinHole[] {
  const poses: PinHole[] = [camera];
  const { sitter } = scene;
  const { tanHalfWidth, tanHalfHeight } = camera;
  for (const slide of scene.slides) {
    if (slide.camera.id !== camera.id) continue;
    for (const end of [slide.from, slide.to]) {
      const place = eyesPlaceFor(camera.said.shot, end, sitter);
      const aim =
        slide.said.head === "none"
          ? null
          : aimFor(end, sitter.eyes, place.x, place.y, tanHalfWidth, tanHalfHeight);
      const isHeld = !slide.said.tilts && camera.said.tilt !== undefined;
      const tilt = isHeld ? camera.tilt : (aim?.tilt ?? camera.tilt);
      poses.push(pinHole(end, aim?.pan ?? camera.pan, tilt, tanHalfWidth, tanHalfHeight));
    }
  }
  return poses;
}

/** A camera with its hood and screen; a stand's column: as the plan's figures take them. */
const cameraSize = 0.22;
const columnThick = 0.04;

function tellFrames(scene: Scene, tell: Tell): void {
  const { interviewer } = scene;
  const seat = interviewer.seatHeight ?? 0;
  const shoulders = interviewer.leftShoulder[2];
  const torso: Vector3 = [interviewer.head[0], interviewer.head[1], (shoulders + seat) / 2];
  for (const camera of scene.cameras)
    for (const pose of posesOf(scene, camera)) {
      const told = (depth: number, what: () => string, is = "is in"): void => {
        if (depth > 0)
          tell(
            "frames",
            0.05 + depth,
            () => `${openSentence(what())} ${is} camera ${camera.id}'s frame.`,
            "Move it out, frame tighter, or take a pin out.",
          );
      };
      for (const other of scene.cameras)
        if (other.id !== camera.id)
          told(oblongInFrame(pose, other.point, cameraSize, cameraSize), () => `Camera ${other.id}`);
      told(
        Math.max(
          oblongInFrame(pose, interviewer.head, 0.18, 0.26),
          oblongInFrame(pose, torso, 0.42, shoulders - seat),
        ),
        () => "The interviewer",
      );
      for (const light of scene.lights)
        told(
          oblongInFrame(pose, light.point, Math.max(0.2, light.size[0]), Math.max(0.2, light.size[1])),
          () => lightName(light),
        );
      for (const stand of scene.stands) {
        if (stand.kind === "camera" && stand.holds === camera.id) continue;
        const [x, y] = stand.at;
        told(
          Math.max(
            oblongInFrame(pose, [x, y, stand.top / 2], columnThick, stand.top),
            oblongInFrame(pose, [x, y, 0.15], 2 * stand.footprint, 0.3),
          ),
          () => standName(scene, stand),
        );
      }
      for (const microphone of scene.microphones) {
        if (microphone.said.role !== "boom") continue;
        const tail = boomTail(microphone);
        const top = poleTop(microphone);
        told(
          Math.max(
            barInFrame(pose, microphone.point, tail, boomGap, boomGap),
            top ? barInFrame(pose, tail, top, boomGap, boomGap) : 0,
          ),
          () => "The boom",
          `hangs into, or less than ${lengthWords(boomGap, scene.plan.units)} from,`,
        );
      }
      for (const slide of scene.slides)
        if (slide.camera.id !== camera.id)
          told(
            barInFrame(
              pose,
              [slide.from[0], slide.from[1], slide.from[2] - 0.15],
              [slide.to[0], slide.to[1], slide.to[2] - 0.15],
              0.08,
              0.08,
            ),
            () => `The rail of camera ${slide.camera.id}`,
          );
    }
}
