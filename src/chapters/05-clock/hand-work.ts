import { loadFft } from "#science/signal/fft";
import { sharedFloats } from "#science/signal/shared-arrays";
import { type ClapHeard, clapsOf } from "./clap-shape.ts";
import { type CoarsePlacement, coarsePlacements } from "./coarse.ts";
import type { HeldSound } from "./compact-sound.ts";
import { type FirstLook, firstLook } from "./first-look.ts";
import { blockSamples, type Heard, hear } from "./listen.ts";
import type { Listened } from "./listened.ts";
import { type Piece, piecesOf } from "./pieces.ts";
import { type FineMatch, type LookMemory, lookAlong, type Share, secondLook } from "./second-look.ts";
import { type Door, known, type Told } from "./told.ts";

/** What listening leaves, as it is told back. */
export type HeardTold = Omit<Heard, "kept"> & { readonly held: HeldSound | null };

/** The work of each name as another thread does it. */
const works = {
  async hear({ keep }: { keep: boolean | "aside" }, { ask }: Door): Promise<HeardTold> {
    // Two in turn: one is filled while the other is listened to.
    const blocks = [sharedFloats(4 * blockSamples), sharedFloats(4 * blockSamples)] as const;
    let turn = 0;
    const next = async (): Promise<Float32Array | null> => {
      const block = blocks[turn++ % 2]!;
      const samples = (await ask(block)) as number;
      return samples === 0 ? null : block.subarray(0, samples);
    };
    const { samples, onsets, kept } = await hear(
      await loadFft(),
      next,
      keep === "aside" ? async (part) => void (await ask(part)) : keep,
    );
    return { samples, onsets, held: kept?.held() ?? null };
  },
  async coarse({ told }: OfPair, door: Door): Promise<CoarsePlacement[]> {
    const { reference, other } = pairOf(told, door);
    return coarsePlacements(await loadFft(), reference.onsets, other.onsets);
  },
  async first({ told, placement, least }: FirstAsked, door: Door): Promise<FirstLook | null> {
    const { reference, other } = pairOf(told, door);
    return await firstLook(await loadFft(), reference, other, placement, goOn, least);
  },
  async along({ told, first, memory, share }: AlongAsked, door: Door): Promise<number[]> {
    const { reference, other } = pairOf(told, door);
    return await lookAlong(await loadFft(), reference, other, first.line, goOn, memory, share);
  },
  async second({ told, first, looked }: SecondAsked, door: Door): Promise<FineMatch | null> {
    const { reference, other } = pairOf(told, door);
    return await secondLook(await loadFft(), reference, other, first, goOn, looked);
  },
  async steps({ told, match }: StepsAsked, door: Door): Promise<Piece[]> {
    const { reference, other } = pairOf(told, door);
    return await piecesOf(await loadFft(), reference, other, match, goOn);
  },
  async claps(told: readonly Told[], door: Door): Promise<ClapHeard[]> {
    return await clapsOf(await loadFft(), known(told, door)[0]!);
  },
};

/** The names of what another thread can be asked for. */
export type Work = keyof typeof works;

/** What is asked about two recordings, the reference told first. */
interface OfPair {
  readonly told: readonly Told[];
}
interface FirstAsked extends OfPair {
  readonly placement: CoarsePlacement;
  readonly least: number | undefined;
}
interface AlongAsked extends OfPair {
  readonly first: FirstLook;
  readonly memory: LookMemory;
  readonly share: Share;
}
interface SecondAsked extends OfPair {
  readonly first: FirstLook;
  readonly looked: { readonly memory: LookMemory; readonly noises: readonly number[] };
}
interface StepsAsked extends OfPair {
  readonly match: FineMatch;
}

function pairOf(told: readonly Told[], door: Door): { reference: Listened; other: Listened } {
  const [reference, other] = known(told, door);
  return { reference: reference!, other: other! };
}

/** Who wants it to stop ends the thread. */
const goOn: () => Promise<void> = async () => {};

/**
 * Does work of a name in this thread for another one.
 *
 * @param ask - Asks the thread that wants it.
 * @param readScratch - Fills `out` with what a scratch of that key has from byte `at` on.
 */
export async function doSoundWork(
  name: string,
  input: unknown,
  ask: Door["ask"],
  readScratch: Door["readScratch"],
): Promise<unknown> {
  return await works[name as Work](input as never, { ask, readScratch });
}
