import { useEffect, useState } from "react";
import { after, before } from "./chapters.ts";

const ids = ["sitting", ...before.map((p) => p.id), ...after.map((p) => p.id)];

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
      // Chapters that stand side by side share their top: the one that was asked for is meant.
      const asked = location.hash.slice(1);
      const [a, b] = [found, asked].map((id) => document.getElementById(id)?.getBoundingClientRect().top);
      if (asked && a !== undefined && b !== undefined && Math.abs(a - b) < 2) found = asked;
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
