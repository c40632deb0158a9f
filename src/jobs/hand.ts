import { parentPort } from "node:worker_threads";
import { doSoundWork } from "#clock/hand-work";
import { readScratch } from "#outside/disk/scratch";

/*
 * A thread beside the one that measures: does one piece of arithmetic at a time and asks for what it needs. No files
 * are opened here; those of scratch are open.
 */

export type ToHand =
  | { readonly say: "do"; readonly work: string; readonly input: unknown }
  | { readonly say: "answer"; readonly to: number; readonly answer: unknown };
export type FromHand =
  | { readonly say: "ask"; readonly number: number; readonly question: unknown }
  | { readonly say: "done"; readonly result: unknown }
  | { readonly say: "failed"; readonly error: unknown };

const waiting = new Map<number, (answer: unknown) => void>();
let asked = 0;
const send = (message: FromHand): void => parentPort!.postMessage(message);

const ask = (question: unknown): Promise<unknown> =>
  new Promise((resolve) => {
    waiting.set(++asked, resolve);
    send({ say: "ask", number: asked, question });
  });

async function work(name: string, input: unknown): Promise<void> {
  try {
    send({ say: "done", result: await doSoundWork(name, input, ask, readScratch) });
  } catch (error) {
    send({ say: "failed", error });
  }
}

parentPort!.on("message", (message: ToHand) => {
  if (message.say === "do") void work(message.work, message.input);
  else {
    waiting.get(message.to)?.(message.answer);
    waiting.delete(message.to);
  }
});
