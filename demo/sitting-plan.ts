import type { DeviceClock } from "./device-clock.ts";
import { randomFrom } from "./random.ts";
import { type Conversation, planConversation, type Turn } from "./sound/conversation.ts";
import type { Voices } from "./sound/voices.ts";

export const frameRate = 25;

/** What is asked of the demo, with nothing left open. */
export interface DemoWish {
  readonly seconds: number;
  readonly seed: number;
  readonly soundOnly: boolean;
  readonly width: number;
  readonly height: number;
}

/** One file of camera B. */
export interface Take {
  readonly name: string;
  /** Of the picture: the pure clock. */
  readonly clock: DeviceClock;
  /** Local length; a whole number of frames. */
  readonly seconds: number;
}

/** Everything that is decided before a sample or a pixel is made. Depends on the wish alone. */
export interface SittingPlan {
  readonly wish: DemoWish;
  readonly talk: Conversation;
  readonly takes: readonly [Take, Take];
  /** When camera B is out of focus, and cloth rubs on the lav: sitting time. */
  readonly soft: Turn;
  readonly rustle: Turn;
}

const wholeFrames = (seconds: number): number => Math.floor(seconds * frameRate) / frameRate;

export function planSitting(voices: Voices, wish: DemoWish): SittingPlan {
  const random = randomFrom(wish.seed ^ 0x51a7e);
  const seconds = wholeFrames(wish.seconds);
  const talk = planConversation(voices, seconds, wish.seed);
  // B is started by hand a little later, between two of A's frames and two of A's samples
  const ratePpm = 23.7 + 4 * (random() - 0.5);
  const first: DeviceClock = { offset: 1.6 + 0.9 * random(), ratePpm };
  // it stops while the second question begins (or, in a very short sitting, in the long pause)
  const second = talk.exchanges[1];
  const pause = talk.spoken.find((line) => line.mark === "longPause");
  const stopAt = second ? second.question.start + 0.35 : (pause?.start ?? seconds / 2) - 3.3;
  const firstSeconds = wholeFrames((stopAt - first.offset) / (1 + ratePpm * 1e-6));
  const stopped = first.offset + firstSeconds * (1 + ratePpm * 1e-6);
  const again: DeviceClock = { offset: stopped + 2.9 + 0.3 * random(), ratePpm };
  const secondSeconds = wholeFrames((seconds - 0.4 - again.offset) / (1 + ratePpm * 1e-6));
  const softAnswer = (talk.exchanges[2] ?? talk.exchanges.at(-1)!).answer;
  const softFrom = Math.min(softAnswer.start + 2.2, softAnswer.end - 7);
  const rustled = (talk.exchanges[1] ?? talk.exchanges[0]!).answer;
  const rustleFrom = rustled.start + 0.55 * (rustled.end - rustled.start);
  return {
    wish: { ...wish, seconds },
    talk,
    takes: [
      { name: "B001", clock: first, seconds: firstSeconds },
      { name: "B002", clock: again, seconds: secondSeconds },
    ],
    soft: { start: softFrom, end: softFrom + 6.2 },
    rustle: { start: rustleFrom, end: rustleFrom + 1.5 },
  };
}
