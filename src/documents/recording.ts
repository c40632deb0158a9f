import { z } from "zod";

/** Frames per second as the exact fraction that film time needs: 24000/1001, not 23.976. */
export const frameRateSchema = z.object({
  num: z.number().int().positive(),
  den: z.number().int().positive(),
});
export type FrameRate = z.infer<typeof frameRateSchema>;

/** What a channel of sound carries. */
export const channelRoleSchema = z.enum(["lav", "boom", "interviewer", "scratch", "timecode", "silent"]);
export type ChannelRole = z.infer<typeof channelRoleSchema>;

/** ITU-T H.273 code points as the stream carries them; 2 means "unspecified". */
export const colourTagsSchema = z.object({
  primaries: z.number().int(),
  transfer: z.number().int(),
  matrix: z.number().int(),
  /** VideoFullRangeFlag. */
  fullRange: z.boolean(),
});
export type ColourTags = z.infer<typeof colourTagsSchema>;

/** What a file says of itself. Local time 0 is the file's first sample or frame, whichever is presented first. */
export const probeSchema = z.object({
  /** Container, as FFmpeg names it: `mov,mp4,m4a,3gp,3g2,mj2`, `matroska,webm`, `wav`. */
  container: z.string(),
  bytes: z.number().int().nonnegative(),
  /** Seconds from local time 0 to the end of the longest stream, as the container claims. */
  durationSeconds: z.number().nonnegative(),
  picture: z
    .object({
      streamIndex: z.number().int(),
      codec: z.string(),
      pixelFormat: z.string(),
      bitDepth: z.number().int(),
      width: z.number().int(),
      height: z.number().int(),
      /** Average rate; see `isVariableRate`. */
      frameRate: frameRateSchema,
      isVariableRate: z.boolean(),
      /** Local time of the first frame, seconds. */
      startSeconds: z.number(),
      durationSeconds: z.number(),
      frames: z.number().int().nullable(),
      colour: colourTagsSchema,
      /** Clockwise rotation asked for by the container, degrees. */
      rotationDegrees: z.number(),
      /** Sample (pixel) aspect ratio. */
      pixelAspect: frameRateSchema,
    })
    .nullable(),
  sound: z
    .object({
      streamIndex: z.number().int(),
      codec: z.string(),
      sampleRateHz: z.number().int(),
      channels: z.number().int(),
      /** Local time of the first sample, seconds. */
      startSeconds: z.number(),
      durationSeconds: z.number(),
    })
    .nullable(),
  /** SMPTE ST 12-1 label of the first frame from a timecode track or tag, as written. */
  timecode: z.string().nullable(),
  /** EBU Tech 3285 TimeReference: samples since midnight, at `sound.sampleRateHz`. */
  timeReferenceSamples: z.number().int().nonnegative().nullable(),
  /** Container's creation time, ISO 8601, as the device's own clock had it. */
  createdAt: z.string().nullable(),
});
export type RecordingProbe = z.infer<typeof probeSchema>;

/** One media file of one device, known by its content. */
export const recordingSchema = z.object({
  /** Content hash, `xxh128:` and 32 hex digits: the recording's name wherever the file lies. */
  hash: z.string(),
  /** The path as a person knows it: relative to the sitting, or as typed on a command line. Media is opened by `hash`. */
  path: z.string(),
  /** `A`, `B`, `C` for cameras, `sound`, `sound2`, ... for recorders. One clock each. */
  device: z.string(),
  kind: z.enum(["camera", "sound"]),
  /** Roles a person gave; channels not listed are to be inferred. Channels count from 1. */
  roles: z.array(z.object({ channel: z.number().int().positive(), role: channelRoleSchema })),
  probe: probeSchema,
  /** Seconds that can be decoded, where that is less than `probe.durationSeconds`. */
  readableSeconds: z.number().optional(),
});
export type Recording = z.infer<typeof recordingSchema>;
