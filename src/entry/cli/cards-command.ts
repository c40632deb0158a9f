import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { basename, join, resolve } from "node:path";
import { copyCards } from "#jobs/copy-cards";
import { verdictOf } from "#jobs/live-sitting";
import { type CommandSpec, usageError } from "./command.ts";
import type { Command } from "./commands.ts";
import { openProgress } from "./terminal.ts";
import { tellResult } from "./with-executor.ts";

const spec: CommandSpec = {
  name: "cards",
  usage: "gemel cards SOURCE --to PLACE [--to PLACE ...] [--json]",
  help: "copies a card to one or more places and proves each copy by its hash",
  example:
    "gemel cards /media/card-b --to ~/tide-mill --to /media/shuttle\ncopies the card twice, reads both copies back, and says whether the card may be erased",
  options: {
    to: {
      takes: "many",
      word: "PLACE",
      help: "a folder that gets a verified copy; two or more before a card may be erased",
    },
  },
};

export const cards: Command = {
  spec,
  run: async (call, signal) => {
    const [source, more] = call.words;
    if (source === undefined) throw usageError(spec, "gemel cards needs the folder of a card.");
    if (more !== undefined)
      throw usageError(spec, `gemel cards takes one card at a time, and ${more} is a second.`);
    const places = call.many("to");
    if (places.length === 0) throw usageError(spec, "gemel cards needs --to and a folder for the copy.");
    // Nothing is kept beside bare copies: what was copied before is known by reading it, not by a record.
    const scratch = await mkdtemp(join(tmpdir(), "gemel-"));
    const display = openProgress();
    try {
      const result = await copyCards(
        {
          cards: [{ device: basename(resolve(source)), paths: [resolve(source)] }],
          places: places.map((place) => ({ name: place, folder: resolve(place) })),
          record: join(scratch, "cards.json"),
          displayPath: (path) => path,
        },
        (done, doing) => display.show("cards", done, doing),
        signal,
      );
      display.close();
      return tellResult("cards", result, verdictOf("cards", result), call.has("json"));
    } finally {
      display.close();
      await rm(scratch, { recursive: true, force: true });
    }
  },
};
