import { CompactSound, type HeldSound } from "./compact-sound.ts";
import type { Listened } from "./listened.ts";
import type { Onsets } from "./onsets.ts";
import { RereadSound } from "./reread-sound.ts";
import { type Laid, LaidSound } from "./sound-aside.ts";

/** A recording as it is told to another thread: the sound is there on shared memory, was laid aside, or is asked for. */
export interface Told {
  /** Whose onsets these are: a thread that was told of them before has what they add up to already. */
  readonly id: number;
  readonly listened: Omit<Listened, "sound">;
  readonly samples: number;
  readonly held: HeldSound | null;
  readonly laid: Laid | null;
  readonly chunkSamples: number;
}

/** A chunk of the recording of that place among those told, to be put into memory of the one that asks. */
export interface ChunkAsked {
  readonly of: number;
  readonly chunk: number;
  readonly out: Float32Array;
}

/** What a thread gets from outside itself. */
export interface Door {
  ask(question: unknown): Promise<unknown>;
  readScratch(key: number, at: number, out: Uint8Array): void;
}

/** As it is told; the arrays are on shared memory and are not copied. */
export function tell({ sound, ...listened }: Listened): Told {
  const held = sound instanceof CompactSound ? sound.held() : null;
  const laid = sound instanceof LaidSound ? sound.laid : null;
  return {
    id: idOf(listened.onsets),
    listened,
    samples: sound.samples,
    held,
    laid: laid && { key: laid.key, scales: Float64Array.from(laid.scales) },
    chunkSamples: sound instanceof RereadSound ? sound.chunkSamples : 0,
  };
}

const ids = new WeakMap<Onsets, number>();
let lastId = 0;

function idOf(onsets: Onsets): number {
  let id = ids.get(onsets);
  if (id === undefined) ids.set(onsets, (id = ++lastId));
  return id;
}

const onsetsKept = 32;
const onsetsTold = new Map<number, Onsets>();

/** The same object each time, for what is reckoned from it is remembered with it. */
function onsetsOf(id: number, told: Onsets): Onsets {
  const onsets = onsetsTold.get(id) ?? told;
  onsetsTold.delete(id);
  onsetsTold.set(id, onsets);
  if (onsetsTold.size > onsetsKept) onsetsTold.delete(onsetsTold.keys().next().value!);
  return onsets;
}

/** What was told, to be worked with in this thread. */
export function known(told: readonly Told[], { ask, readScratch }: Door): Listened[] {
  return told.map(({ id, listened: heard, samples, held, laid, chunkSamples }, of) => {
    const listened = { ...heard, onsets: onsetsOf(id, heard.onsets) };
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
