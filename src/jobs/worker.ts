import { ExplainedError, type SerialisedError } from "#errors/explained-error";
import { doTask } from "./do-task.ts";
import type { Progress, Task } from "./task.ts";

/*
 * A worker process: does one task at a time. Media libraries live here and only here, so a file that brings
 * one down takes a worker with it and never the application.
 */

export type ToWorker = { readonly say: "do"; readonly task: Task } | { readonly say: "cancel" };
export type FromWorker =
  | { readonly say: "alive" }
  | { readonly say: "progress"; readonly progress: Progress }
  | { readonly say: "done"; readonly result: unknown }
  | { readonly say: "failed"; readonly error: SerialisedError }
  | { readonly say: "cancelled" };

const tellEveryMs = 100;
const aliveEveryMs = 2000;

let current: AbortController | undefined;
const send = (message: FromWorker): void => void process.send?.(message);

/** Plain errors are our own faults: they travel with their stack in the facts, for a report. */
const explain = (error: unknown): SerialisedError =>
  error instanceof ExplainedError
    ? error.toJSON()
    : {
        code: "INTERNAL",
        advice: {
          happened: `Something in this program went wrong: ${error instanceof Error ? error.message : String(error)}.`,
          means: "It is our fault, not yours. Nothing of yours was changed, and what was finished is kept.",
          doNext: "Give the same command again; if it fails again, please report it with the lines above.",
        },
        facts: { stack: error instanceof Error ? error.stack : undefined },
      };

async function work(task: Task): Promise<void> {
  const controller = new AbortController();
  current = controller;
  let toldAt = 0;
  try {
    const result = await doTask(
      task,
      (progress) => {
        const now = performance.now();
        if (now - toldAt < tellEveryMs) return;
        toldAt = now;
        send({ say: "progress", progress });
      },
      controller.signal,
    );
    send({ say: "done", result });
  } catch (error) {
    send(controller.signal.aborted ? { say: "cancelled" } : { say: "failed", error: explain(error) });
  } finally {
    current = undefined;
  }
}

process.on("message", (message: ToWorker) => {
  if (message.say === "cancel") current?.abort();
  else void work(message.task);
});
// The parent's death (kill -9 included) closes the channel: nothing must go on writing after it.
process.on("disconnect", () => process.exit(0));
setInterval(() => send({ say: "alive" }), aliveEveryMs).unref();
