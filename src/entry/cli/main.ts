import { nearestWord } from "#documents/nearest-word";
import { ExplainedError } from "#errors/explained-error";
import { helpText, parseCall } from "./command.ts";
import { type Command, commands } from "./commands.ts";

const overview = (): string =>
  `Gemel makes two cameras one: it copies, syncs, matches, mixes and cuts a sit-down
interview that one person filmed with two cameras, and explains every number.

gemel COMMAND ...

${commands.map(({ spec }) => `  ${spec.name.padEnd(10)}${spec.help}`).join("\n")}

gemel COMMAND --help shows a command's options and an example.
`;

/** What the process answers with: 0 done, 1 done with a stop finding, 2 bad input, 3 our fault. */
export type ExitCode = 0 | 1 | 2 | 3;

/** Runs one command line. Never throws. */
export async function main(args: readonly string[]): Promise<ExitCode> {
  const [name, ...rest] = args;
  if (name === undefined || name === "--help" || name === "help") {
    process.stdout.write(overview());
    return name === undefined ? 2 : 0;
  }
  const command = commands.find(({ spec }) => spec.name === name);
  if (!command) {
    const close = nearestWord(
      name,
      commands.map(({ spec }) => spec.name),
    );
    process.stderr.write(
      `gemel has no command ${name}; ${close === null ? "gemel --help lists them." : `did you mean ${close}?`}\n`,
    );
    return 2;
  }
  if (rest.includes("--help")) {
    process.stdout.write(helpText(command.spec));
    return 0;
  }
  return await runCommand(command, rest);
}

async function runCommand(command: Command, args: readonly string[]): Promise<ExitCode> {
  const controller = new AbortController();
  const stop = (): void => controller.abort();
  process.once("SIGINT", stop);
  process.once("SIGTERM", stop);
  try {
    return await command.run(parseCall(command.spec, args), controller.signal);
  } catch (error) {
    return tellFailure(error);
  } finally {
    process.off("SIGINT", stop);
    process.off("SIGTERM", stop);
  }
}

function tellFailure(error: unknown): ExitCode {
  if (error instanceof ExplainedError) {
    process.stderr.write(`${error.message}\n`);
    return error.blame === "ours" ? 3 : 2;
  }
  // A bug of ours: the lines a report needs go to a place that asks for them, not into the reader's face.
  const where =
    process.env["GEMEL_TRACE"] === undefined || !(error instanceof Error) ? "" : `${error.stack}\n`;
  process.stderr.write(
    `Something in this program went wrong: ${error instanceof Error ? error.message : String(error)}. It is our fault; nothing of yours was changed. Set GEMEL_TRACE=1, give the same command again and report what it prints.\n${where}`,
  );
  return 3;
}
