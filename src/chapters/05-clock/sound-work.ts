import type { FftMaker } from "#science/signal/fft";
import { type ClapHeard, clapsOf } from "./clap-shape.ts";
import type { FirstLook } from "./first-look.ts";
import { blocksOf, hear, type KeepWhere, listenedOf, type SoundSource } from "./listen.ts";
import type { Listened } from "./listened.ts";
import { compareBy, looksHere, type PairLooks } from "./pair.ts";
import { type Piece, piecesOf } from "./pieces.ts";
import { type FineMatch, secondLook } from "./second-look.ts";

/** What came of comparing two recordings, steps looked for. */
export interface Compared {
  /** In order; none where the two were refused. */
  readonly pieces: readonly Piece[];
  /** The best score that was reached, also by what was refused. */
  readonly score: number;
  /** Refused because it fits in several places as well: a loop, a tune. */
  readonly repeats: boolean;
}

/** The parts of Clock's arithmetic that take long, each by itself: whoever does them, the answers are the same. */
export interface SoundWork {
  /** Whether several are done at once. */
  readonly atOnce: boolean;
  listen(source: SoundSource, keep: KeepWhere): Promise<Listened>;
  compare(reference: Listened, other: Listened): Promise<Compared>;
  follow(reference: Listened, other: Listened, first: FirstLook): Promise<FineMatch | null>;
  claps(listened: Listened): Promise<ClapHeard[]>;
}

/** @param stepsOf - The pieces of a match that may have steps. */
export async function compare(
  looks: PairLooks,
  other: Listened,
  stepsOf: (match: FineMatch) => Promise<Piece[]>,
): Promise<Compared> {
  const { match, score, repeats = false } = await compareBy(looks, other);
  return { pieces: match ? await stepsOf(match) : [], score, repeats };
}

/** All of it in this thread, one after another: transforms of one size share their memory. */
export function workHere(makeFft: FftMaker, pause: () => Promise<void>): SoundWork {
  let last: Promise<unknown> = Promise.resolve();
  const inTurn = <T>(work: () => Promise<T>): Promise<T> => {
    const turn = last.then(work);
    last = turn.catch(() => {});
    return turn;
  };
  return {
    atOnce: false,
    listen: (source, keep) =>
      inTurn(async () => {
        const blocks = blocksOf(source);
        try {
          const heard = await hear(makeFft, blocks.next, typeof keep === "boolean" ? keep : keep.lay);
          return listenedOf(heard, source, keep);
        } finally {
          await blocks.close();
        }
      }),
    compare: (reference, other) =>
      inTurn(() =>
        compare(looksHere(makeFft, reference, other, pause), other, (match) =>
          piecesOf(makeFft, reference, other, match, pause),
        ),
      ),
    follow: (reference, other, first) => inTurn(() => secondLook(makeFft, reference, other, first, pause)),
    claps: (listened) => inTurn(() => clapsOf(makeFft, listened)),
  };
}
