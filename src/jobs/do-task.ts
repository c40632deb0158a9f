import { availableParallelism } from "node:os";
import type { ChapterResults } from "#documents/chapter-results";
import { openScratchFiles } from "#outside/disk/scratch";
import { writeStill } from "#outside/media/picture-file";
import { probeRecording } from "#outside/media/probe";
import { writeProxy } from "#outside/media/proxy";
import { readableSeconds } from "#outside/media/readable-extent";
import { chapterNamed } from "./chapters.ts";
import { openMeasureContext } from "./measure-context.ts";
import { openHands } from "./other-hands.ts";
import type { ProbeAnswer, Progress, Task } from "./task.ts";

/** A file whose end is missing by less than this is whole: containers round, encoders pad. Seconds. */
const roundingSeconds = 0.25;

/** Does one task in this process. */
export async function doTask(
  task: Task,
  tell: (progress: Progress) => void,
  signal: AbortSignal,
): Promise<ProbeAnswer | ChapterResults[keyof ChapterResults] | null> {
  if (task.kind === "proxy") return await makeProxy(task, tell, signal);
  if (task.kind === "frame") {
    await writeStill(task.out, task.path, task.atSeconds, { maxWidth: task.maxWidth });
    return null;
  }
  if (task.kind === "probe") {
    const probe = await probeRecording(task.path);
    const readable = await readableSeconds(task.path, probe);
    return readable < probe.durationSeconds - roundingSeconds
      ? { probe, readableSeconds: readable }
      : { probe };
  }
  const hands = openHands(availableParallelism(), signal);
  const scratch = openScratchFiles(task.folders.work);
  try {
    const context = {
      ...openMeasureContext(task.locations, task.folders, tell, signal),
      hands,
      scratch: scratch.open,
    };
    return await chapterNamed(task.chapter).measure(task.inputs, context);
  } finally {
    await hands.close();
    await scratch.close();
  }
}

async function makeProxy(
  { path, out, maxWidth, luts }: Extract<Task, { kind: "proxy" }>,
  tell: (progress: Progress) => void,
  signal: AbortSignal,
): Promise<null> {
  const { picture } = await probeRecording(path);
  const expected = picture ? (picture.durationSeconds * picture.frameRate.num) / picture.frameRate.den : 1;
  await writeProxy(
    out,
    path,
    { maxWidth, luts },
    {
      signal,
      preset: "ultrafast",
      onFrame: (n) =>
        tell({ done: Math.min(1, n / Math.max(1, expected)), doing: "making a copy that plays here" }),
    },
  );
  return null;
}
