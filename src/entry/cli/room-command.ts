import type { RoomResult } from "#documents/room-result";
import { ExplainedError } from "#errors/explained-error";
import {
  examplePlan,
  measureRoom,
  readPlan,
  writeDrawing,
  writeFrames,
  writeMoves,
} from "#jobs/measure-room";
import { proposalsText, withProposals, writePlan } from "#jobs/propose-room";
import { type Call, type CommandSpec, usageError } from "./command.ts";
import type { Command } from "./commands.ts";
import { openProgress } from "./terminal.ts";
import { inUnits, unitsOption } from "./units-option.ts";
import { tellResult } from "./with-executor.ts";

const spec: CommandSpec = {
  name: "room",
  usage:
    "gemel room FILE [--propose] [--drawing OUT.svg] [--frames DIR] [--move-csv OUT.csv] [--units metric|feet] [--json], or gemel room --example",
  help: "says what each lens will see from a plan of the room, and proposes where to put things",
  example:
    "gemel room --example > loft.json\ngemel room loft.json --propose --best better.json\nprints a plan to begin from; says what its cameras see, and looks for better stagings",
  options: {
    propose: { takes: "flag", help: "look for the three best stagings that differ" },
    best: { takes: "one", word: "OUT.json", help: "with --propose: write the best as a plan" },
    seed: {
      takes: "one",
      word: "N",
      help: "with --propose: the same seed gives the same stagings; 1 where not given",
    },
    drawing: { takes: "one", word: "OUT.svg", help: "draw the plan to scale" },
    frames: { takes: "one", word: "DIR", help: "draw what each camera sees: A.svg, B.svg" },
    "move-csv": {
      takes: "one",
      word: "OUT.csv",
      help: "the slider's keyframes, to type into any motion head",
    },
    ...unitsOption,
    example: { takes: "flag", help: "print a whole plan: the tide-mill loft" },
  },
};

export const room: Command = {
  spec,
  run: async (call, signal) => {
    const [file, more] = call.words;
    if (call.has("example")) {
      if (file !== undefined) throw usageError(spec, "gemel room --example takes no file.");
      process.stdout.write(`${JSON.stringify(examplePlan, null, 2)}\n`);
      return 0;
    }
    if (file === undefined || more !== undefined)
      throw usageError(spec, "gemel room takes one plan file, or the folder of one sitting.");
    if (!call.has("propose") && (call.has("best") || call.has("seed")))
      throw usageError(spec, `--${call.has("best") ? "best" : "seed"} goes with --propose.`);
    const seed = readSeed(call);
    const { plan, result, verdict } = measureRoom(inUnits(spec, call, await readPlan(file)));
    const drawing = call.one("drawing");
    if (drawing !== undefined) await writeDrawing(plan, result, drawing);
    const frames = call.one("frames");
    if (frames !== undefined) await writeFrames(plan, frames);
    const moves = call.one("move-csv");
    if (moves !== undefined) await writeMoves(result, moves);
    const told = call.has("propose") ? proposed(plan, result, seed, signal) : result;
    const best = call.one("best");
    const [first] = told.proposals ?? [];
    if (best !== undefined && first) await writePlan(first.plan, best);
    const code = tellResult("room", told, verdict, call.has("json"));
    if (!call.has("json")) process.stdout.write(proposalsText(told));
    if (best !== undefined && !first) throw nothingBest(best);
    return code;
  },
};

function readSeed(call: Call): number {
  const word = call.one("seed") ?? "1";
  const seed = Number(word);
  if (!Number.isSafeInteger(seed) || seed < 0)
    throw usageError(spec, `--seed ${word} is not a whole number from 0 on.`);
  return seed;
}

function proposed(
  plan: Parameters<typeof withProposals>[0],
  result: RoomResult,
  seed: number,
  signal: AbortSignal,
): RoomResult {
  const display = openProgress();
  try {
    return withProposals(
      plan,
      result,
      seed,
      (share) => display.show("room", share, "trying stagings"),
      signal,
    );
  } finally {
    display.close();
  }
}

const nothingBest = (path: string): ExplainedError =>
  new ExplainedError("NOTHING_TO_DO", {
    happened: `No staging keeps every hard rule, so ${path} was not written.`,
    means: "The reasons are told above.",
    doNext: "Take out a pin, a wish or a piece of furniture, and ask again.",
  });
