import { Worker } from "node:worker_threads";
import type { OtherHands } from "#documents/chapter";
import type { FromHand, ToHand } from "./hand.ts";

/** Each thread holds transforms and pictures of the work of its own: more of them gain little and cost memory. */
const mostHands = 4;

/** Their large arrays live long or on shared memory: a small nursery costs them nothing. */
const maxYoungGenerationSizeMb = 12;

/** Threads that stay until they are let go. */
export interface HeldHands extends OtherHands {
  close(): Promise<void>;
}

interface Piece {
  readonly work: string;
  readonly input: unknown;
  readonly answer: (question: unknown) => Promise<unknown>;
  readonly done: (result: unknown) => void;
  readonly failed: (error: unknown) => void;
}

/**
 * Threads for a chapter's arithmetic, begun when they are first needed.
 *
 * @param count - How many at once; four at most.
 * @param signal - Ends them in the middle of what they do.
 * @param file - The thread's own program.
 */
export function openHands(
  count: number,
  signal: AbortSignal,
  file: URL = new URL("./hand.js", import.meta.url),
): HeldHands {
  const most = Math.min(mostHands, Math.max(1, count));
  const all = new Set<Worker>();
  const idle: Worker[] = [];
  const queue: Piece[] = [];
  const running = new Map<Worker, Piece>();
  let ended: unknown = null;

  const end = async (why: unknown): Promise<void> => {
    ended ??= why;
    for (const piece of [...queue.splice(0), ...running.values()]) piece.failed(ended);
    running.clear();
    await Promise.all([...all].map((hand) => hand.terminate()));
  };
  const onAbort = (): void => void end(signal.reason);
  signal.addEventListener("abort", onAbort, { once: true });

  const hire = (): Worker => {
    // The program as it was built, whatever this process was started with.
    const hand = new Worker(file, { execArgv: [], resourceLimits: { maxYoungGenerationSizeMb } });
    all.add(hand);
    const fail = (error: unknown): void => {
      all.delete(hand);
      if (idle.includes(hand)) idle.splice(idle.indexOf(hand), 1);
      running.get(hand)?.failed(error);
      running.delete(hand);
      next();
    };
    hand.on("error", fail);
    hand.on("exit", (code) => {
      if (all.has(hand)) fail(new Error(`a thread ended with ${code} before its work was done`));
    });
    hand.on("message", (message: FromHand) => {
      const piece = running.get(hand);
      if (!piece) return;
      if (message.say === "ask") void reply(hand, piece, message);
      else finish(hand, piece, message);
    });
    return hand;
  };

  const reply = async (
    hand: Worker,
    piece: Piece,
    { number, question }: Extract<FromHand, { say: "ask" }>,
  ): Promise<void> => {
    try {
      const answer = await piece.answer(question);
      if (running.get(hand) !== piece) return;
      hand.postMessage({ say: "answer", to: number, answer } satisfies ToHand);
    } catch (error) {
      // The work waits for what will not come: its thread is of no more use.
      if (running.get(hand) !== piece) return;
      running.delete(hand);
      all.delete(hand);
      piece.failed(error);
      await hand.terminate();
      next();
    }
  };

  const finish = (
    hand: Worker,
    piece: Piece,
    message: Extract<FromHand, { say: "done" | "failed" }>,
  ): void => {
    running.delete(hand);
    idle.push(hand);
    if (message.say === "done") piece.done(message.result);
    else piece.failed(message.error);
    next();
  };

  const next = (): void => {
    while (queue.length > 0 && running.size < most && ended === null) {
      const piece = queue.shift()!;
      const hand = idle.pop() ?? hire();
      running.set(hand, piece);
      hand.postMessage({ say: "do", work: piece.work, input: piece.input } satisfies ToHand);
    }
  };

  return {
    run<Result>(work: string, input: unknown, answer: Piece["answer"]): Promise<Result> {
      return new Promise<Result>((done, failed) => {
        if (signal.aborted) ended ??= signal.reason;
        if (ended !== null) return failed(ended);
        queue.push({ work, input, answer, done: done as Piece["done"], failed });
        next();
      });
    },
    async close() {
      signal.removeEventListener("abort", onAbort);
      await end(new Error("the threads were let go"));
      all.clear();
    },
  };
}
