import "../data/no-made-code.ts";
import type { Plan } from "#documents/plan";
import type { Proposals } from "#documents/room-proposals";
import { proposeStagings } from "#room/propose";

/** What the search for stagings tells the page. */
export type ProposeAnswer =
  | { readonly kind: "progress"; readonly done: number }
  | { readonly kind: "proposals"; readonly proposals: Proposals }
  | { readonly kind: "failed"; readonly says: string };

const tell = (answer: ProposeAnswer): void => postMessage(answer);

addEventListener("message", ({ data }: MessageEvent<{ plan: Plan; seed: number }>) => {
  try {
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
