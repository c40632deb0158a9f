import type { OtherHands } from "#documents/chapter";
import { type FftMaker, loadFft } from "#science/signal/fft";
import { sharedFloats } from "#science/signal/shared-arrays";
import { type ClapHeard, clapsOf } from "./clap-shape.ts";
import { CompactSound, type HeldSound, type Part } from "./compact-sound.ts";
import type { FirstLook } from "./first-look.ts";
import {
  blockSamples,
  blocksOf,
  type Heard,
  hear,
  type KeepWhere,
  listenedOf,
  type SoundSource,
} from "./listen.ts";
import type { Listened } from "./listened.ts";
import { comparePair } from "./pair.ts";
import { type Piece, piecesOf } from "./pieces.ts";
import { RereadSound } from "./reread-sound.ts";
import { type FineMatch, secondLook } from "./second-look.ts";
import { type Laid, LaidSound } from "./sound-aside.ts";

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

type Pause = () => Promise<void>;

async function compare(
  makeFft: FftMaker,
  reference: Listened,
  other: Listened,
  pause: Pause,
): Promise<Compared> {
  const { match, score, repeats = false } = await comparePair(makeFft, reference, other, pause);
  const pieces = match ? await piecesOf(makeFft, reference, other, match, pause) : [];
  return { pieces, score, repeats };
}

/** All of it in this thread, one after another: transforms of one size share their memory. */
export function workHere(makeFft: FftMaker, pause: Pause): SoundWork {
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
    compare: (reference, other) => inTurn(() => compare(makeFft, reference, other, pause)),
    follow: (reference, other, first) => inTurn(() => secondLook(makeFft, reference, other, first, pause)),
    claps: (listened) => inTurn(() => clapsOf(makeFft, listened)),
  };
}

/** A recording as it is told to another thread: the sound is there on shared memory, was laid aside, or is asked for. */
interface Told {
  readonly listened: Omit<Listened, "sound">;
  readonly samples: number;
  readonly held: HeldSound | null;
  readonly laid: Laid | null;
  readonly chunkSamples: number;
}

/** A chunk of the recording of that place among those told, to be put into memory of the one that asks. */
interface ChunkAsked {
  readonly of: number;
  readonly chunk: number;
  readonly out: Float32Array;
}

type HeardTold = Omit<Heard, "kept"> & { readonly held: HeldSound | null };

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
  async compare(told: readonly Told[], door: Door): Promise<Compared> {
    const [reference, other] = known(told, door);
    return await compare(await loadFft(), reference!, other!, goOn);
  },
  async follow({ told, first }: { told: readonly Told[]; first: FirstLook }, door: Door) {
    const [reference, other] = known(told, door);
    return await secondLook(await loadFft(), reference!, other!, first, goOn);
  },
  async claps(told: readonly Told[], door: Door): Promise<ClapHeard[]> {
    return await clapsOf(await loadFft(), known(told, door)[0]!);
  },
};

/** What a thread gets from outside itself. */
interface Door {
  ask(question: unknown): Promise<unknown>;
  readScratch(key: number, at: number, out: Uint8Array): void;
}

/** Who wants it to stop ends the thread. */
const goOn: Pause = async () => {};

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
  return await works[name as keyof typeof works](input as never, { ask, readScratch });
}

function tell({ sound, ...listened }: Listened): Told {
  const held = sound instanceof CompactSound ? sound.held() : null;
  const laid = sound instanceof LaidSound ? sound.laid : null;
  return {
    listened,
    samples: sound.samples,
    held,
    laid: laid && { key: laid.key, scales: Float64Array.from(laid.scales) },
    chunkSamples: sound instanceof RereadSound ? sound.chunkSamples : 0,
  };
}

function known(told: readonly Told[], { ask, readScratch }: Door): Listened[] {
  return told.map(({ listened, samples, held, laid, chunkSamples }, of) => {
    if (held) return { ...listened, sound: CompactSound.of(held) };
    if (laid)
      return {
        ...listened,
        sound: new LaidSound(samples, laid, (at, out) => readScratch(laid.key, at, out)),
      };
    const fill = async (chunk: number, out: Float32Array) =>
      void (await ask({ of, chunk, out } satisfies ChunkAsked));
    return { ...listened, sound: new RereadSound(samples, chunkSamples, fill) };
  });
}

/** The same by other threads, as many at once as there are. */
export function workOf(hands: OtherHands): SoundWork {
  const chunkOf =
    (...listened: readonly Listened[]) =>
    async (question: unknown): Promise<void> => {
      const { of, chunk, out } = question as ChunkAsked;
      await (listened[of]!.sound as RereadSound).fill(chunk, out);
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
    compare: (reference, other) =>
      hands.run("compare", [tell(reference), tell(other)], chunkOf(reference, other)),
    follow: (reference, other, first) =>
      hands.run("follow", { told: [tell(reference), tell(other)], first }, chunkOf(reference, other)),
    claps: (listened) => hands.run("claps", [tell(listened)], chunkOf(listened)),
  };
}
