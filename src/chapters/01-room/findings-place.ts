import type { Finding } from "#documents/finding";
import type { RoomCamera, RoomGeometry, RoomPair } from "#documents/room-result";
import { lengthWords } from "#science/units/length-words";
import { openSentence } from "#science/units/number-words";
import { lightName } from "./geometry-things.ts";
import type { Scene } from "./scene.ts";
import { theThing } from "./thing-words.ts";

/* Habits of the trade, metres and degrees. Common practice. */
const offTheWall = 1.2;
const talk = [0.9, 2.6] as const;
const chairRoom = 0.5;
const walkwayWidth = 0.7;
const easyTurn = 40;
const screenTurn = 75;

/** What is wrong or worth knowing of the places that people and things have. */
export function placeFindings(
  geometry: RoomGeometry,
  cameras: readonly RoomCamera[],
  pairs: readonly RoomPair[],
  scene: Scene,
): Finding[] {
  return [
    ...lineFindings(geometry, cameras),
    ...pairFindings(pairs),
    ...alikeFindings(scene),
    ...peopleFindings(geometry, scene),
    ...keyFindings(geometry, cameras, scene),
    ...wayFindings(geometry, scene),
  ];
}

function lineFindings(geometry: RoomGeometry, cameras: readonly RoomCamera[]): Finding[] {
  if (!geometry.lineCrossed) return [];
  const on = (side: string): string[] => cameras.filter((c) => c.side === side).map((c) => c.id);
  const [left, right] = [on("left"), on("right")];
  const fewer = left.length <= right.length ? left : right;
  const which = fewer[0] ?? cameras[0]?.id ?? "";
  return [
    {
      code: "room.line-crossed",
      weight: "stop",
      says: `The line between the sitter and the interviewer runs between the cameras: the sitter would look left in one and right in the other.`,
      remedy: `Bring camera ${which} to the other side of the line, or turn both chairs.`,
      evidence: {
        where: which,
        figure: `${left.join(", ") || "none"} left, ${right.join(", ") || "none"} right`,
      },
    },
  ];
}

function pairFindings(pairs: readonly RoomPair[]): Finding[] {
  return pairs.flatMap((pair): Finding[] => {
    const [a, b] = pair.cameras;
    const figure = `${pair.angleChange.toFixed(0)} degrees, ${pair.sizeChange.toFixed(2)} times`;
    const longer = Math.round(pair.usualLongerMm);
    if (!pair.isClean)
      return [
        {
          code: "room.pair-jumps",
          weight: "warn",
          says: `From camera ${a} to ${b} the angle changes by ${pair.angleChange.toFixed(0)} degrees and the sitter's size by ${pair.sizeChange.toFixed(2)} times: a cut between them will jump.`,
          remedy: `Set them 30 degrees apart, or put a lens about two steps longer on one of them (${longer} mm on a sensor 36 mm wide).`,
          evidence: { where: b, figure },
        },
      ];
    if (pair.steps < 1.5 && pair.sizeChange < 1.4)
      return [
        {
          code: "room.pair-alike",
          weight: "note",
          says: `Cameras ${a} and ${b} show the sitter nearly as large.`,
          remedy: `A lens about two steps longer on one of them is usual (${longer} mm on a sensor 36 mm wide).`,
          evidence: { where: b, figure },
        },
      ];
    return [];
  });
}

/** What two cameras must share so that their pictures cut: frame rate; and what is better shared: the shutter. */
function alikeFindings({ cameras }: Scene): Finding[] {
  const [first, ...others] = cameras;
  return others.flatMap((camera): Finding[] => {
    const [a, b] = [first!.said, camera.said];
    if (Math.abs(a.frameRate - b.frameRate) > 0.001)
      return [
        {
          code: "room.frame-rates-differ",
          weight: "warn",
          says: `Camera ${a.id} runs at ${a.frameRate} frames a second and camera ${b.id} at ${b.frameRate}.`,
          remedy: "Set both alike, or motion will look uneven in one of them.",
          evidence: { where: b.id, figure: `${b.frameRate} frames a second` },
        },
      ];
    if (Math.abs(a.shutterAngle - b.shutterAngle) > 10)
      return [
        {
          code: "room.shutters-differ",
          weight: "note",
          says: `Camera ${a.id}'s shutter is ${Math.round(a.shutterAngle)} degrees and camera ${b.id}'s ${Math.round(b.shutterAngle)}: moving hands will blur differently.`,
          remedy: "Set both alike and use ND for the light.",
          evidence: { where: b.id, figure: `${Math.round(b.shutterAngle)} degrees` },
        },
      ];
    return [];
  });
}

function peopleFindings(geometry: RoomGeometry, scene: Scene): Finding[] {
  const { units } = scene.plan;
  const found: Finding[] = [];
  const words = (metres: number): string => lengthWords(metres, units);
  if (geometry.sitterToBehind < offTheWall)
    found.push({
      code: "room.sitter-near-wall",
      weight: "warn",
      says: `The sitter has ${words(geometry.sitterToBehind)} to what is behind: shadows fall on it and it will not go soft.`,
      remedy: `Bring the chair ${words(offTheWall - geometry.sitterToBehind)} forward.`,
      evidence: { where: "sitter", figure: words(geometry.sitterToBehind) },
    });
  if (geometry.talkMetres < talk[0] || geometry.talkMetres > talk[1])
    found.push({
      code: geometry.talkMetres < talk[0] ? "room.talk-close" : "room.talk-far",
      weight: "note",
      says: `Sitter and interviewer are ${words(geometry.talkMetres)} apart.`,
      remedy: `People talk easily from ${words(1.2)} to ${words(2)} apart.`,
      evidence: { where: "interviewer", figure: words(geometry.talkMetres) },
    });
  if (geometry.interviewerToWall < chairRoom)
    found.push({
      code: "room.interviewer-near-wall",
      weight: "note",
      says: `The interviewer's chair has ${words(geometry.interviewerToWall)} to the wall.`,
      remedy: "Leave room to push the chair back.",
      evidence: { where: "interviewer", figure: words(geometry.interviewerToWall) },
    });
  if (Math.abs(geometry.headTurn) > easyTurn)
    found.push({
      code: "room.head-turned",
      weight: "note",
      says: `The sitter turns the head ${Math.abs(geometry.headTurn).toFixed(0)} degrees from the chair to see the interviewer.`,
      remedy: `Turn the chair ${Math.abs(geometry.headTurn).toFixed(0)} degrees ${geometry.headTurn > 0 ? "clockwise" : "anticlockwise"}.`,
      evidence: { where: "sitter", figure: `${geometry.headTurn.toFixed(0)} degrees` },
    });
  const sights = geometry.sights.filter((s) => s.faces && s.clear && s.degrees < screenTurn);
  if (geometry.sights.length > 0 && sights.length === 0)
    found.push({
      code: "room.no-screen",
      weight: "note",
      says: "From the interviewer's chair no camera's screen can be read.",
      remedy: "Put a monitor beside the sitter's line of sight, or look at the frames at every break.",
      evidence: { where: "interviewer" },
    });
  return found;
}

function keyFindings(geometry: RoomGeometry, cameras: readonly RoomCamera[], scene: Scene): Finding[] {
  const found: Finding[] = [];
  const { key } = geometry;
  const lit = cameras.filter((c) => c.shadowSide === "away").map((c) => c.id);
  if (key && lit.length > 0)
    found.push({
      code: "room.lit-side",
      weight: "note",
      says: `${lit.length > 1 ? `Cameras ${lit.join(" and ")} see` : `Camera ${lit[0]} sees`} the lit side of the face; with the shadow side towards the lens it has more shape.`,
      remedy: "Put the key on the far side of the interviewer from the cameras.",
      evidence: { where: key.id, figure: `${key.sideways.toFixed(0)} degrees` },
    });
  for (const shadow of geometry.boomShadows) {
    const light = scene.lights.find((l) => l.id === shadow.light);
    const on = theThing(scene.furniture.find((f) => f.id === shadow.on)?.name ?? shadow.on);
    found.push({
      code: "room.boom-shadow",
      weight: "warn",
      says: `${openSentence(light ? lightName(light) : shadow.light)} throws the boom's shadow on ${on} in ${shadow.cameras.length > 1 ? "cameras" : "camera"} ${shadow.cameras.join(" and ")}.`,
      remedy: "Bring the boom in from the other side of the light, or make the light larger.",
      evidence: { where: shadow.boom },
    });
  }
  return found;
}

function wayFindings(geometry: RoomGeometry, scene: Scene): Finding[] {
  const { units } = scene.plan;
  const found: Finding[] = [];
  const door = scene.openings.find((o) => o.kind === "door");
  if (door && !geometry.walkway)
    found.push({
      code: "room.no-way-out",
      weight: "stop",
      says: "No way is left from the door to the interviewer's chair.",
      remedy: "Move a stand or a piece of furniture out of the way.",
      evidence: { where: door.id },
    });
  else if (geometry.walkway && geometry.walkway.metres < walkwayWidth)
    found.push({
      code: "room.walkway-narrow",
      weight: "warn",
      says: `The way from the door to the interviewer's chair narrows to ${lengthWords(geometry.walkway.metres, units)}.`,
      remedy: "Clear it; it is the way out too. Local codes decide how wide it must be.",
      evidence: { where: geometry.walkway.door, figure: lengthWords(geometry.walkway.metres, units) },
    });
  const crossing = geometry.cables.filter((c) => c.crossesWalkway);
  if (crossing.length > 0)
    found.push({
      code: "room.cable-across-way",
      weight: "note",
      says: `Even round by the walls, the cable of ${crossing.map((c) => nameOf(scene, c.id)).join(" and ")} (${crossing.map((c) => lengthWords(c.metres, units)).join(", ")}) crosses where people walk.`,
      remedy: "Cover it with a mat and tape it down, or use a battery light there. Local codes decide.",
      evidence: { where: crossing[0]!.id, figure: lengthWords(crossing[0]!.metres, units) },
    });
  return found;
}

const nameOf = (scene: Scene, id: string): string => {
  const light = scene.lights.find((l) => l.id === id);
  return light ? lightName(light) : id;
};
