import type { ChapterResults } from "#documents/chapter-results";
import { probeRecording } from "#outside/media/probe";
import { readableSeconds } from "#outside/media/readable-extent";
import { chapterNamed } from "./chapters.ts";
import { openMeasureContext } from "./measure-context.ts";
import type { ProbeAnswer, Progress, Task } from "./task.ts";

/** A file whose end is missing by less than this is whole: containers round, encoders pad. Seconds. */
const roundingSeconds = 0.25;

/** Does one task in this process. */
export async function doTask(
  task: Task,
  tell: (progress: Progress) => void,
  signal: AbortSignal,
): Promise<ProbeAnswer | ChapterResults[keyof ChapterResults]> {
  if (task.kind === "probe") {
    const probe = await probeRecording(task.path);
    const readable = await readableSeconds(task.path, probe);
    return readable < probe.durationSeconds - roundingSeconds
      ? { probe, readableSeconds: readable }
      : { probe };
  }
  const context = openMeasureContext(task.locations, task.folders, tell, signal);
  return await chapterNamed(task.chapter).measure(task.inputs, context);
}
