import type { ChapterResults } from "#documents/chapter-results";
import type { Recording } from "#documents/recording";
import type { Sitting } from "#documents/sitting";
import type { MeasuredName } from "#jobs/chapters";
import { type FilesWish, measureFiles, type NamedFile, openNamedFiles } from "#jobs/measure-files";
import { cornersOptions, curveOptions, readColourSaid, readCorners } from "./colour-options.ts";
import { type Call, type CommandSpec, type OptionSpec, usageError } from "./command.ts";
import type { Command } from "./commands.ts";
import type { ExitCode } from "./main.ts";
import { readRoles } from "./role-option.ts";
import { tellResult, withExecutor } from "./with-executor.ts";

const out: OptionSpec = { takes: "one", word: "DIR", help: "where files that are made go" };
const role: OptionSpec = {
  takes: "many",
  word: "FILE:CHANNEL=ROLE",
  help: "what a channel carries: lav, boom, interviewer, scratch, timecode, silent; found by listening where not given",
};

/** Every file its own device: bare files share no clock that we know of. */
const each = (paths: readonly string[]): NamedFile[] =>
  paths.map((path, index) => ({ path, device: `file${index + 1}` }));

const filesOf = (spec: CommandSpec, call: Call, atLeast: 1 | 2): readonly string[] => {
  if (call.words.length < atLeast)
    throw usageError(
      spec,
      `gemel ${spec.name} needs ${atLeast === 1 ? "a recording" : "at least two recordings"}.`,
    );
  return call.words;
};

interface MeasuredWish<Name extends MeasuredName> {
  readonly out?: string | undefined;
  readonly decisions?: (recordings: readonly Recording[]) => Partial<Sitting["decisions"]>;
  readonly colour?: Sitting["colour"];
  readonly charts?: (recordings: readonly Recording[]) => NonNullable<Sitting["charts"]>;
  readonly keep?: FilesWish<Name>["keep"];
  /** A last change of shape before the result is told. */
  readonly shape?: (result: ChapterResults[Name]) => ChapterResults[Name];
}

/** Opens the files, measures, and tells the result. */
async function measured<Name extends MeasuredName>(
  chapter: Name,
  files: readonly NamedFile[],
  call: Call,
  signal: AbortSignal,
  { out, decisions, colour, charts, keep, shape = (result) => result }: MeasuredWish<Name> = {},
): Promise<ExitCode> {
  const { result, verdict } = await withExecutor(async (executor, display) => {
    const recordings = await openNamedFiles(files, executor, signal);
    return await measureFiles({
      chapter,
      recordings,
      executor,
      signal,
      tell: (name, { done, doing }) => display.show(name, done, doing),
      ...(out === undefined ? {} : { out }),
      ...(decisions ? { decisions: decisions(recordings) } : {}),
      ...(colour ? { colour } : {}),
      ...(charts ? { charts: charts(recordings) } : {}),
      ...(keep ? { keep } : {}),
    });
  });
  return tellResult(chapter, shape(result), verdict, call.has("json"));
}

const clockSpec: CommandSpec = {
  name: "clock",
  usage: "gemel clock FILE... [--master FILE] [--json]",
  help: "puts recordings of several devices on one timeline",
  example:
    "gemel clock A001.mov B001.mp4 B002.mp4\nsays how late each began and how its clock drifts against the one that carries the lav",
  options: {
    master: {
      takes: "one",
      word: "FILE",
      help: "the recording whose start is time 0; the one that carries the lav, else the longest, where not given",
    },
    role,
  },
};
export const clock: Command = {
  spec: clockSpec,
  run: async (call, signal) => {
    const files = filesOf(clockSpec, call, 2);
    const master = call.one("master");
    if (master !== undefined && !files.includes(master))
      throw usageError(clockSpec, `--master names ${master}, which is not among the recordings.`);
    return await measured("clock", withRoles(clockSpec, each(files), call), call, signal, {
      decisions: (recordings) => {
        const found = recordings.find(({ path }) => path === master);
        return found ? { master: found.hash } : {};
      },
    });
  },
};

const withRoles = (spec: CommandSpec, files: readonly NamedFile[], call: Call): NamedFile[] => {
  const roles = readRoles(spec, call.many("role"));
  const stray = roles.find((said) => !files.some(({ path }) => path === said.path));
  if (stray) throw usageError(spec, `--role names ${stray.path}, which is not among the recordings.`);
  return files.map((file) => ({ ...file, roles: roles.filter(({ path }) => path === file.path) }));
};

const voiceSpec: CommandSpec = {
  name: "voice",
  usage: "gemel voice FILE... [--role FILE:CHANNEL=lav ...] [--out DIR] [--loudness LUFS] [--json]",
  help: "chooses between the microphones and makes one dialogue track at one loudness",
  example:
    "gemel voice A001.mov --role A001.mov:1=lav A001.mov:2=boom --out sound\nwrites the dialogue track and the isolated tracks to the folder sound",
  options: {
    role,
    out: { ...out, help: "where the tracks go; gemel-voice where not given" },
    loudness: {
      takes: "one",
      word: "LUFS",
      help: "integrated loudness to reach, -40 to -5; -18 where not given",
    },
  },
};
export const voice: Command = {
  spec: voiceSpec,
  run: async (call, signal) => {
    const files = withRoles(voiceSpec, each(filesOf(voiceSpec, call, 1)), call);
    const target = readLoudness(voiceSpec, call);
    return await measured("voice", files, call, signal, {
      out: call.one("out") ?? "gemel-voice",
      decisions: () => target,
    });
  },
};

/** `--loudness` as a decision, or none. */
export function readLoudness(spec: CommandSpec, call: Call): { loudnessTarget?: number } {
  const word = call.one("loudness");
  if (word === undefined) return {};
  const loudnessTarget = Number(word);
  if (!(loudnessTarget >= -40 && loudnessTarget <= -5))
    throw usageError(spec, `--loudness ${word} is not a loudness from -40 to -5 LUFS.`);
  return { loudnessTarget };
}

const watchSpec: CommandSpec = {
  name: "watch",
  usage: "gemel watch FILE... [--out DIR] [--json]",
  help: "finds where a camera that nobody watched lost focus, moved or drifted",
  example:
    "gemel watch B001.mp4 --out looks\nlists the ranges to avoid and puts a still that proves each into the folder looks",
  options: { out },
};
export const watch: Command = {
  spec: watchSpec,
  run: (call, signal) =>
    measured("watch", each(filesOf(watchSpec, call, 1)), call, signal, {
      out: call.one("out"),
      // One file was asked for: its ranges stand at the top, where a program looks for them.
      shape: (result) =>
        result.recordings.length === 1 ? { ranges: result.recordings[0]!.ranges, ...result } : result,
    }),
};

const colourSpec: CommandSpec = {
  name: "colour",
  usage:
    "gemel colour --a FILE... --b FILE... [--curve-a CURVE] [--curve-b CURVE] [--corners-a CORNERS] [--corners-b CORNERS] [--exposure chart|face] [--lut OUT.cube] [--out DIR] [--json]",
  help: "matches camera B to camera A by a chart that both filmed",
  example:
    "gemel colour --a A001.mov --b B001.mp4 --lut b-to-a.cube\nwrites a LUT that makes camera B's picture agree with camera A's, and says how well",
  options: {
    a: { takes: "many", word: "FILE", help: "recordings of camera A, which keeps its look" },
    b: { takes: "many", word: "FILE", help: "recordings of camera B, which is matched" },
    lut: { takes: "one", word: "OUT.cube", help: "where the LUT from B to A goes" },
    ...curveOptions(["a", "b"]),
    ...cornersOptions(["a", "b"]),
    out: { ...out, help: "where the LUTs and stills go" },
  },
};
export const colour: Command = {
  spec: colourSpec,
  run: async (call, signal) => {
    const files = ["a", "b"].flatMap((option) => {
      if (call.many(option).length === 0)
        throw usageError(colourSpec, `gemel colour needs a recording after --${option}.`);
      return call.many(option).map((path) => ({ path, device: option.toUpperCase() }));
    });
    const lut = call.one("lut");
    const said = await readColourSaid(colourSpec, call, ["a", "b"]);
    const corners = readCorners(colourSpec, call, ["a", "b"]);
    return await measured("colour", files, call, signal, {
      out: call.one("out"),
      charts: (recordings) =>
        Object.entries(corners).flatMap(([device, chart]) => {
          const first = recordings.find((recording) => recording.device === device);
          return first ? [{ hash: first.hash, ...chart }] : [];
        }),
      ...(said ? { colour: said } : {}),
      keep: async (result, take) => {
        if (lut === undefined || result.lut === null) return result;
        await take(result.lut, lut);
        return { ...result, files: [...result.files, lut] };
      },
    });
  },
};
