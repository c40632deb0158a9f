import { makeDemo } from "#jobs/make-demo";
import { type CommandSpec, usageError } from "./command.ts";
import type { Command } from "./commands.ts";
import { openProgress } from "./terminal.ts";

/** Where the demo sitting goes unless told otherwise. */
export const demoFolder = "demo-sitting";

const spec: CommandSpec = {
  name: "demo",
  usage: "gemel demo [DIR] [--seconds N | --minutes N] [--sound-only] [--seed N] [--json]",
  help: "makes an invented sitting at a tide mill, with its truth, to try everything on",
  example:
    "gemel demo tide-mill\nmakes two cards of recordings, truth.json and a sitting in the folder tide-mill",
  options: {
    seconds: { takes: "one", word: "N", help: "how long the sitting lasts" },
    minutes: { takes: "one", word: "N", help: "the same in minutes" },
    "sound-only": { takes: "flag", help: "no pictures: quick to make at any length" },
    seed: { takes: "one", word: "N", help: "another seed gives another sitting; the same seed the same one" },
  },
};

export const demo: Command = {
  spec,
  run: async (call, signal) => {
    const number = (option: string): number | undefined => {
      const word = call.one(option);
      if (word === undefined) return undefined;
      if (!(Number(word) > 0)) throw usageError(spec, `--${option} ${word} is not a number above 0.`);
      return Number(word);
    };
    const minutes = number("minutes");
    const seconds = minutes === undefined ? number("seconds") : minutes * 60;
    const seed = number("seed");
    const folder = call.words[0] ?? demoFolder;
    const display = openProgress();
    try {
      const made = await makeDemo(
        {
          folder,
          soundOnly: call.has("sound-only"),
          ...(seconds === undefined ? {} : { seconds }),
          ...(seed === undefined ? {} : { seed }),
        },
        ({ done, doing }) => display.show("demo", done, doing),
        signal,
      );
      display.close();
      if (call.has("json")) process.stdout.write(`${JSON.stringify({ folder, made })}\n`);
      else
        process.stdout.write(
          made
            ? `The demo sitting is in ${folder}.\n`
            : `${folder} holds a sitting already; it was left as it is.\n`,
        );
      return 0;
    } finally {
      display.close();
    }
  },
};
