import { cards } from "./cards-command.ts";
import { clock, colour, voice, watch } from "./chapter-commands.ts";
import type { Call, CommandSpec } from "./command.ts";
import { demo } from "./demo-command.ts";
import { kit } from "./kit-command.ts";
import type { ExitCode } from "./main.ts";
import { room } from "./room-command.ts";
import { handover, run, story } from "./sitting-commands.ts";
import { start } from "./start-command.ts";

export interface Command {
  readonly spec: CommandSpec;
  run(call: Call, signal: AbortSignal): Promise<ExitCode>;
}

/** In the order of the job. */
export const commands: readonly Command[] = [
  run,
  start,
  demo,
  room,
  kit,
  cards,
  clock,
  watch,
  voice,
  colour,
  story,
  handover,
];
