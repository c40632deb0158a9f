import { clock } from "#clock/clock";
import { colour } from "#colour/colour";
import type { Chapter, MeasureContext, Missing, SittingView } from "#documents/chapter";
import type { ChapterName, ChapterResults } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import { handover } from "#handover/handover";
import { kit } from "#kit/kit";
import { room } from "#room/room";
import { story } from "#story/story";
import { voice } from "#voice/voice";
import { watch } from "#watch/watch";

/** Chapters that are measured by the runner; Cards is a job of its own, since it is all disk. */
export type MeasuredName = Exclude<ChapterName, "cards">;

/** A chapter whose input type has been put aside, so that all can stand in one list. */
export interface AnyChapter {
  readonly name: MeasuredName;
  readonly version: number;
  readonly question: string;
  readonly after: readonly ChapterName[];
  inputs(view: SittingView): object | Missing;
  measure(inputs: unknown, context: MeasureContext): Promise<ChapterResults[MeasuredName]>;
  verdict(result: ChapterResults[MeasuredName]): string;
  findings(result: ChapterResults[MeasuredName]): Finding[];
}

const forget = <Name extends MeasuredName, Inputs extends object>(
  chapter: Chapter<Name, Inputs>,
): AnyChapter => chapter as unknown as AnyChapter;

/** In the order of the job. */
export const chapters: readonly AnyChapter[] = [
  forget(room),
  forget(kit),
  forget(clock),
  forget(watch),
  forget(voice),
  forget(colour),
  forget(story),
  forget(handover),
];

export function chapterNamed(name: ChapterName): AnyChapter {
  const chapter = chapters.find((candidate) => candidate.name === name);
  if (!chapter) throw new TypeError(`no measured chapter is called ${name}`);
  return chapter;
}
