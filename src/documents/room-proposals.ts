import { z } from "zod";
import { planSchema } from "./plan.ts";

/* Stagings that the search for them proposes. Scores are shares, 0 to 1; totals are out of 100. */

/** A wish of the craft or of the person, as one staging keeps it. */
export const stagingRuleSchema = z.object({
  /** Permanent, for programs: `eyeline-a`. */
  code: z.string(),
  name: z.string(),
  /** How much it counts beside the others. */
  weight: z.number(),
  score: z.number(),
  /** The figure and what it means, in a sentence. */
  says: z.string(),
});
export type StagingRule = z.infer<typeof stagingRuleSchema>;

/** A rule that no proposal may break, and how it is broken. */
export const brokenRuleSchema = z.object({
  code: z.string(),
  name: z.string(),
  says: z.string(),
  remedy: z.string(),
});
export type BrokenRule = z.infer<typeof brokenRuleSchema>;

const judgedSchema = z.object({
  /** Weighed mean of the rules' scores, out of 100. */
  total: z.number(),
  rules: z.array(stagingRuleSchema),
});

export const proposalSchema = z.object({
  ...judgedSchema.shape,
  /** What tells it from others: "Facing west, cameras to the left of the line". */
  title: z.string(),
  /** The best of it and the price of it, in sentences. */
  why: z.array(z.string()),
  /** How it differs from the proposals before it; empty for the first. */
  differs: z.string(),
  /** What goes where. */
  moved: z.array(z.object({ id: z.string(), says: z.string() })),
  /** The whole plan, changed. */
  plan: planSchema,
});
export type Proposal = z.infer<typeof proposalSchema>;

/** Result of `gemel room FILE --propose`. */
export const proposalsSchema = z.object({
  seed: z.number(),
  /** Stagings tried. */
  evaluations: z.number(),
  /** Not when it was called off on the way. */
  complete: z.boolean(),
  /** The plan as it stands, judged alike. */
  now: z.object({ ...judgedSchema.shape, broken: z.array(brokenRuleSchema) }),
  /** The best first: three, or fewer where no more differ truly. */
  proposals: z.array(proposalSchema),
  /** Where no staging keeps every hard rule: those that stand in the way, the worst first. */
  inTheWay: z.array(brokenRuleSchema),
});
export type Proposals = z.infer<typeof proposalsSchema>;
