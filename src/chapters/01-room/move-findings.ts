import type { Finding } from "#documents/finding";
import type { MoveFigures, SoundFigures } from "#documents/room-light-result";
import { circleOfConfusionMm, depthOfFieldMm } from "#science/optics/depth-of-field";
import { stopWords } from "#science/optics/stops";
import { type LengthUnits, lengthWords } from "#science/units/length-words";
import { durationFigure } from "#science/units/time-figures";
import type { Scene } from "./scene.ts";

/** Uprights that cross the frame in less than this judder. Common practice: seven seconds at 24 and 25 frames. */
const judderSeconds = 7;
/** Wander that is told, pixels. */
const seenWander = 2;
/** A motor this far under the voice is not heard, dB. Common practice. */
const quietDb = 30;
/** More keyframes than this are a labour to type. */
const manyKeyframes = 12;

type Tell = (code: string, weight: Finding["weight"], says: string, remedy: string, figure?: string) => void;

/** What is wrong or worth knowing about the moves. */
export function moveFindings(moves: readonly MoveFigures[], scene: Scene, sound?: SoundFigures): Finding[] {
  return moves.flatMap((move) => {
    const findings: Finding[] = [];
    const tell: Tell = (code, weight, says, remedy, figure) =>
      findings.push({
        code: `room.move-${code}`,
        weight,
        says,
        remedy,
        evidence: { where: move.id, ...(figure === undefined ? {} : { figure }) },
      });
    limitFindings(move, scene.plan.units, tell);
    pictureFindings(move, scene, tell);
    const speech = new Map(sound?.microphones.map((m) => [m.id, m.speechDb]));
    for (const { microphone, db } of move.noise) {
      const voice = speech.get(microphone);
      if (voice !== undefined && voice - db < quietDb)
        tell(
          "noise",
          "warn",
          `The slider's motor is ${(voice - db).toFixed(0)} dB under the voice in the microphone ${microphone} at full speed.`,
          "Move it slower, or bring the microphone nearer to the mouth.",
          `${db.toFixed(0)} dB(A)`,
        );
    }
    return findings;
  });
}

function limitFindings(move: MoveFigures, units: LengthUnits, tell: Tell): void {
  const { limits, metres, fastest, camera } = move;
  if (limits.travel !== null && metres > limits.travel + 0.005)
    tell(
      "too-long",
      "stop",
      `Camera ${camera}'s move is ${lengthWords(metres, units)} long; its slider travels ${lengthWords(limits.travel, units)}.`,
      "Bring its ends nearer together, or take a longer slider.",
      lengthWords(metres, units),
    );
  if (limits.speed !== null && fastest.metresPerSecond > limits.speed)
    tell(
      "too-fast",
      "stop",
      `Camera ${camera}'s move asks for ${lengthWords(fastest.metresPerSecond, units)} a second; its slider gives ${lengthWords(limits.speed, units)}.`,
      `Give it ${durationFigure(Math.ceil((move.seconds * fastest.metresPerSecond) / limits.speed))}.`,
    );
  if (limits.loadKg !== null && limits.weightKg !== null && limits.weightKg > limits.loadKg)
    tell(
      "too-heavy",
      "stop",
      `Camera ${camera} with its lens weighs ${limits.weightKg.toFixed(1)} kg without its head; its slider carries ${limits.loadKg.toFixed(1)} kg.`,
      "Take a lighter lens or a stronger slider.",
    );
}

function pictureFindings(move: MoveFigures, scene: Scene, tell: Tell): void {
  const { camera, background, line, residual } = move;
  if (line.crossed)
    tell(
      "line",
      "warn",
      `Camera ${camera} crosses the line between sitter and interviewer on its way.`,
      "Keep both ends of the rail on the side where the other camera is.",
    );
  for (const { what, from, to } of move.seesOwn)
    tell(
      "sees-own",
      "warn",
      `Camera ${camera} sees its own ${what} from ${durationFigure(from)} to ${durationFigure(to)} of its move.`,
      "Turn the rail more across the view, raise the lens, or take a longer focal length.",
    );
  if (background.secondsAcross !== null && background.secondsAcross < judderSeconds)
    tell(
      "judder",
      "warn",
      `Behind the sitter things cross camera ${camera}'s frame in ${durationFigure(background.secondsAcross)}, so uprights will judder.`,
      `Give the move ${durationFigure(Math.ceil((move.seconds * judderSeconds) / background.secondsAcross))} or more.`,
      `${background.pixelsPerFrame.toFixed(1)} pixels a frame`,
    );
  if (background.leanPixels !== null && Math.abs(background.leanPixels) > 4)
    tell(
      "lean",
      "note",
      `Uprights behind the sitter lean by ${Math.abs(background.leanPixels).toFixed(0)} pixels while camera ${camera} moves.`,
      "Move slower, or read a smaller part of the sensor.",
    );
  if (residual.worst > seenWander)
    tell(
      "wander",
      move.head === "none" ? "warn" : "note",
      move.head === "none"
        ? `Without a head that turns, the sitter goes ${residual.worst.toFixed(0)} pixels across camera ${camera}'s frame.`
        : `The sitter wanders by ${residual.worst.toFixed(1)} pixels in camera ${camera}'s frame${move.tilts ? "" : ", for the head does not tilt"}.`,
      move.head === "none"
        ? `A head that pans ${move.panDegrees.toFixed(1)}° would hold the sitter still.`
        : "Let the head tilt too, or lay the rail level.",
      `${residual.worst.toFixed(1)} pixels`,
    );
  if (move.keyframes.length > manyKeyframes && move.head !== "none")
    tell(
      "keyframes",
      "note",
      `Camera ${camera}'s head needs ${move.keyframes.length} keyframes to hold the sitter within a pixel.`,
      move.head === "linear" && move.ease === "in-out"
        ? "A head that runs smoothly through its keyframes needs fewer, or a carriage without a soft start."
        : "A shorter move, or one farther away, needs fewer.",
    );
  const lens = scene.cameras.find((c) => c.id === camera);
  if (lens) {
    const length = (metres: number): string => lengthWords(metres, scene.plan.units);
    const confusion = circleOfConfusionMm(scene.plan.confusion, lens.sensorMm, lens.pixels[0]);
    const start = move.focus.nearest + (move.focus.farthest - move.focus.nearest) / 2;
    const { near, far } = depthOfFieldMm(lens.focalMm, lens.stop, confusion, start * 1000);
    if (move.focus.nearest * 1000 < near || move.focus.farthest * 1000 > far)
      tell(
        "focus",
        "warn",
        `The sitter's distance from camera ${camera} runs from ${length(move.focus.nearest)} to ${length(move.focus.farthest)}, more than is sharp at f/${stopWords(lens.stop)}.`,
        "Let the focus follow, close the stop, or lay the rail square to the sitter.",
        `sharp from ${length(near / 1000)} to ${Number.isFinite(far) ? length(far / 1000) : "without end"}`,
      );
  }
  if (move.turnsAfter !== null)
    tell(
      "turns",
      "note",
      `Camera ${camera} turns round after ${durationFigure(move.turnsAfter)}, and stands still for a moment there.`,
      "Start it as you ask a question, so that it turns in the middle of the answer.",
    );
}
