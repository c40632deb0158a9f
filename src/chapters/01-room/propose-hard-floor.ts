import { distanceToBox } from "#science/geometry/box";
import { distanceToEdge, distanceToOutline, isInside } from "#science/geometry/polygon";
import { lengthWords } from "#science/units/length-words";
import { openSentence } from "#science/units/number-words";
import { seatRadius } from "./geometry-reach.ts";
import { standName } from "./geometry-things.ts";
import type { Ground } from "./propose-ground.ts";
import type { Tell } from "./propose-hard-rule.ts";
import { type FloorDisc, goalsCutOff, wayBreadth } from "./propose-ways.ts";
import type { Scene } from "./scene.ts";
import { theThing } from "./thing-words.ts";

/* Common practice, metres. */

/** A chair may reach between a stand's legs by this share of their spread: three legs leave room between them. */
const betweenLegs = 0.5;
/** A rail with its end stops, to each side. */
const railRadius = 0.15;
/** Furniture that hangs higher is passed under. */
const overhead = 1.9;

/** Something that stands on the floor. */
interface Footing {
  readonly id: string;
  /** Undefined: a person. */
  readonly stand: Scene["stands"][number] | undefined;
  readonly at: readonly [number, number];
  readonly radius: number;
}

/** The two people, then every stand. */
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

/** Words for what stands on the floor. */
const footingName = (scene: Scene, { id, stand }: Footing): string =>
  stand ? standName(scene, stand) : `the ${id}`;

/** How far a disc on the floor reaches past the room's walls, metres; under 0: it stays clear of them. */
function pastWalls({ room }: Scene, [x, y]: readonly [number, number], radius: number): number {
  const edge = distanceToOutline(room.outline, x, y);
  return radius - (isInside(room.outline, x, y) ? edge : -edge);
}

/** Tells what stands in a wall, in furniture or in something else's place, rails as well. */
export function tellFloor(scene: Scene, ground: Ground, tell: Tell): void {
  const { units } = scene.plan;
  const footings = footingsOf(scene);
  for (let k = 0; k < footings.length; k++) {
    const footing = footings[k]!;
    const [x, y] = footing.at;
    const over = pastWalls(scene, footing.at, footing.radius);
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

/** Tells where a rail is longer than its slider, or runs into a wall, furniture, a person or a stand. */
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
    const over = pastWalls(scene, end, railRadius);
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

/** Tells of the chairs and cameras that no way from the door leads to; much dearer to work out than the rest. */
export function tellWays(scene: Scene, ground: Ground, tell: Tell): void {
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
