import { minus, tiltOf } from "#science/geometry/vector3";
import { shotFrame } from "#science/optics/shot-size";
import { liking, likingHigh, likingLow } from "#science/search/liking";
import { listWords } from "./figure-words.ts";
import type { CameraLook, Look } from "./propose-look.ts";
import { degrees, hasCameras, mean, type SoftRules, words } from "./propose-soft-rule.ts";

const hasPair = (look: Look): boolean => look.pair !== null;
const first = (look: Look) => look.cameras[0];
const others = (look: Look) => look.cameras.slice(1);

/** How far a lens stands over the eyes, degrees as seen from them. */
const downOn = (look: Look, { camera }: CameraLook): number =>
  tiltOf(minus(camera.point, look.scene.sitter.eyes));

/** How far each camera's room over the head is from its shot's own, shares of the frame's height. */
const headroomsOff = (look: Look): number[] =>
  look.cameras.map(({ camera, crown }) => {
    const { stature, seatHeight } = look.scene.sitter;
    return Math.abs(crown - shotFrame(camera.said.shot, stature, seatHeight).headroom);
  });

/** The second camera's lens is the longer one where its shot is the tighter, and the other way round. */
function isTighterLonger(look: Look): boolean {
  const [a, b] = look.cameras;
  if (!a || !b || !look.pair) return true;
  const tall = (c: typeof a): number => 2 * c.camera.sitterDepth * c.camera.tanHalfHeight;
  const [equalA, equalB] = look.pair.equalFocalMm;
  return (equalA - equalB) * (tall(a) - tall(b)) <= 0;
}

/** What is wished of the cameras: how far off the gaze and off each other, their lenses, heights and frames. */
export const cameraRules = {
  "eyeline-a": {
    name: "Eyeline close to the first lens",
    asked: hasCameras,
    score: (look) => liking(first(look)!.eyeline, 2, 8, 15, 40),
    says: (look) =>
      `The sitter looks ${degrees(first(look)!.eyeline)} past camera ${first(look)!.camera.id}.`,
  },
  "eyeline-b": {
    name: "Eyeline off the other lens",
    asked: (look) => look.cameras.length > 1,
    score: (look) => mean(others(look).map((c) => liking(c.eyeline, 8, 28, 43, 65))),
    says: (look) =>
      `${listWords(others(look).map((c) => `Camera ${c.camera.id} stands ${degrees(c.eyeline)} off the gaze`))}.`,
  },
  "step-angle": {
    name: "Angle between the two cameras",
    asked: hasPair,
    score: (look) => liking(look.pair!.angleChange, 8, 28, 38, 65),
    says: (look) =>
      `The cameras are ${degrees(look.pair!.angleChange)} apart${look.pair!.angleChange >= 28 ? ": a cut is seen as meant" : ""}.`,
  },
  "step-lens": {
    name: "Step between the two lenses",
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
  depth: {
    name: "Depth behind the sitter",
    asked: hasCameras,
    score: (look) => mean(look.cameras.map((c) => likingHigh(c.behind, 0.5, 4))),
    says: (look) =>
      `Behind the sitter are ${listWords(look.cameras.map((c) => `${words(look, c.behind)} in camera ${c.camera.id}`))}.`,
  },
  blur: {
    name: "Soft background",
    asked: hasCameras,
    score: (look) => mean(look.cameras.map((c) => likingHigh(c.blur, 0.002, 0.03))),
    says: (look) =>
      `Behind the sitter a small light blurs to ${listWords(look.cameras.map((c) => `${(c.blur * 100).toFixed(1)} % of the frame's height in camera ${c.camera.id}`))}.`,
  },
  "eye-line": {
    name: "Lens at the height that was wished for",
    asked: hasCameras,
    score: (look) =>
      mean(
        look.cameras.map((camera) => {
          const wish = look.scene.plan.wishes.eyeLine ?? "level";
          const down = downOn(look, camera);
          const off = wish === "level" ? Math.abs(down) - 1.5 : wish === "above" ? 2 - down : down + 2;
          return likingLow(off, 0.5, 9);
        }),
      ),
    says: (look) =>
      `${listWords(
        look.cameras.map((c, k) => {
          const down = downOn(look, c);
          const name = `${k === 0 ? "Camera" : "camera"} ${c.camera.id}`;
          return Math.abs(down) < 1.5
            ? `${name} is level with the eyes`
            : `${name} looks ${degrees(Math.abs(down))} ${down > 0 ? "down on" : "up at"} them`;
        }),
      )}.`,
  },
  headroom: {
    name: "Head room of the shot",
    asked: hasCameras,
    score: (look) => mean(headroomsOff(look).map((off) => likingLow(off, 0.03, 0.15))),
    says: (look) =>
      `Over the head ${look.cameras.length === 1 ? "is" : "are"} ${listWords(look.cameras.map((c) => `${Math.round(c.crown * 100)} % of camera ${c.camera.id}'s frame`))}.`,
  },
  perspective: {
    name: "Lenses far enough for a natural face",
    asked: hasCameras,
    score: (look) => mean(look.cameras.map((c) => likingHigh(c.camera.sitterDistance, 0.6, 1.8))),
    says: (look) =>
      `The lenses are ${listWords(look.cameras.map((c) => words(look, c.camera.sitterDistance)))} from the face.`,
  },
} satisfies SoftRules;
