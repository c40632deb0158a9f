import { spawn } from "node:child_process";
import { resolve } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { ExplainedError } from "#errors/explained-error";
import { failureText } from "#jobs/live-sitting";
import { makeDemo } from "#jobs/make-demo";
import { openProcessExecutor } from "#jobs/process-executor";
import { openStudio } from "#jobs/studio";
import { serveStudio } from "../server/serve.ts";
import { type CommandSpec, usageError } from "./command.ts";
import type { Command } from "./commands.ts";
import { demoFolder } from "./demo-command.ts";
import { showOn } from "./sitting-commands.ts";
import { openProgress } from "./terminal.ts";

const spec: CommandSpec = {
  name: "start",
  usage: "gemel start [SITTING] [--port N] [--no-browser]",
  help: "does the main job on a sitting and serves its page on this machine",
  example:
    "gemel start tide-mill\nopens the page of the sitting tide-mill; without a name, the demo sitting, made where it is missing",
  options: {
    port: { takes: "one", word: "N", help: "the port to listen on; any free one where not given" },
    "no-browser": { takes: "flag", help: "print the address only" },
  },
};

export const start: Command = {
  spec,
  run: async (call, signal) => {
    const port = Number(call.one("port") ?? 0);
    if (!Number.isInteger(port) || port < 0 || port > 65_535)
      throw usageError(spec, `--port ${call.one("port")} is not a port.`);
    const folder = resolve(call.words[0] ?? demoFolder);
    const display = openProgress();
    const executor = openProcessExecutor();
    try {
      if (call.words[0] === undefined) {
        await makeDemo({ folder }, ({ done, doing }) => display.show("demo", done, doing), signal);
        display.end("demo", `The demo sitting is in ${folder}.`);
      }
      const studio = await openStudio({ folder, executor });
      const server = await serveStudio(studio, port);
      try {
        // A sitting that was measured before is shown as it is; one that takes time is shown while it is measured.
        let isInPage = false;
        const onTerminal = showOn(display);
        const run = studio
          .live()
          .run((event) => {
            if (!isInPage) onTerminal(event);
          })
          .then(() => {}, tellEnd);
        await Promise.race([run, wait(openAfterMs)]);
        isInPage = true;
        display.close();
        process.stdout.write(`\nThe sitting is open at ${server.address}\nCtrl+C closes it.\n`);
        if (!call.has("no-browser")) openBrowser(server.address);
        await new Promise<void>((done) => {
          if (signal.aborted) done();
          else signal.addEventListener("abort", () => done(), { once: true });
        });
      } finally {
        await server.close();
        await studio.close();
      }
      return 0;
    } finally {
      display.close();
      await executor.close();
    }
  },
};

/** So long a page waits for results before it shows how they come. */
const openAfterMs = 1500;

/** What ended a run stands in the page, which stays open so that it can be put right there; here it is told as well. */
function tellEnd(error: unknown): void {
  if (!(error instanceof ExplainedError)) throw error;
  if (error.code !== "CANCELLED") process.stderr.write(`‡ ${failureText(error)}\n`);
}

/** Asks the desktop to open an address; where there is none, the printed address has to do. */
function openBrowser(address: string): void {
  const [program, ...args] =
    process.platform === "darwin"
      ? ["open", address]
      : process.platform === "win32"
        ? ["cmd", "/c", "start", "", address]
        : ["xdg-open", address];
  if (process.platform === "linux" && !process.env["DISPLAY"] && !process.env["WAYLAND_DISPLAY"]) return;
  const child = spawn(program!, args, { stdio: "ignore", detached: true });
  child.on("error", () => {});
  child.unref();
}
