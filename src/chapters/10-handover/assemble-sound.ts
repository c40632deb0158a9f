import { roomToneAt } from "./room-tone.ts";

/** A piece of the dialogue track that goes into the program, in samples at 48 kHz. */
export interface SoundPiece {
  /** First sample in the program. */
  readonly at: number;
  /** First sample in the track; may lie outside of it. */
  readonly from: number;
  readonly length: number;
}

/** Half of the crossfade at a join, samples: 15 ms to either side. */
const halfFade = 720;
/** The program's own first and last samples rise from and fall to silence over this, samples: 20 ms. */
const edgeFade = 960;

/**
 * Lays pieces of the dialogue track end to end.
 *
 * At each join the outgoing piece runs on a little past its end while the incoming one rises from a little
 * before its start, by equal-power curves: two rooms that are not the same instant keep their loudness. Where
 * the track has no samples, room tone lies instead of a hole.
 *
 * @param pieces - In order, touching: each begins where the one before ends.
 * @param read - Samples [first, end) of the track as blocks that touch; it may leave out what the track lacks.
 * @param tone - Room tone, or `null` for silence.
 * @returns Blocks of the program, in order; together as long as all the pieces.
 */
export async function* assembleSound(
  pieces: readonly SoundPiece[],
  read: (first: number, end: number) => AsyncIterable<{ first: number; samples: Float32Array }>,
  tone: Float32Array | null,
): AsyncGenerator<Float32Array> {
  let tail = new Float32Array(0);
  for (const [i, piece] of pieces.entries()) {
    const before = pieces[i - 1];
    const after = pieces[i + 1];
    const fadeIn = before ? halfOfJoin(before, piece) : 0;
    const fadeOut = after ? halfOfJoin(piece, after) : 0;
    const first = piece.from - fadeIn;
    const end = piece.from + piece.length + fadeOut;
    // Samples are counted from `first`; the last 2 × fadeOut of them wait for the next piece.
    const giveUntil = end - 2 * fadeOut;
    const nextTail = new Float32Array(2 * fadeOut);
    for await (const block of filled(first, end, read, tone)) {
      const { samples } = block;
      for (let k = 0; k < samples.length; k++) {
        const n = block.first + k;
        let x = samples[k]!;
        const since = n - first;
        const until = end - 1 - n;
        if (since < 2 * fadeIn) x = x * rise(since, 2 * fadeIn) + (tail[since] ?? 0);
        else if (!before && since < edgeFade) x *= rise(since, edgeFade);
        if (until < 2 * fadeOut) x *= rise(until, 2 * fadeOut);
        else if (!after && until < edgeFade) x *= rise(until, edgeFade);
        if (n < giveUntil) samples[k] = x;
        else nextTail[n - giveUntil] = x;
      }
      const give = samples.subarray(0, Math.max(0, Math.min(samples.length, giveUntil - block.first)));
      if (give.length > 0) yield give;
    }
    tail = nextTail;
  }
}

/** Half a crossfade is never longer than half of either piece, so that the fades of one piece do not meet. */
function halfOfJoin(a: SoundPiece, b: SoundPiece): number {
  return Math.min(halfFade, Math.floor(Math.min(a.length, b.length) / 2));
}

/** Equal-power rise from 0 to 1 over `length` samples: with its mirror image the squares add up to 1. */
function rise(index: number, length: number): number {
  return Math.sin((Math.PI / 2) * ((index + 0.5) / length));
}

/** Blocks that touch over [first, end), whatever the reader leaves out. */
async function* filled(
  first: number,
  end: number,
  read: (first: number, end: number) => AsyncIterable<{ first: number; samples: Float32Array }>,
  tone: Float32Array | null,
): AsyncGenerator<{ first: number; samples: Float32Array }> {
  const hole = (from: number, to: number): { first: number; samples: Float32Array } => ({
    first: from,
    samples: Float32Array.from({ length: to - from }, (_, k) => (tone ? roomToneAt(tone, k) : 0)),
  });
  let at = first;
  for await (const block of read(first, end)) {
    if (block.first >= end) break;
    if (block.first > at) {
      yield hole(at, block.first);
      at = block.first;
    }
    // Copied: the fades write into it.
    const samples = block.samples.slice(at - block.first, Math.min(block.samples.length, end - block.first));
    if (samples.length === 0) continue;
    yield { first: at, samples };
    at += samples.length;
  }
  if (at < end) yield hole(at, end);
}
