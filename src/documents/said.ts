import { z } from "zod";

/*
 * What a person says about a measured sitting, and how the page tells the server of it. Everything said lies in
 * sitting.json; each change carries the revision that it was made on, so that two pages never overwrite each other.
 */

const stretch = { from: z.number(), to: z.number() };

/** Decisions about the cut, sitting time. The rest of the cut is solved around them. */
export const storySaidSchema = z.looseObject({
  /** This stretch is shown by this camera. Later entries win. */
  angles: z.array(z.looseObject({ ...stretch, camera: z.string() })),
  /** Speech or silence given back that Story had folded away. */
  kept: z.array(z.looseObject({ ...stretch })),
  /** Stretches that a person folds away. */
  folded: z.array(z.looseObject({ ...stretch })),
});
export type StorySaid = z.infer<typeof storySaidSchema>;

/** Corners of a chart set by hand: pixels of the picture as displayed, from dark skin's corner clockwise. */
export const chartSaidSchema = z.looseObject({
  hash: z.string(),
  at: z.number(),
  corners: z.array(z.tuple([z.number(), z.number()])).length(4),
});
export type ChartSaid = z.infer<typeof chartSaidSchema>;

/** One change, undone as one. */
export const changeSchema = z.discriminatedUnion("kind", [
  z.object({ kind: z.literal("angle"), ...stretch, camera: z.string().nullable() }),
  z.object({ kind: z.literal("keep"), ...stretch }),
  z.object({ kind: z.literal("fold"), ...stretch }),
  z.object({
    kind: z.literal("chart"),
    hash: z.string(),
    at: z.number(),
    corners: chartSaidSchema.shape.corners.nullable(),
  }),
  z.object({ kind: z.literal("title"), title: z.string().min(1).max(200) }),
  z.object({ kind: z.literal("keepQuestions"), keepQuestions: z.boolean() }),
  z.object({ kind: z.literal("loudness"), loudnessTarget: z.number().min(-40).max(-5) }),
]);
export type Change = z.infer<typeof changeSchema>;
