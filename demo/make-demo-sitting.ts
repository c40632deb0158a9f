import { type ChildProcess, fork } from "node:child_process";
import { mkdir } from "node:fs/promises";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { ExplainedError } from "#errors/explained-error";
import { sweepParts } from "#outside/disk/sweep";
import { writeWhole } from "#outside/disk/write-whole";
import type { DemoTruth } from "./demo-truth.ts";
import type { DeviceNews, DeviceOrder } from "./record-device.ts";
import { errorFromSent } from "./sent-error.ts";
import { type DemoWish, planSitting } from "./sitting-plan.ts";
import { leastSeconds } from "./sound/conversation.ts";
import { openVoices } from "./sound/voices.ts";
import { truthOfPlan } from "./truth-of-plan.ts";

export interface DemoSittingWish {
  /** Length of camera A's recording; at least 36, default 75. */
  readonly seconds?: number;
  /** The same seed makes the same sitting. Default 1. */
  readonly seed?: number;
  /** WAV files instead of movies; any length. */
  readonly soundOnly?: boolean;
  /** Multiples of 32 and 18, 16:9. Default 1280 x 720. */
  readonly width?: number;
  readonly height?: number;
  /** Cameras recorded at once. Default 2. */
  readonly processes?: number;
}

/**
 * Makes the demo sitting: the tide mill's miller answers, two cameras and two microphones record her.
 *
 * Writes `cards/A/A001.mov`, `cards/B/B001.mp4` and `B002.mp4` (or `.wav` for sound only) and `truth.json` into
 * `folder`, which is made where it is missing. Each camera is recorded by a process of its own. Memory does not
 * grow with the length.
 *
 * @param tell - Share done, 0 to 1, and what is being done.
 * @throws ExplainedError `USAGE`: the wish cannot be met. `CANCELLED`. `WORKER_DIED`. What the writer throws.
 */
export async function makeDemoSitting(
  folder: string,
  wish: DemoSittingWish = {},
  tell: (done: number, doing: string) => void = () => {},
  signal?: AbortSignal,
): Promise<DemoTruth> {
  const whole = completed(wish);
  stopIfCancelled(signal);
  await mkdir(folder, { recursive: true });
  const shares = { A: 0, B: 0 };
  const record = (device: "A" | "B"): Promise<void> =>
    recordInProcess({ device, folder, wish: whole }, signal, (done, doing) => {
      shares[device] = done;
      tell(0.98 * (0.5 * shares.A + 0.5 * shares.B), doing);
    });
  // B's picture takes longest, so it goes first where there is only one process
  try {
    if ((wish.processes ?? 2) > 1) await bothOrNeither(record, signal);
    else for (const device of ["B", "A"] as const) await record(device);
  } finally {
    // a process that was stopped leaves its half-written file behind
    await sweepParts(resolve(folder));
  }
  stopIfCancelled(signal);
  const truth = truthOfPlan(planSitting(await openVoices(), whole));
  await writeWhole(
    join(folder, "truth.json"),
    new TextEncoder().encode(`${JSON.stringify(truth, null, 2)}\n`),
  );
  tell(1, "done");
  return truth;
}

function completed(wish: DemoSittingWish): DemoWish {
  const whole = {
    seconds: wish.seconds ?? 75,
    seed: wish.seed ?? 1,
    soundOnly: wish.soundOnly ?? false,
    width: wish.width ?? 1280,
    height: wish.height ?? 720,
  };
  if (!(whole.seconds >= leastSeconds && Number.isFinite(whole.seconds)))
    throw new ExplainedError(
      "USAGE",
      {
        happened: `A demo sitting of ${whole.seconds} seconds was asked for.`,
        means:
          "A question, an answer with its false start and its pause, the chart and the clap do not fit in that.",
        doNext: `Ask for ${leastSeconds} seconds or more.`,
      },
      { seconds: whole.seconds },
    );
  if (whole.width % 32 !== 0 || whole.height * 16 !== whole.width * 9 || whole.width < 320)
    throw new ExplainedError(
      "USAGE",
      {
        happened: `Demo pictures of ${whole.width} x ${whole.height} were asked for.`,
        means: "The demo draws 16:9 pictures whose width is a multiple of 32, from 320 up.",
        doNext: "Ask for 640 x 360, 1280 x 720 or 1920 x 1080.",
      },
      { width: whole.width, height: whole.height },
    );
  return whole;
}

function stopIfCancelled(signal: AbortSignal | undefined): void {
  if (signal?.aborted) throw cancelled();
}

function cancelled(): ExplainedError {
  return new ExplainedError("CANCELLED", {
    happened: "The demo sitting was stopped before it was finished.",
    means: "Files that were whole are there; half-made ones are not.",
    doNext: "Ask for it again when you like.",
  });
}

/** Both cameras at once; when one fails, the other is waited for. */
async function bothOrNeither(
  record: (device: "A" | "B") => Promise<void>,
  signal: AbortSignal | undefined,
): Promise<void> {
  const results = await Promise.allSettled([record("A"), record("B")]);
  stopIfCancelled(signal);
  const failed = results.find((r) => r.status === "rejected");
  if (failed) throw failed.reason;
}

function recordInProcess(
  order: DeviceOrder,
  signal: AbortSignal | undefined,
  tell: (done: number, doing: string) => void,
): Promise<void> {
  return new Promise((resolve, reject) => {
    stopIfCancelled(signal);
    const child: ChildProcess = fork(fileURLToPath(new URL("./record-device.js", import.meta.url)), {
      serialization: "advanced",
      stdio: ["ignore", "ignore", "pipe", "ipc"],
    });
    let complaint = "";
    let outcome: DeviceNews | null = null;
    child.stderr?.on("data", (text: Buffer) => {
      complaint = (complaint + text.toString()).slice(-2000);
    });
    let last: NodeJS.Timeout | undefined;
    const stop = (): void => {
      // it is given time to remove what is half-written; while it draws, nothing is, and it does not listen
      child.send("stop", () => {});
      last = setTimeout(() => child.kill("SIGKILL"), 4000);
    };
    signal?.addEventListener("abort", stop, { once: true });
    child.on("message", (news: DeviceNews) => {
      if (news.kind === "progress") tell(news.done, news.doing);
      else outcome = news;
    });
    child.on("error", (error) => {
      signal?.removeEventListener("abort", stop);
      reject(error);
    });
    child.on("close", (code, killedBy) => {
      clearTimeout(last);
      signal?.removeEventListener("abort", stop);
      if (signal?.aborted) reject(cancelled());
      else if (outcome?.kind === "done") resolve();
      else if (outcome?.kind === "failed") reject(errorFromSent(outcome.error));
      else
        reject(
          new ExplainedError(
            "WORKER_DIED",
            {
              happened: `The process that records the demo's camera ${order.device} ended before it had finished.`,
              means: "That camera's files are missing or old.",
              doNext: "Ask for the demo again. If it ends the same way, close other programs to free memory.",
            },
            { code, signal: killedBy, complaint },
          ),
        );
    });
    child.send(order);
  });
}
