import type { Finding } from "#documents/finding";
import type { RoomCamera, SeenThing } from "#documents/room-result";
import { dot, minus, type Vector3 } from "#science/geometry/vector3";
import { depthOfFieldMm } from "#science/optics/depth-of-field";
import { engravedStops, stopWords } from "#science/optics/stops";
import { headMetres } from "#science/people/body-points";
import { type LengthUnits, lengthWords } from "#science/units/length-words";
import { openSentence } from "#science/units/number-words";
import { paneName } from "./geometry-reflections.ts";
import type { Scene } from "./scene.ts";
import { theThing } from "./thing-words.ts";

/** What is wrong or worth knowing in each frame. */
export function cameraFindings(cameras: readonly RoomCamera[], scene: Scene): Finding[] {
  const { units } = scene.plan;
  return cameras.flatMap((camera) => [
    ...sitterFindings(camera, units),
    ...camera.seen.flatMap((thing) => seenFinding(camera, thing, scene)),
    ...boomFindings(camera, units),
    ...focusFindings(camera, scene),
    ...shotFindings(camera, units),
    ...eyelineFindings(camera),
    ...camera.reflections.map(
      (r): Finding => ({
        code: "room.reflection",
        weight: "warn",
        says: `${openSentence(r.name)} is mirrored in ${paneName(scene, r.in)} in camera ${camera.id}.`,
        remedy:
          r.in === "glasses"
            ? "Raise the light or bring it farther round, or tip the arms of the glasses up behind the ears."
            : "Turn or cover the glass, or move the one or the other until it is gone from the frame.",
        evidence: {
          where: r.of,
          figure: `at ${percent(r.at[0])} from the left, ${percent(r.at[1])} from the top`,
        },
      }),
    ),
  ]);
}

const percent = (share: number): string => `${Math.round(share * 100)} %`;

function sitterFindings(camera: RoomCamera, units: LengthUnits): Finding[] {
  const { x, y } = camera.shot.eyes;
  if (!camera.seesSitter)
    return [
      {
        code: "room.sitter-hidden",
        weight: "stop",
        says: `Something stands between camera ${camera.id} and the sitter.`,
        remedy: "Move the camera, or what is in its way.",
        evidence: { where: camera.id, figure: lengthWords(camera.sitterMetres, units) },
      },
    ];
  if (x < 0 || x > 1 || y < 0 || y > 1)
    return [
      {
        code: "room.sitter-out-of-frame",
        weight: "stop",
        says: `Camera ${camera.id} does not have the sitter's eyes in its frame.`,
        remedy: "Turn it to the sitter, or clear its pan and tilt: the plan then frames its shot.",
        evidence: { where: camera.id, figure: `pan ${camera.pan.toFixed(1)} degrees` },
      },
    ];
  return [];
}

/** How a thing of each kind weighs, and what can be done. */
const unwelcome: Readonly<Record<SeenThing["kind"], "stop" | "warn">> = {
  camera: "stop",
  interviewer: "stop",
  light: "stop",
  boom: "stop",
  stand: "warn",
  rail: "warn",
  window: "warn",
  door: "warn",
  furniture: "warn",
};

function seenFinding(camera: RoomCamera, thing: SeenThing, scene: Scene): Finding[] {
  // The boom is told by its gap.
  if (thing.kind === "boom" && camera.clears.some((c) => c.id === thing.id)) return [];
  const evidence = {
    where: thing.id,
    figure: `${(thing.area * 100).toFixed(thing.area < 0.01 ? 2 : 1)} % of camera ${camera.id}'s frame`,
  };
  if (thing.kind === "window" && !thing.unwanted) {
    const opening = scene.openings.find((o) => o.id === thing.id);
    if (!opening || opening.covered >= 1 || scene.plan.wishes.show.includes(thing.id)) return [];
    return [
      {
        code: "room.window-in-frame",
        weight: "warn",
        says: `${openSentence(theThing(thing.name))} is in camera ${camera.id}'s frame; its daylight will outshine the sitter unless it is held down.`,
        remedy: "Cover it, turn the camera away from it, or light the sitter up to it.",
        evidence,
      },
    ];
  }
  if (!thing.unwanted) return [];
  const breadth = 2 * Math.tan((camera.fieldOfView.width * Math.PI) / 360) * thing.metres;
  const aside = Math.min(thing.box[2], 1 - thing.box[0]) * breadth + 0.05;
  const away = lengthWords(aside, scene.plan.units);
  const isOurs = thing.kind !== "furniture" && thing.kind !== "door" && thing.kind !== "window";
  return [
    {
      code: `room.${thing.kind}-in-frame`,
      weight: unwelcome[thing.kind],
      says: isOurs
        ? `${openSentence(thing.name)} stands in camera ${camera.id}'s frame.`
        : `${openSentence(theThing(thing.name))} was to be hidden and is in camera ${camera.id}'s frame.`,
      remedy: isOurs
        ? `Move it ${away} out to the ${thing.box[2] < 1 - thing.box[0] ? "left" : "right"} as the camera sees it, or frame tighter.`
        : `Move the camera, frame tighter, or take it ${away} to the side.`,
      evidence,
    },
  ];
}

/** A gap that a nodding boom or a leaning sitter uses up, metres. Common practice. */
const safeGap = 0.05;

function boomFindings(camera: RoomCamera, units: LengthUnits): Finding[] {
  return camera.clears.flatMap(({ id, metres, pixels }): Finding[] => {
    const evidence = {
      where: id,
      figure: `${lengthWords(metres, units)}, ${Math.round(pixels)} pixels of camera ${camera.id}`,
    };
    if (metres < 0)
      return [
        {
          code: "room.boom-in-frame",
          weight: "stop",
          says: `The boom hangs ${lengthWords(-metres, units)} into camera ${camera.id}'s frame.`,
          remedy: `Raise it by ${lengthWords(-metres + safeGap, units)}, or frame tighter.`,
          evidence,
        },
      ];
    if (metres < safeGap - 0.005)
      return [
        {
          code: "room.boom-close",
          weight: "note",
          says: `The boom clears camera ${camera.id} by ${lengthWords(metres, units)}; a stand that sinks a little would be seen.`,
          remedy: `Raise it by ${lengthWords(safeGap - metres, units)} if the sound allows.`,
          evidence,
        },
      ];
    return [];
  });
}

function focusFindings(camera: RoomCamera, scene: Scene): Finding[] {
  const { units } = scene.plan;
  const placed = scene.cameras.find((c) => c.id === camera.id)!;
  const found: Finding[] = [];
  const { closeFocus } = placed.lens;
  if (placed.sitterDepth < closeFocus)
    found.push({
      code: "room.too-close-to-focus",
      weight: "stop",
      says: `Camera ${camera.id} is ${lengthWords(placed.sitterDepth, units)} from the sitter; its lens focuses from ${lengthWords(closeFocus, units)} on.`,
      remedy: `Move it back by ${lengthWords(closeFocus - placed.sitterDepth, units)}, or take a lens that focuses closer.`,
      evidence: { where: camera.id, figure: lengthWords(placed.sitterDepth, units) },
    });
  else if (!camera.focus.faceIsSharp) {
    const nose = (placed.sitterDepth - headMetres.noseToEar + headMetres.eyesForward) * 1000;
    const enough = engravedStops.find((stop) => {
      if (stop <= camera.stop) return false;
      const { near, far } = depthOfFieldMm(
        camera.focalMm,
        stop,
        camera.focus.confusionMm,
        camera.focus.metres * 1000,
      );
      return near <= nose && far >= nose + headMetres.noseToEar * 1000;
    });
    const deep = camera.focus.far === null ? Number.POSITIVE_INFINITY : camera.focus.far - camera.focus.near;
    // The focus is on the nearer eye; both limits are depths along the axis, and so is the eye's.
    const ahead = (eye: Vector3): number => dot(minus(eye, placed.point), placed.forward);
    const eye = Math.min(ahead(scene.sitter.leftEye), ahead(scene.sitter.rightEye));
    const misses = camera.focus.near > eye || camera.focus.near + deep < eye;
    found.push({
      code: misses ? "room.eyes-not-sharp" : "room.face-not-sharp",
      weight: misses ? "stop" : "note",
      says: misses
        ? `Camera ${camera.id} is sharp from ${lengthWords(camera.focus.near, units)} to ${limit(camera.focus.far, units)}; the sitter's nearer eye is at ${lengthWords(eye, units)}.`
        : `At f/${stopWords(camera.stop)} camera ${camera.id} is sharp over ${lengthWords(deep, units)}, less than a face from nose to ear; a sitter who leans goes soft.`,
      remedy: misses
        ? "Set the focus to the nearer eye."
        : enough === undefined
          ? "Stop down, or stand farther off."
          : `Stop down to f/${stopWords(enough)} to hold the whole face, or watch the eyes.`,
      evidence: {
        where: camera.id,
        figure: `${lengthWords(camera.focus.near, units)} to ${limit(camera.focus.far, units)}`,
      },
    });
  }
  return found;
}

const limit = (far: number | null, units: LengthUnits): string =>
  far === null ? "without end" : lengthWords(far, units);

/** A frame this much taller or shorter than the shot's own is another shot. */
const otherShot = 1.22;
/** Less of the width than this before the eyes crowds a sitter who looks out of frame. Common practice. */
const leastLookRoom = 0.45;
/** Nearer than this a face looks pushed forward: nose over ear. Common practice. */
const pushedFace = 1.12;

function shotFindings(camera: RoomCamera, units: LengthUnits): Finding[] {
  const found: Finding[] = [];
  const { shot } = camera;
  const times = camera.sitterMetres / shot.wishedMetres;
  if (times > otherShot || times < 1 / otherShot)
    found.push({
      code: "room.other-shot",
      weight: "warn",
      says: `Camera ${camera.id} takes in ${lengthWords(camera.frame.height, units)} of height at the sitter: ${article(shot.is)} shot, where ${article(shot.wished)} was wished for.`,
      remedy: `Stand ${lengthWords(shot.wishedMetres, units)} from the sitter with this lens, or use ${Math.round(shot.wishedFocalMm)} mm from here.`,
      evidence: {
        where: camera.id,
        figure: `${lengthWords(camera.sitterMetres, units)}, ${Math.round(camera.focalMm)} mm`,
      },
    });
  if (shot.headroom < 0 && shot.wished !== "close-up")
    found.push({
      code: "room.head-cut",
      weight: "warn",
      says: `Camera ${camera.id}'s frame cuts the top of the sitter's head.`,
      remedy: "Tilt up, or clear the tilt: the plan then frames the shot.",
      evidence: { where: camera.id, figure: percent(shot.headroom) },
    });
  if (shot.lookRoom < leastLookRoom && Math.abs(camera.eyeline.sideways) > 10)
    found.push({
      code: "room.look-room",
      weight: "warn",
      says: `In camera ${camera.id} the sitter looks at the nearer edge of the frame, with ${percent(shot.lookRoom)} of its width before the eyes.`,
      remedy: `Pan ${camera.eyeline.sideways > 0 ? "left" : "right"}, or clear the pan: the plan then gives look room.`,
      evidence: { where: camera.id, figure: percent(shot.lookRoom) },
    });
  if (camera.noseToEar > pushedFace)
    found.push({
      code: "room.face-pushed",
      weight: "warn",
      says: `From ${lengthWords(camera.sitterMetres, units)} camera ${camera.id} draws the nose ${Math.round((camera.noseToEar - 1) * 100)} % larger than the ear.`,
      remedy: "Go back and use a longer lens.",
      evidence: { where: camera.id, figure: camera.noseToEar.toFixed(2) },
    });
  if (camera.readout.finestPatternMm > 0.6)
    found.push({
      code: "room.fine-cloth",
      weight: "note",
      says: `Stripes or weaves finer than ${camera.readout.finestPatternMm.toFixed(1)} mm can shimmer in camera ${camera.id}.`,
      remedy: "Ask the sitter for plain cloth.",
      evidence: { where: camera.id, figure: `${camera.readout.finestPatternMm.toFixed(2)} mm` },
    });
  return found;
}

const article = (shot: string): string => `a ${shot}`;

/** Off the lens: less looks into it, more shows a profile. Common practice. */
const [leastEyeline, mostEyeline] = [3, 60];

function eyelineFindings(camera: RoomCamera): Finding[] {
  const { degrees } = camera.eyeline;
  const figure = `${degrees.toFixed(0)} degrees`;
  if (degrees > mostEyeline)
    return [
      {
        code: "room.eyeline-wide",
        weight: "warn",
        says: `The sitter looks ${figure} off camera ${camera.id}: nearer a profile than a face.`,
        remedy: "Bring the camera closer to the interviewer, or the interviewer closer to it.",
        evidence: { where: camera.id, figure },
      },
    ];
  if (degrees < leastEyeline)
    return [
      {
        code: "room.eyeline-into-lens",
        weight: "note",
        says: `The sitter looks almost into camera ${camera.id}.`,
        remedy: "Move the camera or the chair apart, unless the sitter is to speak to the viewer.",
        evidence: { where: camera.id, figure },
      },
    ];
  return [];
}
