import { mkdir, writeFile } from "node:fs/promises";
import { dirname } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import type { ChapterName, ChapterResults } from "#documents/chapter-results";
import type { Recording, RecordingProbe } from "#documents/recording";
import { ExplainedError } from "#errors/explained-error";
import type { Executor, Progress, Task } from "#jobs/task";
import { cutGround, cutStory } from "#story/cut-story";
import type { StoryInputs } from "#story/story-inputs";

/** What every file of the canned sitting seems to be: a minute of picture and sound. */
export const cannedProbe: RecordingProbe = {
  container: "mov,mp4,m4a,3gp,3g2,mj2",
  bytes: 4,
  durationSeconds: 60,
  picture: {
    streamIndex: 0,
    codec: "h264",
    pixelFormat: "yuv420p",
    bitDepth: 8,
    width: 1280,
    height: 720,
    frameRate: { num: 25, den: 1 },
    isVariableRate: false,
    startSeconds: 0,
    durationSeconds: 60,
    frames: 1500,
    colour: { primaries: 1, transfer: 1, matrix: 1, fullRange: false },
    rotationDegrees: 0,
    pixelAspect: { num: 1, den: 1 },
  },
  sound: {
    streamIndex: 1,
    codec: "aac",
    sampleRateHz: 48_000,
    channels: 1,
    startSeconds: 0,
    durationSeconds: 60,
  },
  timecode: null,
  timeReferenceSamples: null,
  createdAt: null,
};

const phrases = [
  { start: 1, end: 3, who: "interviewer" as const },
  { start: 4, end: 14, who: "sitter" as const },
  { start: 18, end: 28, who: "sitter" as const },
  { start: 29, end: 31, who: "interviewer" as const },
  { start: 32, end: 45, who: "sitter" as const },
];

/** Story's result for a minute of talk seen by every camera; the cut itself is the chapter's own. */
function cannedStory(inputs: StoryInputs): ChapterResults["story"] {
  const material = {
    from: 0,
    to: 60,
    wideCamera: "A",
    falseStarts: [],
    claps: [],
    twoTalkers: true,
    separationDb: 20,
    level: { stepSeconds: 0.01, runs: [] },
    sources: inputs.recordings.map(({ hash, path, device }) => ({
      hash,
      path,
      camera: device,
      from: 0,
      to: 60,
      bad: [],
      placement: { offset: 0, ratePpm: 0 },
    })),
  };
  const result = { frameRate: { num: 25, den: 1 }, speech: phrases, material };
  const cut = cutStory(cutGround(result)!, { ...inputs.decisions, story: inputs.story });
  return { ...result, events: [...cut.events], dropped: cut.dropped, findings: [...cut.findings] };
}

const canned = (
  recordings: readonly Recording[],
  inputs: unknown,
): { [Name in ChapterName]?: () => ChapterResults[Name] } => ({
  clock: () => ({
    master: recordings[0]!.path,
    recordings: recordings.map(({ path, hash, device }) => ({
      path,
      hash,
      device,
      placedBy: "sound",
      offset: 0,
      ratePpm: 0,
      pictureOffset: 0,
      confidence: 1,
      uncertainty: 0.001,
      durationSeconds: 60,
      windows: [],
    })),
    claps: [],
    snippet: null,
    findings: [],
  }),
  watch: () => ({ recordings: [], findings: [] }),
  voice: () => ({
    roles: recordings.map(({ path, hash }) => ({ path, hash, channel: 1, role: "lav" as const })),
    delay: null,
    polarity: null,
    segments: [],
    faults: [],
    loudness: { integrated: -18, truePeak: -2, range: 4, target: -18 },
    files: ["measured/voice/dialogue.wav"],
    dialogueStart: 0,
    envelopes: [],
    findings: [],
  }),
  colour: () => ({ charts: [], match: null, lut: null, viewLut: null, stills: [], files: [], findings: [] }),
  story: () => cannedStory(inputs as StoryInputs),
  handover: () => ({ files: [], firstCut: null, findings: [] }),
});

export interface CannedExecutor extends Executor {
  /** What was measured, in order. */
  readonly measured: string[];
  /** Chapters wait for this before they are done: set it to hold one still. */
  hold: ((chapter: ChapterName, tell: (progress: Progress) => void) => Promise<void>) | null;
}

/** Answers every task at once with results that a sitting of any files could have; no file is opened. */
export function cannedExecutor(): CannedExecutor {
  const stopped = (): ExplainedError =>
    new ExplainedError("CANCELLED", {
      happened: "Stopped.",
      means: "Nothing is lost.",
      doNext: "Run it again.",
    });
  const write = async (out: string, text: string): Promise<void> => {
    await mkdir(dirname(out), { recursive: true });
    await writeFile(out, text);
  };
  const executor: CannedExecutor = {
    slots: 2,
    measured: [],
    hold: null,
    async run<Result>(task: Task, tell: (progress: Progress) => void, signal: AbortSignal) {
      if (signal.aborted) throw stopped();
      if (task.kind === "probe") return { probe: cannedProbe } as Result;
      if (task.kind !== "measure") {
        await write(task.out, `${task.kind} of ${task.path}`);
        return null as Result;
      }
      tell({ done: 0.1, doing: "looking" });
      const aborted = new Promise<never>((_, reject) =>
        signal.addEventListener("abort", () => reject(stopped()), { once: true }),
      );
      aborted.catch(() => {});
      if (executor.hold) await Promise.race([executor.hold(task.chapter, tell), aborted]);
      await Promise.race([wait(1), aborted]);
      executor.measured.push(task.chapter);
      const inputs = task.inputs as { recordings?: Recording[]; cameras?: { recordings: Recording[] }[] };
      const recordings = inputs.recordings ?? inputs.cameras?.flatMap((camera) => camera.recordings) ?? [];
      return canned(recordings, task.inputs)[task.chapter]!() as Result;
    },
    close: async () => {},
  };
  return executor;
}
