import type { RenderClip } from "#documents/chapter";
import type { HandoverInputs } from "./handover-inputs.ts";
import type { Program } from "./program.ts";

/**
 * A tenth of a millisecond: a start that is exactly on a frame, less the rounding of double precision, must not
 * show the frame before. Far below any frame, so that it moves nothing else.
 */
const hair = 1e-4;

/** The shots as the renderer wants them: each with the LUTs of its camera. */
export function renderClips(program: Program, inputs: HandoverInputs): RenderClip[] {
  return program.shots.map(({ event, source }) => ({
    recording: source.recording,
    sourceStart: event.sourceStart + hair,
    sourceEnd: event.sourceEnd + hair,
    luts: inputs.luts[event.camera] ?? [],
    scale: event.scale ?? 1,
  }));
}

/** The leading camera's picture as displayed: turned as it asks, square pixels, even numbers. */
export function programSize({ recordings, leadingCamera }: HandoverInputs): {
  width: number;
  height: number;
} {
  const picture = recordings.find(({ device, probe }) => device === leadingCamera && probe.picture)!.probe
    .picture!;
  const even = (x: number): number => Math.max(2, Math.round(x / 2) * 2);
  const width = (picture.width * picture.pixelAspect.num) / picture.pixelAspect.den;
  const isOnItsSide = Math.abs(picture.rotationDegrees % 180) === 90;
  return isOnItsSide
    ? { width: even(picture.height), height: even(width) }
    : { width: even(width), height: even(picture.height) };
}
