import { useCallback, useState } from "react";

/** The width of an element as laid out, in whole pixels; 0 until it is known, and never under 240, below which no figure is drawn
 * but only made smaller. Figures draw themselves anew from it. */
export function useMeasuredWidth<E extends HTMLElement>(): [
  (element: E | null) => (() => void) | undefined,
  number,
] {
  const [width, setWidth] = useState(0);
  const ref = useCallback((element: E | null) => {
    if (!element) return;
    setWidth(drawable(element.clientWidth));
    const observer = new ResizeObserver(([entry]) => {
      if (entry) setWidth(drawable(entry.contentRect.width));
    });
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  return [ref, width];
}

function drawable(width: number): number {
  return width < 1 ? 0 : Math.max(240, Math.floor(width));
}
