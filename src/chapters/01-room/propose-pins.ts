import type { Plan } from "#documents/plan";

/** Whether a thing stays where it is: pinned, or on a pinned rail. */
export function staysPut(plan: Plan, id: string): boolean {
  const { pinned } = plan.wishes;
  if (pinned.includes(id)) return true;
  return plan.slides.some((s) => s.camera === id && pinned.includes(s.id));
}
