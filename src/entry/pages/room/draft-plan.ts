import { useMemo, useSyncExternalStore } from "react";
import type { Plan } from "#documents/plan";
import type { PlanEdit } from "#room/plan-edits";
import { useSaid } from "../data/held-sitting.ts";
import { say } from "../data/say.ts";

/*
 * The plan while it is being moved about: what is dragged shows at once and is said when it is let go, so that a drag is
 * one change and is taken back as one.
 */

interface Draft {
  /** The said plan that the draft was begun on. */
  readonly on: Plan;
  readonly edit: PlanEdit;
}

let draft: Draft | null = null;
const listeners = new Set<() => void>();
const hold = (next: Draft | null): void => {
  draft = next;
  for (const tell of listeners) tell();
};
const subscribe = (tell: () => void): (() => void) => {
  listeners.add(tell);
  return () => listeners.delete(tell);
};

/** Shows an edit without saying it yet. */
export const tryEdit = (on: Plan, edit: PlanEdit | null): void => hold(edit && { on, edit });

/** Says what is being tried. */
export function sayDraft(): void {
  const last = draft;
  hold(null);
  if (last) say({ kind: "plan", what: last.edit.what, plan: last.edit.plan });
}

/** Says an edit at once. */
export function sayEdit(edit: PlanEdit | null): void {
  hold(null);
  if (edit) say({ kind: "plan", what: edit.what, plan: edit.plan });
}

/** The plan as it stands with what is being dragged; null where there is none. */
export function usePlan(): {
  readonly plan: Plan | null;
  readonly said: Plan | null;
  readonly isMoving: boolean;
} {
  const said = useSaidPlan();
  const now = useSyncExternalStore(subscribe, () => draft);
  return useMemo(() => {
    const isMoving = now !== null && now.on === said;
    return { plan: isMoving ? { ...said, ...now.edit.plan } : said, said, isMoving };
  }, [said, now]);
}

/** The plan as it was last said; null where there is none. What is not seen in a drag need not follow it. */
export const useSaidPlan = (): Plan | null => useSaid()?.plan ?? null;
