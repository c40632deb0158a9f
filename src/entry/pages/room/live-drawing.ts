import type { PlanDrawing } from "#room/plan-drawing";
import { patchMarkup } from "./patch-markup.ts";

/** A plan's drawing on the page, kept up with the plan. */
export interface LiveDrawing {
  show(drawing: PlanDrawing): void;
}

/**
 * Keeps a drawing in an element of its own. Of a plan in which something has moved, only the parts that differ are made
 * anew: its style, which a whole document would be matched with again, stays.
 *
 * @param host - Holds nothing else. Names in a drawing are escaped by the chapter that makes it.
 */
export function liveDrawing(host: HTMLElement): LiveDrawing {
  let shown: PlanDrawing | null = null;
  let parts: readonly Element[] = [];
  const anew = (drawing: PlanDrawing): void => {
    host.innerHTML = `${drawing.open}>${drawing.sheet}${drawing.parts.map((part) => `<g>${part}</g>`).join("")}</svg>`;
    const svg = host.firstElementChild!;
    svg.setAttribute("aria-label", drawing.words);
    parts = [...svg.children].slice(-drawing.parts.length);
  };
  return {
    show: (drawing) => {
      const before = shown;
      shown = drawing;
      if (
        before?.open !== drawing.open ||
        before.sheet !== drawing.sheet ||
        before.parts.length !== drawing.parts.length
      ) {
        anew(drawing);
        return;
      }
      if (before.words !== drawing.words) host.firstElementChild!.setAttribute("aria-label", drawing.words);
      drawing.parts.forEach((part, i) => {
        const was = before.parts[i]!;
        if (part !== was && !patchMarkup(parts[i]!, was, part)) parts[i]!.innerHTML = part;
      });
    },
  };
}
