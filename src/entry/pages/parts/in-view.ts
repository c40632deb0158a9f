import { useEffect, useState } from "react";

export const everything = { from: Number.NEGATIVE_INFINITY, to: Number.POSITIVE_INFINITY };

/**
 * The part of a tall element that is in view or near it, in its own pixels, in steps of half a window: what lies
 * outside need not be drawn. Everything is drawn for print, and where there is no element.
 */
export function usePartInView(element: HTMLElement | null): { from: number; to: number } {
  const [part, setPart] = useState(everything);
  useEffect(() => {
    if (!element) {
      setPart(everything);
      return;
    }
    let frame = 0;
    const look = () => {
      frame = 0;
      const step = Math.max(300, innerHeight / 2);
      const top = -element.getBoundingClientRect().top;
      const from = (Math.floor(top / step) - 2) * step;
      const to = (Math.ceil((top + innerHeight) / step) + 2) * step;
      setPart((old) => (old.from === from && old.to === to ? old : { from, to }));
    };
    const ask = () => {
      frame ||= requestAnimationFrame(look);
    };
    const all = () => setPart(everything);
    look();
    addEventListener("scroll", ask, { passive: true });
    addEventListener("resize", ask);
    addEventListener("beforeprint", all);
    addEventListener("afterprint", look);
    return () => {
      cancelAnimationFrame(frame);
      removeEventListener("scroll", ask);
      removeEventListener("resize", ask);
      removeEventListener("beforeprint", all);
      removeEventListener("afterprint", look);
    };
  }, [element]);
  return part;
}
