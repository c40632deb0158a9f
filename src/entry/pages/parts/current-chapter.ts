import { useEffect, useState } from "react";
import { after, before } from "./chapters.ts";

const ids: readonly string[] = ["sitting", ...before.map((p) => p.id), ...after.map((p) => p.id)];

/** The chapter that the reading line, a third down the window, stands in. */
export function useCurrentChapter(isReady: boolean): string {
  const [current, setCurrent] = useState("sitting");
  useEffect(() => {
    if (!isReady) return;
    let frame = 0;
    const look = () => {
      frame = 0;
      const line = innerHeight * 0.33;
      let found = "sitting";
      for (const id of ids) {
        const box = document.getElementById(id)?.getBoundingClientRect();
        if (box && box.top <= line) found = id;
      }
      // Chapters that stand side by side share their top, and a short one may end above the reading line: where the
      // one that was asked for begins at the top of the window, it is meant.
      const asked = location.hash.slice(1);
      const top = document.getElementById(asked)?.getBoundingClientRect().top;
      if (ids.includes(asked) && top !== undefined && top > -40 && top < line) found = asked;
      else if (before.some((p) => p.id === found)) found = before[0]!.id;
      if (innerHeight + scrollY >= document.documentElement.scrollHeight - 2)
        found = asked === "" ? ids.at(-1)! : found;
      setCurrent(found);
    };
    const ask = () => {
      frame ||= requestAnimationFrame(look);
    };
    look();
    addEventListener("scroll", ask, { passive: true });
    addEventListener("resize", ask);
    addEventListener("hashchange", ask);
    return () => {
      cancelAnimationFrame(frame);
      removeEventListener("scroll", ask);
      removeEventListener("resize", ask);
      removeEventListener("hashchange", ask);
    };
  }, [isReady]);
  return current;
}
