import type { PlanColours } from "#room/plan-drawing";

/** The page's own inks: the drawing follows the theme. */
export const inks: PlanColours = {
  paper: "var(--paper)",
  ink: "var(--ink)",
  quiet: "var(--ink-2)",
  line: "var(--line)",
  rule: "var(--rule)",
  a: "var(--a)",
  b: "var(--b)",
};
