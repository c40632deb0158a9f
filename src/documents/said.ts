import { z } from "zod";
import { type Plan, planPartSchema } from "./plan.ts";

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

const microphone = z.enum(["lav", "boom", "both"]);

/** Stretches of the dialogue, sitting time, for which a person chose the microphone. Apart and in order. */
export const voiceSaidSchema = z.looseObject({
  sources: z.array(z.looseObject({ ...stretch, source: microphone })),
});
export type SourceSaid = z.infer<typeof voiceSaidSchema>["sources"][number];

const judgement = z.enum(["fine", "avoid"]);

/** A stretch of one recording's picture, local time, that a person judged: good after all, or to be kept out of the cut. */
export const pictureSaidSchema = z.looseObject({ hash: z.string(), ...stretch, says: judgement });
export type PictureSaid = z.infer<typeof pictureSaidSchema>;

/** A moment of the sitting that somebody pointed at, in a few words. One a moment. */
export const markSaidSchema = z.looseObject({ at: moment, words: z.string() });
export type MarkSaid = z.infer<typeof markSaidSchema>;

/** A transcript that was brought in: WebVTT or SRT, a file of the sitting. */
export const transcriptSaidSchema = z.looseObject({
  /** Relative to the sitting, named by its content. */
  file: z.string(),
  /** What the file was called where it came from. */
  name: z.string(),
  /** The recording whose local time it counts, by hash; `null`: sitting time. */
  recording: z.string().nullable(),
});
export type TranscriptSaid = z.infer<typeof transcriptSaidSchema>;

/** What a camera of the plan sees, as a page rendered it: a file of the sitting. */
export const roomPictureSchema = z.looseObject({
  camera: z.string().min(1).max(40),
  /** Relative to the sitting, named by its content. */
  file: z.string().regex(/^pictures\/[0-9a-f]{16,64}\.png$/, "a picture of the sitting"),
  /** The plan that it was rendered from, by `planKey`: of another plan it says nothing. */
  plan: z.string().min(1).max(80),
});
export type RoomPicture = z.infer<typeof roomPictureSchema>;

const curveNumber = z.number().finite();

/** A camera's curve as a person knows it: by a published name, by its log parameters, or as a table. */
export const curveSaidSchema = z.union([
  /** A name of Rec. ITU-T H.273's transfer characteristics ("BT.709", "HLG", "PQ", "sRGB", "linear"), or ACEScct. */
  z.looseObject({ name: z.string().min(1).max(60) }),
  /** Parameters of a log curve by the names of SMPTE ST 2136-1, style cameraLinToLog. */
  z.looseObject({
    base: z.number().positive(),
    logSideSlope: curveNumber,
    logSideOffset: curveNumber,
    linSideSlope: curveNumber,
    linSideOffset: curveNumber,
    linSideBreak: curveNumber.optional(),
    linearSlope: curveNumber.optional(),
  }),
  /** Linear light at evenly spaced code values from 0 to 1, rising; `from` names the file that it was read from. */
  z.looseObject({ from: z.string().max(200), light: z.array(curveNumber).min(2).max(65_536) }),
]);
export type CurveSaid = z.infer<typeof curveSaidSchema>;

/** What a person says of the cameras' colour. */
export const colourSaidSchema = z.looseObject({
  /** By device. */
  curves: z.record(z.string(), curveSaidSchema).optional(),
  /** What makes the cameras equally bright: the chart's greys (the default), or the sitter's face. */
  exposure: z.enum(["chart", "face"]).optional(),
});
export type ColourSaid = z.infer<typeof colourSaidSchema>;

/** Everything that a page can change, together: a part of the sitting. */
export interface Said {
  readonly title: string;
  readonly story: StorySaid;
  readonly charts: readonly ChartSaid[];
  readonly sources: readonly SourceSaid[];
  readonly pictures: readonly PictureSaid[];
  /** Metres from the sitter's mouth to a device's microphone, by device. */
  readonly microphoneDistances: Readonly<Record<string, number>>;
  readonly marks: readonly MarkSaid[];
  readonly transcripts: readonly TranscriptSaid[];
  readonly keepQuestions: boolean;
  /** Pauses inside an answer longer than this are folded, seconds. */
  readonly longestPause: number;
  /** LUFS. */
  readonly loudnessTarget: number;
  /** The plan of the room and the day; not there where none was made. */
  readonly plan?: Plan | undefined;
  /** What the plan's cameras see, for the report. */
  readonly roomPictures?: readonly RoomPicture[] | undefined;
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
    /** This microphone carries the stretch; `null`: Voice chooses. */
    z.object({ kind: z.literal("source"), ...stretch, source: microphone.nullable() }),
    /** A stretch of a recording's picture, local time; `null`: what Watch says of it counts. */
    z.object({
      kind: z.literal("picture"),
      hash: z.string().min(1).max(200),
      ...stretch,
      says: judgement.nullable(),
    }),
    /** `null`: what is usual for the microphone's role. */
    z.object({
      kind: z.literal("microphoneDistance"),
      device: z.string().min(1).max(40),
      metres: z.number().min(0).max(100).nullable(),
    }),
    /**
     * These parts of the plan are new, the others stay; the first change of a plan gives all of it. `null`: no plan any
     * more. `what` names the change in a few words: "camera B".
     */
    z.object({
      kind: z.literal("plan"),
      what: z.string().trim().min(1).max(120),
      plan: planPartSchema.nullable(),
    }),
    /** The report shows these in place of the line drawings; none: the drawings again. */
    z.object({ kind: z.literal("roomPictures"), pictures: z.array(roomPictureSchema).max(26) }),
    /** `null`: no mark there any more. */
    z.object({ kind: z.literal("mark"), at: moment, words: z.string().trim().min(1).max(400).nullable() }),
    /** Brought in, or counted by another recording's time; `null`: taken out. */
    z.object({
      kind: z.literal("transcript"),
      file: z.string().regex(/^transcripts\/[0-9a-f]{16,64}\.(?:vtt|srt)$/, "a transcript of the sitting"),
      as: z
        .object({ name: z.string().min(1).max(400), recording: z.string().max(200).nullable() })
        .nullable(),
    }),
    z.object({ kind: z.literal("title"), title: z.string().trim().min(1).max(200) }),
    z.object({ kind: z.literal("keepQuestions"), keepQuestions: z.boolean() }),
    z.object({ kind: z.literal("longestPause"), longestPause: z.number().min(0.2).max(60) }),
    z.object({ kind: z.literal("loudness"), loudnessTarget: z.number().min(-40).max(-5) }),
  ])
  .refine((change) => !("from" in change) || change.to > change.from, "a stretch ends after it begins");
export type Change = z.infer<typeof changeSchema>;
