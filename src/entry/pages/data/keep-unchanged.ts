import type { SittingPage } from "#documents/page";

/**
 * A fresh page with every part that reads the same as before replaced by the old object, so that figures of settled
 * chapters are not drawn again at each step of another one's progress.
 */
export function keepUnchanged(old: SittingPage | null, fresh: SittingPage): SittingPage {
  if (!old) return fresh;
  return {
    ...fresh,
    recordings: same(old.recordings, fresh.recordings),
    said: sameParts(old.said, fresh.said),
    proxies: same(old.proxies, fresh.proxies),
    chapters: fresh.chapters.map((chapter) => {
      const before = old.chapters.find((c) => c.name === chapter.name);
      if (!before) return chapter;
      const result = same(before.result, chapter.result);
      return same(before, { ...chapter, result });
    }),
  };
}

/** Each part by itself: a new title does not make the cut's own wishes new. */
function sameParts<T extends object>(before: T, now: T): T {
  if (same(before, now) === before) return before;
  return Object.fromEntries(
    Object.entries(now).map(([key, value]) => [key, same(before[key as keyof T] as unknown, value)]),
  ) as T;
}

function same<T>(before: T, now: T): T {
  return before === now || JSON.stringify(before) === JSON.stringify(now) ? before : now;
}
