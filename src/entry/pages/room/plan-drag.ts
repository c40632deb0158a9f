import type { Plan } from "#documents/plan";
import type { PlanThing } from "#room/plan-drawing";
import { movedTo, placeOf, snapped } from "#room/plan-edits";
import type { PlanPage } from "#room/plan-page";
import { sayDraft, tryEdit } from "./draft-plan.ts";

/** Things go to this grid, metres; with Alt held they go anywhere. */
const grid = 0.05;

/** A thing in somebody's hand. */
export interface Drag {
  /** Puts it back where it was. */
  giveUp(): void;
}

/**
 * Leads a thing of the plan after the pointer until it is let go: one step a frame, however many moves the pointer tells,
 * and none where the thing would stay on the same place of the grid.
 *
 * @param button - What was pressed; its parent's corner is the drawing's.
 */
export function beginDrag(
  button: HTMLElement,
  pressed: PointerEvent,
  thing: PlanThing,
  page: PlanPage,
  said: Plan,
): Drag {
  const drawing = button.parentElement!;
  const begun = drawing.getBoundingClientRect();
  const [dx, dy] = [thing.x - (pressed.clientX - begun.left), thing.y - (pressed.clientY - begun.top)];
  let at = placeOf(said, thing.id);
  let hasMoved = false;
  let last: PointerEvent | null = null;
  let frame = 0;
  const step = (): void => {
    frame = 0;
    if (!last) return;
    const box = drawing.getBoundingClientRect();
    const under = page.toRoom(last.clientX - box.left + dx, last.clientY - box.top + dy);
    const to = last.altKey ? under : snapped(under, grid);
    last = null;
    if (at && Math.hypot(to[0] - at[0], to[1] - at[1]) < (hasMoved ? 1e-6 : grid / 2)) return;
    at = to;
    hasMoved = true;
    tryEdit(said, movedTo(said, thing.id, to));
  };
  const move = (event: PointerEvent): void => {
    last = event;
    frame ||= requestAnimationFrame(step);
  };
  const end = (): void => {
    cancelAnimationFrame(frame);
    button.removeEventListener("pointermove", move);
    button.removeEventListener("pointerup", letGo);
    button.removeEventListener("pointercancel", letGo);
  };
  const letGo = (): void => {
    // Where the pointer was last counts, also between two frames.
    step();
    end();
    if (hasMoved) sayDraft();
  };
  button.setPointerCapture(pressed.pointerId);
  button.addEventListener("pointermove", move);
  button.addEventListener("pointerup", letGo);
  button.addEventListener("pointercancel", letGo);
  return {
    giveUp: () => {
      end();
      tryEdit(said, null);
    },
  };
}
