import { Frame } from "node-av/lib";
import { must } from "./library.ts";

/** So many frames are made ahead of the encoder: enough to bridge a seek, little enough to hold. */
const mostWaiting = 6;

/**
 * Runs ahead of whoever takes the frames, so that decoding and encoding go on at the same time. Each frame given
 * is a reference of its own and is freed when the next one is asked for.
 */
export async function* madeAhead(frames: AsyncGenerator<Frame>): AsyncGenerator<Frame> {
  const waiting: Frame[] = [];
  let isOver = false;
  let failure: unknown;
  let wakeTaker: () => void = () => undefined;
  let wakeMaker: () => void = () => undefined;
  const make = async (): Promise<void> => {
    try {
      for await (const frame of frames) {
        if (isOver) break;
        const own = new Frame();
        own.alloc();
        must(own.ref(frame), "hold a picture");
        waiting.push(own);
        wakeTaker();
        while (waiting.length >= mostWaiting && !isOver)
          await new Promise<void>((wake) => (wakeMaker = wake));
        if (isOver) break;
      }
    } catch (cause) {
      failure = cause ?? new Error("a picture could not be made");
    } finally {
      isOver = true;
      wakeTaker();
    }
  };
  const making = make();
  try {
    for (;;) {
      const next = waiting.shift();
      wakeMaker();
      if (next) {
        try {
          yield next;
        } finally {
          next.free();
        }
      } else if (isOver) {
        if (failure !== undefined) throw failure;
        return;
      } else await new Promise<void>((wake) => (wakeTaker = wake));
    }
  } finally {
    // The maker may be inside the library: it must come out before anything is freed.
    isOver = true;
    wakeMaker();
    await making;
    for (const frame of waiting) frame.free();
  }
}
