import { useEffect, useMemo, useRef, useState } from "react";
import type { Plan } from "#documents/plan";
import type { RoomResult } from "#documents/room-result";
import { roomFigures } from "#room/room";
import type { Units } from "../words/units.ts";
import { openPlanWorker, type PlanWorker } from "./ask-plan-worker.ts";

/** Figures follow a drag so often, ms: oftener nobody reads them. */
const every = 120;

/** A plan, and what follows from it. */
export interface Figured {
  readonly plan: Plan;
  readonly figures: RoomResult;
}

/**
 * The figures of a plan, told in the reader's units. While something is dragged they are worked out in a worker and come a
 * moment later, so that the drawing never waits for them; at rest they are those of the plan, at once.
 */
export function useFigures(plan: Plan | null, isMoving: boolean, units: Units): Figured | null {
  // At rest the plan is the said one; in a drag this stays the one before.
  const rest = useRef<Plan | null>(null);
  if (!isMoving) rest.current = plan;
  const still = rest.current;
  const figured = useMemo(
    () => (still ? { plan: still, figures: roomFigures({ ...still, units }) } : null),
    [still, units],
  );
  const [moving, setMoving] = useState<(Figured & { readonly from: Plan }) | null>(null);
  const held = useRef<{ worker: PlanWorker; asked: Plan | null; next: Plan | null; at: number } | null>(null);
  useEffect(() => {
    if (!isMoving || !plan || !still) return;
    const ask = (): void => {
      const own = held.current!;
      own.asked = own.next;
      own.next = null;
      own.at = performance.now();
      own.worker.ask({ kind: "figures", plan: { ...own.asked!, units } });
    };
    held.current ??= {
      worker: openPlanWorker(
        (answer) => {
          const own = held.current;
          if (!own?.asked) return;
          const of = own.asked;
          own.asked = null;
          if (answer.kind === "figures" && rest.current)
            setMoving({ plan: of, figures: answer.figures, from: rest.current });
          if (own.next) setTimeout(() => own.next && !own.asked && ask(), own.at + every - performance.now());
        },
        // Without it the figures come when the thing is let go.
        () => undefined,
      ),
      asked: null,
      next: null,
      at: 0,
    };
    held.current.next = plan;
    if (!held.current.asked) ask();
  }, [plan, still, isMoving, units]);
  useEffect(
    () => () => {
      held.current?.worker.end();
      held.current = null;
    },
    [],
  );
  // Figures of a drag that has ended, or of another plan, are no longer true.
  return isMoving && moving?.from === still ? moving : figured;
}
