import { useCallback, useState } from "react";

/** The width of an element as laid out, in whole pixels; 0 until it is known. Figures draw themselves anew from it. */
export function useMeasuredWidth<E extends HTMLElement>(): [
  (element: E | null) => (() => void) | undefined,
  number,
] {
  const [width, setWidth] = useState(0);
  const ref = useCallback((element: E | null) => {
    if (!element) return;
    setWidth(Math.floor(element.clientWidth));
    const observer = new ResizeObserver(([entry]) => {
      if (entry) setWidth(Math.floor(entry.contentRect.width));
    });
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  return [ref, width];
}
