import type { RenderClip } from "#documents/chapter";
import { lutsAt } from "#documents/look-of-device";
import type { HandoverInputs } from "./handover-inputs.ts";
import type { Program } from "./program.ts";

/**
 * The shots as the renderer wants them: each with the LUTs of its camera, and exactly as long as in the program.
 * A device's clock runs off by microseconds within a shot, but over two hours of shots that would add up to frames.
 */
export function renderClips(program: Program, inputs: HandoverInputs): RenderClip[] {
  return program.shots.map(({ event, source, frames }) => ({
    recording: source.recording,
    sourceStart: event.sourceStart,
    sourceEnd: event.sourceStart + (frames * program.rate.den) / program.rate.num,
    luts: lutsAt(inputs.looks[event.camera] ?? [], (event.sittingStart + event.sittingEnd) / 2),
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
