import { distanceBetween, normalised, type Vector3 } from "../picture/lens-view.ts";
import { room } from "../picture/loft-light.ts";
import { mouthPoint } from "../picture/miller-shape.ts";
import { cameraAPosition, cameraBPosition } from "../picture/staging.ts";
import { type Microphone, type Shoebox, speedOfSound } from "./room-response.ts";

/** The loft as a box for sound: stone, boards and beams, with sacks and straw to take some of it. */
export const loftBox: Shoebox = {
  min: [room.minX, room.minY, room.minZ],
  max: [room.maxX, room.maxY, room.maxZ],
  reflection: [0.84, 0.7, 0.84],
  trebleHz: 15_000,
};

export const interviewerMouth: Vector3 = [-0.78, 1.2, cameraAPosition[2] - 0.35];
export const slatePoint: Vector3 = [0.02, 1.05, 0.55];

const boomPlace: Vector3 = [-0.16, 1.83, 0.34];
const cameraMicrophone: Vector3 = [cameraBPosition[0], cameraBPosition[1] + 0.09, cameraBPosition[2]];

function towards(from: Vector3, to: Vector3): Vector3 {
  return normalised([to[0] - from[0], to[1] - from[1], to[2] - from[2]]);
}

/** The three microphones that record. */
export const microphones = {
  lav: { at: [-0.028, 0.985, 0.122] },
  boom: { at: boomPlace, axis: towards(boomPlace, mouthPoint), pattern: 0.63 },
  scratch: { at: cameraMicrophone, axis: towards(cameraMicrophone, mouthPoint), pattern: 0.45 },
} as const satisfies Record<string, Microphone>;

/** Seconds that the sitter's voice takes to a microphone. */
export function voiceTravelSeconds(microphone: keyof typeof microphones): number {
  return distanceBetween(mouthPoint, microphones[microphone].at) / speedOfSound;
}
