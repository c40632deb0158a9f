import type { PlanThing } from "#room/plan-drawing";

/** What is gripped on a plan, kept where its things are. */
export interface ThingHandles {
  show(things: readonly PlanThing[], nameOf: (thing: PlanThing) => string): void;
}

/** Half the breadth of what is gripped of a thing, CSS pixels: never so small that a finger misses it. */
export const halfOf = ({ reach }: PlanThing): number => Math.max(12, Math.min(reach, 40));

/** Where its button lies, as CSS: by a transform, so that nothing is laid out when it moves. */
export const placed = (thing: PlanThing): string =>
  `translate(${thing.x - halfOf(thing)}px, ${thing.y - halfOf(thing)}px)`;

/**
 * Moves the buttons of a plan after its things, those alone that stand elsewhere than they were shown last.
 *
 * @param root - Its buttons tell by `data-thing` what they grip.
 */
export function thingHandles(root: HTMLElement): ThingHandles {
  const shown = new Map<string, string>();
  return {
    show: (things, nameOf) => {
      for (const thing of things) {
        const name = nameOf(thing);
        const now = `${thing.x} ${thing.y} ${name}`;
        if (shown.get(thing.id) === now) continue;
        shown.set(thing.id, now);
        const button = root.querySelector<HTMLElement>(`[data-thing="${CSS.escape(thing.id)}"]`);
        if (!button) continue;
        button.style.transform = placed(thing);
        button.setAttribute("aria-label", name);
      }
    },
  };
}
