import type { Cue } from "#formats/webvtt/write-webvtt";
import type { Program } from "./program.ts";

/** One cue an answer, program time: an answer begins where a question was left out. */
export function chapterCues({ runs, rate, frames }: Program): Cue[] {
  const seconds = (frame: number): number => (frame * rate.den) / rate.num;
  const opens = runs.filter(({ crease }, i) => i === 0 || crease?.why.includes("question"));
  return opens.map((run, i) => ({
    id: `answer-${i + 1}`,
    start: seconds(run.startFrame),
    end: seconds(opens[i + 1]?.startFrame ?? frames),
    text: `Answer ${i + 1}`,
  }));
}
