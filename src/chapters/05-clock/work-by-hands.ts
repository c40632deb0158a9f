import type { OtherHands } from "#documents/chapter";
import { CompactSound, type Part } from "./compact-sound.ts";
import type { HeardTold, Work } from "./hand-work.ts";
import { blockSamples, blocksOf, listenedOf } from "./listen.ts";
import type { Listened } from "./listened.ts";
import type { PairLooks } from "./pair.ts";
import type { Piece } from "./pieces.ts";
import type { RereadSound } from "./reread-sound.ts";
import { type FineMatch, lookMemory } from "./second-look.ts";
import { compare, type SoundWork } from "./sound-work.ts";
import { type ChunkAsked, tell } from "./told.ts";

interface StepsLook {
  steps(match: FineMatch): Promise<Piece[]>;
}

/** The windows of a second look are compared in so many pieces of work. */
const sharesOfLook = 4;
/** Second looks under way at once: what they keep of every window is large, and used again by the next. */
const mostSecondLooks = 2;

/** Runs what it is given, each with a thing of its own out of so many, in the order in which it came. */
function inTurnsOf<Thing>(
  most: number,
  make: () => Thing,
): <T>(work: (thing: Thing) => Promise<T>) => Promise<T> {
  const idle: Thing[] = [];
  const waiting: ((thing: Thing) => void)[] = [];
  let made = 0;
  const next = () => {
    if (made < most && idle.length === 0) {
      made++;
      return make();
    }
    return idle.pop() ?? new Promise<Thing>((go) => waiting.push(go));
  };
  return async (work) => {
    const thing = await next();
    try {
      return await work(thing);
    } finally {
      const go = waiting.shift();
      if (go) go(thing);
      else idle.push(thing);
    }
  };
}

/** The work of {@link SoundWork} by other threads, as many at once as there are. */
export function workByHands(hands: OtherHands): SoundWork {
  const chunkOf =
    (...listened: readonly Listened[]) =>
    async (question: unknown): Promise<void> => {
      const { of, chunk, out } = question as ChunkAsked;
      await (listened[of]!.sound as RereadSound).fill(chunk, out);
    };
  const fewAtOnce = inTurnsOf(mostSecondLooks, lookMemory);
  /** Each step by whoever is free next, the longest in shares: three pairs then keep two threads busy to the end. */
  const handsOn = (reference: Listened, other: Listened): PairLooks & StepsLook => {
    const told = [tell(reference), tell(other)];
    const run = <Result>(work: Work, asked: object): Promise<Result> =>
      hands.run<Result>(work, { told, ...asked }, chunkOf(reference, other));
    return {
      coarse: () => run("coarse", {}),
      first: (placement, least) => run("first", { placement, least }),
      second: (first) =>
        fewAtOnce(async (memory) => {
          const noises = await Promise.all(
            Array.from({ length: sharesOfLook }, (_, part) =>
              run<number[]>("along", { first, memory, share: { part, parts: sharesOfLook } }),
            ),
          );
          return await run<FineMatch | null>("second", { first, looked: { memory, noises: noises.flat() } });
        }),
      steps: (match) => run("steps", { match }),
    };
  };
  return {
    atOnce: true,
    async listen(source, keep) {
      const blocks = blocksOf(source);
      try {
        const isAside = typeof keep !== "boolean";
        // Several blocks for one message.
        const fill = async (out: Float32Array): Promise<number> => {
          let filled = 0;
          while (filled + blockSamples <= out.length) {
            const sound = await blocks.next();
            if (!sound) break;
            out.set(sound, filled);
            filled += sound.length;
          }
          return filled;
        };
        const answer = async (question: unknown) =>
          question instanceof Float32Array
            ? await fill(question)
            : isAside && (await keep.lay(question as Part));
        const { held, ...heard } = await hands.run<HeardTold>(
          "hear",
          { keep: isAside ? "aside" : keep },
          answer,
        );
        return listenedOf({ ...heard, kept: held && CompactSound.of(held) }, source, keep);
      } finally {
        await blocks.close();
      }
    },
    compare(reference, other) {
      const pair = handsOn(reference, other);
      return compare(pair, other, pair.steps);
    },
    follow: (reference, other, first) => handsOn(reference, other).second(first),
    claps: (listened) => hands.run("claps", [tell(listened)], chunkOf(listened)),
  };
}
