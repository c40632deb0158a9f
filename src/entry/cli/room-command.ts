import { ExplainedError } from "#errors/explained-error";
import { examplePlan, measureRoom, readPlan, writeDrawing, writeMoves } from "#jobs/measure-room";
import { type CommandSpec, usageError } from "./command.ts";
import type { Command } from "./commands.ts";
import { tellResult } from "./with-executor.ts";

const spec: CommandSpec = {
  name: "room",
  usage: "gemel room FILE [--drawing OUT.svg] [--move-csv OUT.csv] [--json], or gemel room --example",
  help: "says what each lens will see from a plan of the room, and what is in the way",
  example:
    "gemel room --example > loft.json\ngemel room loft.json --drawing loft.svg\nprints a plan to begin from, then says what its cameras see and draws it to scale",
  options: {
    drawing: { takes: "one", word: "OUT.svg", help: "draw the plan to scale" },
    "move-csv": {
      takes: "one",
      word: "OUT.csv",
      help: "the slider's keyframes, to type into any motion head",
    },
    example: { takes: "flag", help: "print a whole plan: the tide-mill loft" },
  },
};

export const room: Command = {
  spec,
  run: async (call) => {
    const [file, more] = call.words;
    if (call.has("example")) {
      if (file !== undefined) throw usageError(spec, "gemel room --example takes no file.");
      process.stdout.write(`${JSON.stringify(examplePlan, null, 2)}\n`);
      return 0;
    }
    if (file === undefined || more !== undefined)
      throw usageError(spec, "gemel room takes one plan file, or the folder of one sitting.");
    const { plan, result, verdict } = measureRoom(await readPlan(file));
    const drawing = call.one("drawing");
    if (drawing !== undefined) await writeDrawing(plan, result, drawing);
    const moves = call.one("move-csv");
    if (moves !== undefined) {
      if (result.moves.length === 0)
        throw new ExplainedError("NOTHING_TO_DO", {
          happened: `${file} has no slide.`,
          means: "There is no move to write.",
          doNext: "Add a slide to the plan: its slider, its camera, and where it goes from and to.",
        });
      await writeMoves(result, moves);
    }
    return tellResult("room", result, verdict, call.has("json"));
  },
};
