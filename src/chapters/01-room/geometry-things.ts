import type { SeenThing } from "#documents/room-result";
import { boxCorners } from "#science/geometry/box";
import { directionOf, type Vector3 } from "#science/geometry/vector3";
import { facingBar, facingOblong } from "#science/optics/clip-to-frame";
import type { PinHole } from "#science/optics/pin-hole";
import type { Scene, SceneMicrophone } from "./scene.ts";
import { theThing } from "./thing-words.ts";

/** Something that may stand in a frame: its flat faces as a camera sees them. */
export interface Thing {
  readonly id: string;
  readonly kind: SeenThing["kind"];
  readonly name: string;
  readonly middle: Vector3;
  faces(camera: PinHole): Vector3[][];
  /** The camera that it belongs to, which is not told about it. */
  readonly own?: string;
}

/** A camera with its hood and screen, metres to each side. Common practice. */
export const cameraSize = 0.22;
/** A boom's microphone in its windshield, metres. Common practice. */
export const boomSize = { long: 0.25, thick: 0.05 } as const;
/** How thick a stand's column is, metres. Common practice. */
export const columnThick = 0.04;

/** Words for a light: its role, else its name. */
export const lightName = (light: Scene["lights"][number]): string =>
  light.said.role === "other" ? theThing(light.light.name) : `the ${light.said.role} light`;

const cameraName = (id: string): string => `camera ${id}`;

/** Words for a stand: those of what it holds. */
export function standName(scene: Scene, { kind, holds }: Scene["stands"][number]): string {
  if (kind === "camera") return `the stand of ${cameraName(holds)}`;
  if (kind === "boom") return "the boom's stand";
  const light = scene.lights.find((l) => l.id === holds);
  return `the stand of ${light ? lightName(light) : holds}`;
}

/** Words for a window or a door. */
export const openingName = (scene: Scene, id: string): string => {
  const opening = scene.openings.find((o) => o.id === id);
  return theThing(opening?.name ?? opening?.kind ?? "opening");
};

/** The end of a boom's pole over its stand: a little above the microphone, so that the pole slopes down to it. */
export function poleTop(microphone: SceneMicrophone): Vector3 | null {
  const stand = microphone.said.standAt;
  return stand ? [stand[0], stand[1], Math.max(1.6, microphone.point[2] - 0.1)] : null;
}

/** A boom's microphone: from its tip back along its axis. */
export const boomTail = (microphone: SceneMicrophone): Vector3 => [
  microphone.point[0] - microphone.direction[0] * boomSize.long,
  microphone.point[1] - microphone.direction[1] * boomSize.long,
  microphone.point[2] - microphone.direction[2] * boomSize.long,
];

/** Everything of a scene that a lens might take in, apart from the sitter, floor, walls and ceiling. */
export function thingsOf(scene: Scene): Thing[] {
  const things: Thing[] = [];
  for (const camera of scene.cameras)
    things.push({
      id: camera.id,
      kind: "camera",
      name: cameraName(camera.id),
      middle: camera.point,
      own: camera.id,
      faces: (seenBy) => [facingOblong(seenBy, camera.point, cameraSize, cameraSize)],
    });
  const { interviewer } = scene;
  const { upright, legs } = bodyOf(interviewer);
  things.push({
    id: "interviewer",
    kind: "interviewer",
    name: "the interviewer",
    middle: interviewer.head,
    faces: (seenBy) => [
      ...upright.map(({ middle, width, height }) => facingOblong(seenBy, middle, width, height)),
      ...legs.map(([from, to]) => facingBar(seenBy, from, to, legsThick)),
    ],
  });
  for (const light of scene.lights)
    things.push({
      id: light.id,
      kind: "light",
      name: lightName(light),
      middle: light.point,
      faces: (seenBy) => [
        facingOblong(seenBy, light.point, Math.max(0.2, light.size[0]), Math.max(0.2, light.size[1])),
      ],
    });
  for (const stand of scene.stands)
    things.push({
      id: stand.holds,
      kind: "stand",
      name: standName(scene, stand),
      middle: [stand.at[0], stand.at[1], stand.top / 2],
      ...(stand.kind === "camera" && { own: stand.holds }),
      faces: (seenBy) => [
        facingOblong(seenBy, [stand.at[0], stand.at[1], stand.top / 2], columnThick, stand.top),
        facingOblong(seenBy, [stand.at[0], stand.at[1], 0.15], 2 * stand.footprint, 0.3),
      ],
    });
  for (const microphone of scene.microphones) {
    if (microphone.said.role !== "boom") continue;
    const top = poleTop(microphone);
    things.push({
      id: microphone.id,
      kind: "boom",
      name: "the boom",
      middle: microphone.point,
      faces: (seenBy) => [
        facingBar(seenBy, microphone.point, boomTail(microphone), boomSize.thick),
        ...(top ? [facingBar(seenBy, boomTail(microphone), top, 0.03)] : []),
      ],
    });
  }
  for (const slide of scene.slides)
    things.push({
      id: slide.id,
      kind: "rail",
      name: `the rail of ${cameraName(slide.camera.id)}`,
      middle: [
        (slide.from[0] + slide.to[0]) / 2,
        (slide.from[1] + slide.to[1]) / 2,
        (slide.from[2] + slide.to[2]) / 2 - 0.15,
      ],
      faces: (seenBy) => [
        facingBar(
          seenBy,
          [slide.from[0], slide.from[1], slide.from[2] - 0.15],
          [slide.to[0], slide.to[1], slide.to[2] - 0.15],
          0.08,
        ),
      ],
    });
  for (const wall of scene.walls)
    for (const opening of wall.openings)
      things.push({
        id: opening.said.id,
        kind: opening.said.kind === "window" ? "window" : "door",
        name: opening.said.name ?? opening.said.kind,
        middle: opening.middle,
        faces: () => [[...opening.corners]],
      });
  for (const box of scene.furniture)
    things.push({
      id: box.id,
      kind: "furniture",
      name: box.name,
      middle: [box.at[0], box.at[1], box.base + box.size[2] / 2],
      faces: (seenBy) => {
        const c = boxCorners(box);
        const sides = [0, 1, 2, 3].map((i) => [c[i]!, c[(i + 1) % 4]!, c[((i + 1) % 4) + 4]!, c[i + 4]!]);
        if (seenBy.point[2] > box.base + box.size[2]) sides.push(c.slice(4));
        return sides.filter((side) => facesCamera(side, seenBy, box));
      },
    });
  return things;
}

/** Whether a side of a box turns towards the camera: the camera lies on the far side of it from the box's middle. */
function facesCamera(
  side: readonly Vector3[],
  camera: PinHole,
  box: {
    readonly at: readonly [number, number];
    readonly size: readonly [number, number, number];
    readonly base: number;
  },
): boolean {
  const [a, b] = [side[0]!, side[1]!];
  if (side.every((p) => p[2] === a[2])) return true;
  const nx = b[1] - a[1];
  const ny = a[0] - b[0];
  const of = (x: number, y: number): number => (x - a[0]) * nx + (y - a[1]) * ny;
  return of(camera.point[0], camera.point[1]) * of(box.at[0], box.at[1]) < 0;
}

/** Both legs as one, metres to each side. Common practice. */
export const legsThick = 0.3;

/** What a frame may catch of a person: head and trunk as upright oblongs, thighs and shins of one who sits as bars. */
interface Body {
  readonly upright: readonly { readonly middle: Vector3; readonly width: number; readonly height: number }[];
  readonly legs: readonly (readonly [Vector3, Vector3])[];
}

/** A person's {@link Body}; of one who stands the trunk reaches the floor, without legs. */
export function bodyOf(person: Scene["interviewer"]): Body {
  const { head, leftShoulder, seatHeight } = person;
  const [shoulders, seat] = [leftShoulder[2], seatHeight ?? 0];
  return {
    upright: [
      { middle: head, width: 0.18, height: 0.26 },
      { middle: [head[0], head[1], (shoulders + seat) / 2], width: 0.42, height: shoulders - seat },
    ],
    legs: legsOf(person),
  };
}

function legsOf({ said, seatHeight, stature, bodyHeading }: Scene["interviewer"]): [Vector3, Vector3][] {
  if (seatHeight === null) return [];
  const ahead = directionOf(bodyHeading);
  // Seat's middle to the knee: 0.25 of stature (buttock to knee less half the seat; ANSUR 1988, from memory).
  const reach = 0.25 * stature;
  const lap: Vector3 = [said.at[0], said.at[1], seatHeight + 0.08];
  const knee: Vector3 = [lap[0] + ahead[0] * reach, lap[1] + ahead[1] * reach, lap[2]];
  return [
    [lap, knee],
    [knee, [knee[0], knee[1], 0]],
  ];
}
