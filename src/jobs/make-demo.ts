import { rename, rm, stat } from "node:fs/promises";
import { basename, dirname, join, resolve } from "node:path";
import { isSitting, newSitting, writeSitting } from "./sitting-store.ts";
import type { Progress } from "./task.ts";

export interface DemoWish {
  readonly folder: string;
  readonly seconds?: number;
  readonly seed?: number;
  readonly soundOnly?: boolean;
}

/**
 * Makes the demo sitting where there is none: cards as two devices would leave them, truth.json, and a sitting that
 * names them. It appears whole or not at all.
 *
 * @returns whether it was made now.
 */
export async function makeDemo(
  wish: DemoWish,
  tell: (progress: Progress) => void,
  signal: AbortSignal,
): Promise<boolean> {
  const folder = resolve(wish.folder);
  if (await isSitting(folder)) return false;
  const work = join(dirname(folder), `.${basename(folder)}.part`);
  await rm(work, { recursive: true, force: true });
  try {
    // Media libraries are loaded only by who makes a demo, not by every command that could.
    const { makeDemoSitting } = await import("#demo/make-demo-sitting");
    const { loftPlan } = await import("#demo/loft-plan");
    const { folder: _, ...rest } = wish;
    await makeDemoSitting(work, rest, (done, doing) => tell({ done, doing }), signal);
    const cards = (["A", "B"] as const).map((device) => ({
      device,
      kind: wish.soundOnly ? ("sound" as const) : ("camera" as const),
      paths: [join("cards", device)],
    }));
    await writeSitting(work, {
      ...newSitting("The tide-mill loft", cards, ["originals", "second-copy"], new Date()),
      plan: loftPlan,
    });
    const there = await stat(folder).catch(() => undefined);
    if (there) await rm(folder, { recursive: true });
    await rename(work, folder);
    return true;
  } catch (error) {
    await rm(work, { recursive: true, force: true });
    throw error;
  }
}
