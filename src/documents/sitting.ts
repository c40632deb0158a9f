import { z } from "zod";
import { planSchema } from "./plan.ts";
import { channelRoleSchema } from "./recording.ts";
import {
  chartSaidSchema,
  colourSaidSchema,
  markSaidSchema,
  pictureSaidSchema,
  roomPictureSchema,
  storySaidSchema,
  transcriptSaidSchema,
  voiceSaidSchema,
} from "./said.ts";

/** The newest version of sitting.json that this program writes. */
export const sittingVersion = 1;

/**
 * What a person said: cards, roles, decisions. What was computed lies in `measured/`, never here.
 * Unknown keys survive reading and writing.
 */
export const sittingSchema = z.looseObject({
  kind: z.literal("gemel.sitting"),
  version: z.literal(sittingVersion),
  title: z.string(),
  /** ISO 8601. */
  createdAt: z.string(),
  /** One entry per device: where its files lie. Paths absolute, or relative to the sitting. */
  cards: z.array(
    z.looseObject({
      /** `A`, `B`, `C` for cameras; `sound`, `sound2` for recorders. */
      device: z.string(),
      kind: z.enum(["camera", "sound"]),
      /** Files and folders. */
      paths: z.array(z.string()).min(1),
    }),
  ),
  /** Folders that get a verified copy. `originals` (inside the sitting) is the one that is worked from. Empty: work in place. */
  places: z.array(z.string()),
  /** Roles a person gave, by file name as it is on its card. */
  roles: z.array(
    z.looseObject({
      device: z.string(),
      file: z.string(),
      channel: z.number().int().positive(),
      role: channelRoleSchema,
    }),
  ),
  decisions: z.looseObject({
    /** Content hash of the recording that is sitting time 0. */
    master: z.string().optional(),
    /** The same by device and file name, as a person says it before the content is known. */
    masterFile: z.object({ device: z.string(), file: z.string() }).optional(),
    /** Metres from the sitter's mouth to the microphone that a device is placed by, by device; else what is usual for its role. */
    microphoneDistances: z.record(z.string(), z.number().min(0).max(100)).optional(),
    /** LUFS. Default -18: speech for streaming (AES TD1008). */
    loudnessTarget: z.number().min(-40).max(-5),
    /** dBTP. */
    truePeakCeiling: z.number().min(-9).max(0),
    keepQuestions: z.boolean(),
    /** Pauses inside an answer longer than this are folded, seconds. */
    longestPause: z.number().positive(),
  }),
  /** The plan of the room and the day, made before the shoot. */
  plan: planSchema.optional(),
  /** What a person decided about the cut, once it was there to be seen. */
  story: storySaidSchema.optional(),
  /** What a person knows of the cameras' curves, and what makes them equally bright. */
  colour: colourSaidSchema.optional(),
  /** Charts whose corners a person set; one a recording. */
  charts: z.array(chartSaidSchema).optional(),
  /** Microphones that a person chose for stretches of the dialogue. */
  voice: voiceSaidSchema.optional(),
  /** Stretches of pictures that a person judged otherwise than Watch. */
  pictures: z.array(pictureSaidSchema).optional(),
  /** What the plan's cameras see, as a page rendered it for the report. */
  roomPictures: z.array(roomPictureSchema).optional(),
  /** Moments that somebody pointed at, sitting time. */
  marks: z.array(markSaidSchema).optional(),
  /** Transcripts that were brought in. */
  transcripts: z.array(transcriptSaidSchema).optional(),
});
export type Sitting = z.infer<typeof sittingSchema>;

export const defaultDecisions: Sitting["decisions"] = {
  loudnessTarget: -18,
  truePeakCeiling: -1,
  keepQuestions: false,
  longestPause: 1.2,
};
