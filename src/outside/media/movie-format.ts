import type { ColourTags, FrameRate } from "#documents/recording";

/** How the pictures of a movie are kept. */
export interface PictureFormat {
  readonly codec: "h264" | "hevc" | "prores";
  readonly pixelFormat: "yuv420p" | "yuv420p10le" | "yuv422p10le";
  /** Pixels, both even. */
  readonly width: number;
  readonly height: number;
  readonly frameRate: FrameRate;
  readonly colour: ColourTags;
  /** Constant rate factor of H.264 and HEVC, 0 (lossless) to 51. Default 18. */
  readonly crf?: number;
  /** Speed of H.264 and HEVC: `ultrafast` to `veryslow`. Default `veryfast`. */
  readonly preset?: string;
  /** Frames from one key frame to the next at most. Default two seconds. */
  readonly gopFrames?: number;
  /** Default: the encoder's own choice. */
  readonly bFrames?: number;
  /** Clockwise turn that players are asked for: 0, 90, 180 or 270. Default 0. */
  readonly rotationDegrees?: number;
  /** Default 2: the same bytes on every machine. 0: one per core. */
  readonly threads?: number;
}

/** How the sound of a movie is kept. */
export interface SoundFormat {
  readonly codec: "pcm_s24le" | "pcm_s16le" | "pcm_f32le" | "aac" | "opus" | "flac";
  readonly sampleRateHz: number;
  readonly channels: number;
  /** Bits per second of AAC and Opus. Default 96 000 a channel. */
  readonly bitRate?: number;
}

/** What a movie file holds. */
export interface MovieFormat {
  readonly video?: PictureFormat;
  readonly sound?: SoundFormat;
  /** SMPTE ST 12-1 label of the first frame: `10:20:30:15`, with `;` before the frames for drop-frame. */
  readonly timecode?: string;
  /** ISO 8601. */
  readonly createdAt?: string;
  /** Index before the data, so that a browser starts at once (MP4 and MOV). Costs one rewrite. */
  readonly indexFirst?: boolean;
  /** Tags and options of the container, as FFmpeg names them. */
  readonly tags?: Readonly<Record<string, string>>;
  readonly containerOptions?: Readonly<Record<string, string | number>>;
  /** Seconds on the file's timeline before the first frame and sample; the edit list keeps them. Default 0. */
  readonly pictureStartSeconds?: number;
  readonly soundStartSeconds?: number;
}
