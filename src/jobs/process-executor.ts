import { type ChildProcess, fork } from "node:child_process";
import { availableParallelism } from "node:os";
import { fileURLToPath } from "node:url";
import { ExplainedError, explainedErrorFrom } from "#errors/explained-error";
import type { Executor, Progress, Task } from "./task.ts";
import type { FromWorker, ToWorker } from "./worker.ts";

/** A worker that has said nothing for this long hangs in a native call and is ended. */
const silenceLimitMs = 120_000;
/** How long a cancelled worker may take to stop by itself. */
const cancelGraceMs = 3000;

const workerFile = fileURLToPath(new URL("./worker.js", import.meta.url));

interface Waiting {
  start(): void;
  drop(): void;
}

/** What a task's process death means, in words. */
const died = (task: Task, how: string): ExplainedError => {
  const what = task.kind === "measure" ? `The chapter ${task.chapter}` : task.path;
  return new ExplainedError(
    "WORKER_DIED",
    {
      happened: `${what}: the process that did the work ${how}.`,
      means: "Nothing of yours was changed, and what was finished before is kept.",
      doNext:
        "Give the same command again. If it happens again with the same file, leave that file out and report it.",
    },
    { task },
  );
};

const cancelled = (): ExplainedError =>
  new ExplainedError("CANCELLED", {
    happened: "The work was stopped because you asked.",
    means: "What was finished is kept; nothing is half-written.",
    doNext: "Give the same command again to go on.",
  });

/**
 * Worker processes on this machine, as many as it has cores, kept and used again.
 *
 * @param slots - How many tasks at once; the machine's cores where not given.
 */
export function openProcessExecutor(slots: number = availableParallelism()): Executor {
  const idle: ChildProcess[] = [];
  const all = new Set<ChildProcess>();
  const queue: Waiting[] = [];
  let busy = 0;
  let closed = false;

  const hire = (): ChildProcess => {
    const kept = idle.pop();
    if (kept) return kept;
    const child = fork(workerFile, [], {
      serialization: "advanced",
      stdio: ["ignore", "ignore", "inherit", "ipc"],
      // Each pending media call holds a pool thread; file calls must not wait behind them.
      env: { ...process.env, UV_THREADPOOL_SIZE: "8" },
    });
    all.add(child);
    child.once("exit", () => {
      all.delete(child);
      const at = idle.indexOf(child);
      if (at >= 0) idle.splice(at, 1);
    });
    return child;
  };

  const next = (): void => {
    if (busy < slots) queue.shift()?.start();
  };

  return {
    slots,
    run<Result>(task: Task, tell: (progress: Progress) => void, signal: AbortSignal): Promise<Result> {
      return new Promise<Result>((resolve, reject) => {
        const waiting: Waiting = {
          drop: () => reject(cancelled()),
          start: () => {
            signal.removeEventListener("abort", leave);
            busy++;
            const child = hire();
            child.ref();
            let heardAt = Date.now();
            const watchdog = setInterval(() => {
              if (Date.now() - heardAt > silenceLimitMs) child.kill("SIGKILL");
            }, 1000);
            let grace: NodeJS.Timeout | undefined;
            const say = (message: ToWorker): void => void child.send(message);
            const onAbort = (): void => {
              say({ say: "cancel" });
              grace = setTimeout(() => child.kill("SIGKILL"), cancelGraceMs);
            };
            const finish = (settle: () => void, reusable: boolean): void => {
              clearInterval(watchdog);
              clearTimeout(grace);
              signal.removeEventListener("abort", onAbort);
              child.off("message", onMessage);
              child.off("exit", onExit);
              busy--;
              if (reusable && !closed) {
                child.unref();
                idle.push(child);
              } else child.kill("SIGKILL");
              settle();
              next();
            };
            const onMessage = (message: FromWorker): void => {
              heardAt = Date.now();
              if (message.say === "progress") tell(message.progress);
              else if (message.say === "done") finish(() => resolve(message.result as Result), true);
              else if (message.say === "failed")
                finish(() => reject(explainedErrorFrom(message.error)), true);
              else if (message.say === "cancelled") finish(() => reject(cancelled()), true);
            };
            const onExit = (code: number | null, how: string | null): void =>
              finish(
                () =>
                  reject(
                    signal.aborted
                      ? cancelled()
                      : died(task, how ? `was ended by ${how}` : `ended with ${code}`),
                  ),
                false,
              );
            child.on("message", onMessage);
            child.once("exit", onExit);
            signal.addEventListener("abort", onAbort, { once: true });
            say({ say: "do", task });
          },
        };
        const leave = (): void => {
          const at = queue.indexOf(waiting);
          if (at < 0) return;
          queue.splice(at, 1);
          waiting.drop();
        };
        if (signal.aborted || closed) return reject(cancelled());
        queue.push(waiting);
        signal.addEventListener("abort", leave, { once: true });
        next();
      });
    },
    async close() {
      closed = true;
      for (const waiting of queue.splice(0)) waiting.drop();
      await Promise.all(
        [...all].map(
          (child) =>
            new Promise<void>((resolve) => {
              child.ref();
              child.once("exit", () => resolve());
              child.kill("SIGKILL");
            }),
        ),
      );
    },
  };
}
