import { z } from "zod";

/** How much a finding matters: `stop` before going on, `warn` will be seen or heard, `note` worth knowing. */
export const weightSchema = z.enum(["stop", "warn", "note"]);
export type Weight = z.infer<typeof weightSchema>;

/** Where and when a finding can be checked by eye or ear. */
export const evidenceSchema = z.object({
  /** What it is about: a path, "A", "B", a chapter's part. */
  where: z.string().optional(),
  /** Seconds, sitting time unless `where` is a path (then its local time). */
  from: z.number().optional(),
  to: z.number().optional(),
  /** Places in the picture of `where` at `from`, each by four corners in pixels as displayed, clockwise. */
  areas: z.array(z.array(z.tuple([z.number(), z.number()])).length(4)).optional(),
  /** The figure with its unit, in words: "4.2 CIEDE2000", "38 ms". */
  figure: z.string().optional(),
});

/** A sentence that says what is wrong or worth knowing, and what to do about it. */
export const findingSchema = z.object({
  /** Permanent, for programs: `clock.not-placed`. */
  code: z.string(),
  weight: weightSchema,
  says: z.string(),
  remedy: z.string(),
  evidence: evidenceSchema.optional(),
});
export type Finding = z.infer<typeof findingSchema>;
