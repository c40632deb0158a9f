import type { FrameRate } from "#documents/recording";
import type { KeptStretch, PictureSource } from "./story-material.ts";

/** A kept stretch whose length is a whole number of program frames. */
export interface FramedStretch extends KeptStretch {
  readonly frames: number;
}

const secondsPerFrame = ({ num, den }: FrameRate): number => den / num;
/** Rounding noise of double precision over a day of seconds, in frames. */
const hair = 1e-6;

/**
 * Puts kept stretches on the program's frame grid: each begins on a frame of the leading camera's own picture and
 * lasts whole frames, never overlapping the one before. Stretches grow by at most one frame on either side.
 *
 * @param phaseSeconds - Sitting time of any one frame of the leading camera.
 */
export function onFrameGrid(
  kept: readonly KeptStretch[],
  rate: FrameRate,
  phaseSeconds: number,
): FramedStretch[] {
  const frame = secondsPerFrame(rate);
  const framed: FramedStretch[] = [];
  for (const stretch of kept) {
    const first = Math.floor((stretch.start - phaseSeconds) / frame + hair);
    const end = Math.max(first + 1, Math.ceil((stretch.end - phaseSeconds) / frame - hair));
    const start = phaseSeconds + first * frame;
    const last = framed.at(-1);
    if (last && start < last.end + frame / 2) {
      // What was to be dropped between them is less than a frame: they are one stretch.
      const frames = Math.round((phaseSeconds + end * frame - last.start) / frame);
      framed[framed.length - 1] = {
        ...last,
        end: last.start + frames * frame,
        frames,
        breaks: [...last.breaks, ...stretch.breaks],
      };
      continue;
    }
    framed.push({ ...stretch, start, end: start + (end - first) * frame, frames: end - first });
  }
  return framed;
}

/** Frames [first, end) of a stretch, counted from its start, for which a source has a picture throughout. */
export function framesCovered(
  source: { readonly from: number; readonly to: number },
  stretch: FramedStretch,
  rate: FrameRate,
): { first: number; end: number } {
  const frame = secondsPerFrame(rate);
  const first = Math.max(0, Math.ceil((source.from - stretch.start) / frame - hair));
  const end = Math.min(stretch.frames, Math.floor((source.to - stretch.start) / frame + hair));
  return { first, end: Math.max(first, end) };
}

/**
 * Keeps of each stretch only the frames that some camera saw.
 *
 * @returns The stretches that remain, and what was lost, as ranges of sitting time.
 */
export function wherePictured(
  stretches: readonly FramedStretch[],
  sources: readonly PictureSource[],
  rate: FrameRate,
): { kept: FramedStretch[]; lost: { start: number; end: number }[] } {
  const frame = secondsPerFrame(rate);
  const kept: FramedStretch[] = [];
  const lost: { start: number; end: number }[] = [];
  for (const stretch of stretches) {
    const covered = sources
      .map((source) => framesCovered(source, stretch, rate))
      .filter(({ first, end }) => end > first)
      .sort((a, b) => a.first - b.first);
    const at = (k: number): number => stretch.start + k * frame;
    const pieces: { first: number; end: number }[] = [];
    for (const { first, end } of covered) {
      const last = pieces.at(-1);
      if (last && first <= last.end) last.end = Math.max(last.end, end);
      else pieces.push({ first, end });
    }
    let reached = 0;
    for (const { first, end } of pieces) {
      if (first > reached) lost.push({ start: at(reached), end: at(first) });
      const [start, stop] = [at(first), at(end)];
      kept.push({
        ...stretch,
        start,
        end: stop,
        frames: end - first,
        joinWhy: first === 0 ? stretch.joinWhy : "no camera was running",
        opensAnswer: first === 0 && stretch.opensAnswer,
        breaks: stretch.breaks.filter(({ at: moment }) => moment > start && moment < stop),
      });
      reached = end;
    }
    if (reached < stretch.frames) lost.push({ start: at(reached), end: stretch.end });
  }
  return { kept, lost };
}
