import { basename, resolve } from "node:path";
import type { ChapterName } from "#documents/chapter-results";
import { ExplainedError } from "#errors/explained-error";
import { failureText, openLiveSitting, verdictOf } from "#jobs/live-sitting";
import { type DeviceFiles, sittingFromFiles } from "#jobs/run-files";
import type { RunEvent, RunOutcome } from "#jobs/run-sitting";
import type { Executor } from "#jobs/task";
import { readLoudness } from "./chapter-commands.ts";
import { curveOptions, readColourSaid } from "./colour-options.ts";
import { type Call, type CommandSpec, usageError } from "./command.ts";
import type { Command } from "./commands.ts";
import { readRoles } from "./role-option.ts";
import { allFindings, beforehand, runExitCode, runText } from "./run-answer.ts";
import type { ProgressDisplay } from "./terminal.ts";
import { tellResult, withExecutor } from "./with-executor.ts";

/** Runs a sitting with its progress on the terminal. */
export async function runShown(
  folder: string,
  executor: Executor,
  display: ProgressDisplay,
  signal: AbortSignal,
  only?: readonly ChapterName[],
): Promise<RunOutcome> {
  const live = await openLiveSitting(folder, executor);
  signal.addEventListener("abort", () => live.cancel(), { once: true });
  return await live.run(showOn(display), only);
}

/** Puts the runner's events on a display. */
export const showOn =
  (display: ProgressDisplay) =>
  (event: RunEvent): void => {
    if (event.state === "working") display.show(event.chapter, event.progress.done, event.progress.doing);
    else if (event.state === "settled") display.end(event.chapter, event.verdict);
    else if (event.state === "failed") display.end(event.chapter, `‡ ${failureText(event.error)}`);
    else if (event.state === "notBegun" && !beforehand.has(event.chapter))
      display.end(event.chapter, event.missing);
  };

const runSpec: CommandSpec = {
  name: "run",
  usage: "gemel run --a FILE... --b FILE... [--sound FILE...] --out DIR, or gemel run SITTING",
  help: "does the whole main job: copies, one clock, voice, match, first cut, files to hand over",
  example:
    "gemel run --a A001.mov --b B001.mp4 B002.mp4 --out tide-mill\nmakes the sitting tide-mill and leaves its first cut and open files in tide-mill/handover",
  options: {
    a: { takes: "many", word: "FILE", help: "camera A's recordings, or the folder of its card" },
    b: { takes: "many", word: "FILE", help: "camera B's recordings, or the folder of its card" },
    c: { takes: "many", word: "FILE", help: "a third camera's" },
    sound: { takes: "many", word: "FILE", help: "a separate sound recorder's" },
    out: { takes: "one", word: "DIR", help: "the sitting's folder; made where it is not there" },
    title: { takes: "one", word: "TEXT", help: "the sitting's title; the folder's name where not given" },
    backup: { takes: "many", word: "PLACE", help: "a folder that gets a second verified copy" },
    "in-place": { takes: "flag", help: "work from the recordings where they lie, without copying them" },
    master: { takes: "one", word: "FILE", help: "the recording whose start is time 0" },
    role: {
      takes: "many",
      word: "FILE:CHANNEL=ROLE",
      help: "what a channel carries: lav, boom, interviewer, scratch, timecode, silent",
    },
    loudness: { takes: "one", word: "LUFS", help: "loudness to deliver, -40 to -5; -18 where not given" },
    ...curveOptions(["a", "b", "c"]),
    "keep-questions": { takes: "flag", help: "leave the interviewer's questions in the cut" },
  },
};

const devices: readonly { option: string; device: string; kind: "camera" | "sound" }[] = [
  { option: "a", device: "A", kind: "camera" },
  { option: "b", device: "B", kind: "camera" },
  { option: "c", device: "C", kind: "camera" },
  { option: "sound", device: "sound", kind: "sound" },
];

export const run: Command = {
  spec: runSpec,
  run: async (call, signal) => {
    const outcome = await withExecutor(async (executor, display) => {
      const folder = await folderToRun(call, executor, signal);
      return await runShown(folder, executor, display, signal);
    });
    return tellOutcome(outcome, call);
  },
};

async function folderToRun(call: Call, executor: Executor, signal: AbortSignal): Promise<string> {
  const named: DeviceFiles[] = devices
    .map(({ option, device, kind }) => ({ device, kind, paths: call.many(option) }))
    .filter(({ paths }) => paths.length > 0);
  const [sitting, more] = call.words;
  if (sitting !== undefined && (named.length > 0 || more !== undefined))
    throw usageError(
      runSpec,
      `gemel run takes one sitting, or recordings after --a and --b; ${more ?? sitting} is too much.`,
    );
  if (sitting !== undefined) return resolve(sitting);
  if (named.length === 0)
    throw usageError(runSpec, "gemel run needs a sitting, or recordings after --a and --b.");
  const out = call.one("out");
  if (out === undefined) throw usageError(runSpec, "gemel run needs --out and a folder for the sitting.");
  const master = call.one("master");
  const owner = named.find(({ paths }) => master !== undefined && paths.includes(master));
  if (master !== undefined && !owner)
    throw usageError(runSpec, `--master names ${master}, which is not among the recordings.`);
  const colour = await readColourSaid(runSpec, call, ["a", "b", "c"]);
  await sittingFromFiles(
    {
      folder: out,
      title: call.one("title") ?? basename(resolve(out)),
      devices: named,
      backups: call.many("backup"),
      inPlace: call.has("in-place"),
      roles: readRoles(runSpec, call.many("role")),
      decisions: {
        ...readLoudness(runSpec, call),
        ...(owner && master !== undefined
          ? { masterFile: { device: owner.device, file: basename(master) } }
          : {}),
        ...(call.has("keep-questions") ? { keepQuestions: true } : {}),
      },
      ...(colour ? { colour } : {}),
      now: new Date(),
    },
    executor,
    signal,
  );
  return resolve(out);
}

function tellOutcome(outcome: RunOutcome, call: Call): 0 | 1 | 2 | 3 {
  const { results, missing, failed } = outcome;
  process.stdout.write(
    call.has("json")
      ? `${JSON.stringify({ results, missing, failed, findings: allFindings(outcome) }, null, 2)}\n`
      : runText(outcome),
  );
  return runExitCode(outcome);
}

/** A command that answers with one chapter of a sitting, measuring what it needs first. */
const ofSitting = (name: "story" | "handover", help: string, example: string): Command => {
  const spec: CommandSpec = { name, usage: `gemel ${name} SITTING [--json]`, help, example, options: {} };
  return {
    spec,
    run: async (call, signal) => {
      const [sitting, more] = call.words;
      if (sitting === undefined || more !== undefined)
        throw usageError(spec, `gemel ${name} takes the folder of one sitting.`);
      const outcome = await withExecutor((executor, display) =>
        runShown(resolve(sitting), executor, display, signal, [name]),
      );
      const result = outcome.results[name];
      if (!result)
        throw (
          outcome.failed[name] ??
          new ExplainedError("NOTHING_TO_DO", {
            happened:
              outcome.missing[name] ??
              Object.values(outcome.failed)[0]?.message ??
              `${name} could not be measured.`,
            means: "What was measured before is kept.",
            doNext: `Put right what is missing, then give gemel ${name} again.`,
          })
        );
      return tellResult(name, result, verdictOf(name, result), call.has("json"));
    },
  };
};

export const story: Command = ofSitting(
  "story",
  "chooses what stays and which camera shows it",
  "gemel story tide-mill --json\nprints the cut as events with source times, and what was dropped and why",
);
export const handover: Command = ofSitting(
  "handover",
  "writes the files that other programs open, and the first cut",
  "gemel handover tide-mill\nleaves timeline, edit list, LUTs, sound and first cut in tide-mill/handover",
);
