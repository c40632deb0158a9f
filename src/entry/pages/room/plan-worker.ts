import "../data/no-made-code.ts";
import type { Plan } from "#documents/plan";
import type { Proposals } from "#documents/room-proposals";
import type { RoomResult } from "#documents/room-result";
import { proposeStagings } from "#room/propose";
import { roomFigures } from "#room/room";

/** What the page asks of a plan that would keep it from drawing. */
export type PlanQuestion =
  /** The plan that changes are told on. */
  | { readonly kind: "on"; readonly plan: Plan }
  /** The figures with these parts changed: a whole plan with each step of a drag would cost more to send than to draw. */
  | { readonly kind: "figures"; readonly change: Partial<Plan> }
  | { readonly kind: "proposals"; readonly plan: Plan; readonly seed: number };

/** What the page is told. */
export type PlanAnswer =
  | { readonly kind: "figures"; readonly figures: RoomResult }
  | { readonly kind: "progress"; readonly done: number }
  | { readonly kind: "proposals"; readonly proposals: Proposals }
  | { readonly kind: "failed"; readonly says: string };

let on: Plan | null = null;
const tell = (answer: PlanAnswer): void => postMessage(answer);

addEventListener("message", ({ data }: MessageEvent<PlanQuestion>) => {
  try {
    if (data.kind === "on") {
      on = data.plan;
      return;
    }
    if (data.kind === "figures") {
      if (on) tell({ kind: "figures", figures: roomFigures({ ...on, ...data.change }) });
      return;
    }
    let last = 0;
    const proposals = proposeStagings(data.plan, {
      seed: data.seed,
      progress: (done: number) => {
        if (done - last < 0.01) return;
        last = done;
        tell({ kind: "progress", done });
      },
    });
    tell({ kind: "proposals", proposals });
  } catch (error) {
    tell({ kind: "failed", says: error instanceof Error ? error.message : String(error) });
  }
});
