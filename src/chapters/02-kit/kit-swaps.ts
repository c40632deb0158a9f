import type { KitSwap } from "#documents/kit-result";
import type { KitDay } from "./kit-day.ts";

/** What runs out: a card by recorded minutes, a battery by minutes that the camera is on. */
export interface Store {
  readonly what: KitSwap["what"];
  /** Minutes that each one in turn lasts; the last goes on for as many as are needed. */
  readonly minutes: readonly number[];
  /** Breaks use it up too: a camera that waits is on. */
  readonly inBreaks: boolean;
}

/**
 * When to change: always in the break before a block that would not end on what is in, and inside a block only where a
 * whole one does not last it.
 *
 * @returns The changes in order. How many are needed is one more.
 */
export function swapsOf(day: KitDay, { what, minutes, inBreaks }: Store): KitSwap[] {
  const swaps: KitSwap[] = [];
  let index = 0;
  const capacity = (): number => minutes[Math.min(index, minutes.length - 1)]!;
  let left = capacity();
  const change = (at: number, block: string, inBreak: boolean): void => {
    swaps.push({ what, at, clock: day.clockOf(at), block, inBreak });
    index++;
    left = capacity();
  };
  for (const [i, block] of day.blocks.entries()) {
    const length = block.to - block.from;
    // Not before the first block: what is in then is full. A change that would not save the block is no use either.
    if (i > 0 && left < length && capacity() > left) change(block.from, block.name, true);
    let at = block.from;
    let toGo = length;
    while (left < toGo && left >= 0) {
      if (capacity() < 1) break;
      at += left;
      toGo -= left;
      change(at, block.name, false);
    }
    left -= toGo;
    if (inBreaks) left = Math.max(0, left - block.breakMinutes);
  }
  return swaps;
}
