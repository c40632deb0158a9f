import { z } from "zod";

/*
 * What a person says about a measured sitting, and how the page tells the server of it. Everything said lies in
 * sitting.json; each change carries the revision that it was made on, so that two pages never overwrite each other.
 */

const moment = z.number().min(-86_400).max(864_000);
const stretch = { from: moment, to: moment };

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

const corners = z.array(z.tuple([z.number(), z.number()])).length(4);

/** Corners of a chart set by hand: pixels of the picture as displayed, from dark skin's corner clockwise. */
export const chartSaidSchema = z.looseObject({
  hash: z.string(),
  /** Local time of the frame, seconds. */
  at: z.number().min(0),
  corners,
});
export type ChartSaid = z.infer<typeof chartSaidSchema>;

/** Everything that a page can change, together: a part of the sitting. */
export interface Said {
  readonly title: string;
  readonly story: StorySaid;
  readonly charts: readonly ChartSaid[];
  readonly keepQuestions: boolean;
  /** Pauses inside an answer longer than this are folded, seconds. */
  readonly longestPause: number;
  /** LUFS. */
  readonly loudnessTarget: number;
}

/** One change, undone as one. `from` lies before `to`. */
export const changeSchema = z
  .discriminatedUnion("kind", [
    /** This camera shows the stretch; `null`: what was said of its angle is forgotten. */
    z.object({ kind: z.literal("angle"), ...stretch, camera: z.string().min(1).max(40).nullable() }),
    z.object({ kind: z.literal("keep"), ...stretch }),
    z.object({ kind: z.literal("fold"), ...stretch }),
    /** What was said of keeping or folding this stretch is forgotten: Story chooses again. */
    z.object({ kind: z.literal("unsay"), ...stretch }),
    /** `null` corners: the chart is looked for again. */
    z.object({
      kind: z.literal("chart"),
      hash: z.string(),
      at: chartSaidSchema.shape.at,
      corners: corners.nullable(),
    }),
    z.object({ kind: z.literal("title"), title: z.string().trim().min(1).max(200) }),
    z.object({ kind: z.literal("keepQuestions"), keepQuestions: z.boolean() }),
    z.object({ kind: z.literal("longestPause"), longestPause: z.number().min(0.2).max(60) }),
    z.object({ kind: z.literal("loudness"), loudnessTarget: z.number().min(-40).max(-5) }),
  ])
  .refine((change) => !("from" in change) || change.to > change.from, "a stretch ends after it begins");
export type Change = z.infer<typeof changeSchema>;
