import { useEffect, useMemo, useState } from "react";
import type { Plan } from "#documents/plan";
import type { RoomResult } from "#documents/room-result";
import { roomFigures } from "#room/room";
import type { Units } from "../words/units.ts";
import { openPlanWorker, type PlanWorker } from "./ask-plan-worker.ts";
import { onDraft, triedOn } from "./draft-plan.ts";

/** Figures follow a drag so often, ms: oftener nobody reads them. */
const every = 500;

/** A plan, and what follows from it. */
export interface Figured {
  readonly plan: Plan;
  readonly figures: RoomResult;
}

/**
 * The figures of a plan, told in the reader's units; in a drag, of the last step of it whose figures are known. Those are
 * worked out in a worker and come a moment later, so that the drawing never waits for them; at rest they are there at once.
 */
export function useFigures(said: Plan | null, units: Units): Figured | null {
  const still = useMemo(
    () => (said ? { plan: said, figures: roomFigures({ ...said, units }) } : null),
    [said, units],
  );
  const [moving, setMoving] = useState<(Figured & { readonly from: Plan }) | null>(null);
  useEffect(() => {
    if (!said) return;
    const told = { ...said, units };
    let worker: PlanWorker | null = null;
    let asked: Partial<Plan> | null = null;
    let due = 0;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const ask = (): void => {
      timer = undefined;
      asked = triedOn(said);
      if (!asked) return;
      due = performance.now() + every;
      if (!worker) {
        worker = openPlanWorker(
          (answer) => {
            const of = asked;
            asked = null;
            if (answer.kind !== "figures" || !of || !triedOn(said)) return;
            setMoving({ plan: { ...said, ...of }, figures: answer.figures, from: said });
            if (triedOn(said) !== of) soon();
          },
          // Without it the figures come when the thing is let go.
          () => undefined,
        );
        worker.ask({ kind: "on", plan: told });
      }
      worker.ask({ kind: "figures", change: asked });
    };
    const soon = (): void => {
      timer ??= setTimeout(ask, Math.max(0, due - performance.now()));
    };
    const stop = onDraft(() => {
      if (!triedOn(said)) setMoving(null);
      else if (!asked) soon();
    });
    return () => {
      stop();
      clearTimeout(timer);
      worker?.end();
    };
  }, [said, units]);
  // Figures of a drag that has ended, or of another plan, are no longer true.
  return moving !== null && moving.from === said ? moving : still;
}
