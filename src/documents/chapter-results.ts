import { z } from "zod";
import { findingSchema } from "./finding.ts";
import { type KitResult, kitResultSchema } from "./kit-result.ts";
import { channelRoleSchema } from "./recording.ts";
import { type RoomResult, roomResultSchema } from "./room-result.ts";

/*
 * What each chapter hands on. Field names that other programs may rely on are fixed; fields may be added.
 * Times are seconds. Sitting time 0 is the start of the master recording; a recording's local time t is at
 * sitting time offset + t * (1 + ratePpm * 1e-6). Paths are relative to the sitting where the file lies inside it.
 */

const placedBy = z.enum(["sound", "slate", "timecode", "deviceClock", "none"]);
const piece = z.object({ from: z.number(), offset: z.number(), ratePpm: z.number() });

/** Cards: verified copies. */
export const cardsResultSchema = z.object({
  files: z.array(z.object({ path: z.string(), bytes: z.number(), hash: z.string() })),
  copies: z.array(
    z.object({
      place: z.string(),
      verified: z.number().int(),
      failed: z.number().int(),
      /** The newest ASC MHL manifest of the first device; null where none could be written. */
      manifest: z.string().nullable(),
      /** The newest manifest of every device. */
      manifests: z.array(z.string()).optional(),
    }),
  ),
  findings: z.array(findingSchema),
});
export type CardsResult = z.infer<typeof cardsResultSchema>;

/** Clock: every recording on one timeline. */
export const clockResultSchema = z.object({
  master: z.string(),
  recordings: z.array(
    z.object({
      path: z.string(),
      hash: z.string(),
      device: z.string(),
      placedBy,
      offset: z.number().nullable(),
      ratePpm: z.number().nullable(),
      /** The same for the picture, with the sound's travel time removed; null where nothing is known. */
      pictureOffset: z.number().nullable(),
      confidence: z.number().min(0).max(1),
      /** One standard deviation of the placement at its worst moment, seconds; null where not placed. */
      uncertainty: z.number().nullable(),
      pieces: z.array(piece).optional(),
      durationSeconds: z.number(),
      /** Distance from the sitter's mouth to the microphone that it is placed by, and whether a person, or the plan, says so. */
      microphone: z
        .object({ metres: z.number(), said: z.boolean(), planned: z.boolean().optional() })
        .optional(),
      /** How `pictureOffset` came from `offset`. */
      picture: z
        .object({
          /** `said`, `plan` and `usual`: by the microphone's distance; `slate`: by a clap that the picture shows; `label`: as it is. */
          by: z.enum(["said", "plan", "usual", "slate", "label"]),
          /** Distance from the sitter's mouth to the microphone. */
          metres: z.number().nullable(),
          /** Local times of a clap that was heard and of the frame that shows it, and how late that is, to half a frame. */
          slate: z
            .object({
              heardAt: z.number(),
              seenAt: z.number(),
              late: z.number(),
              frameSeconds: z.number(),
              /** Stills around it, each with the local time of its frame: before, the first that shows it, after. */
              stills: z.array(z.object({ at: z.number(), path: z.string() })).optional(),
            })
            .optional(),
        })
        .optional(),
      /** The take that this file goes on from: hash of the file before it, and the hole between them, seconds. */
      goesOnFrom: z.object({ hash: z.string(), gapSeconds: z.number() }).optional(),
      /** Linear timecode heard in one of its channels. */
      timecode: z
        .object({
          channel: z.number().int(),
          /** Label at local time 0, seconds since midnight by its own count of frames. */
          startSeconds: z.number(),
          frameRate: z.object({ num: z.number().int(), den: z.number().int() }),
          dropFrame: z.boolean(),
          /** Its source against the recording's clock; above 0 it runs fast. */
          ppm: z.number(),
        })
        .optional(),
      /** For the figure: each window's sitting time, measured delay against the master minus `offset`, and weight. */
      windows: z.array(
        z.object({ at: z.number(), delay: z.number(), weight: z.number(), used: z.boolean() }),
      ),
    }),
  ),
  /**
   * Every comparison of two recordings that the placements rest on, as measured, at most some hundred windows of each:
   * arrays of one length. Each piece of a recording has its own.
   */
  edges: z
    .array(
      z.object({
        /** Content hashes: `other` was laid on `reference`. */
        reference: z.string(),
        other: z.string(),
        /** Local time of `other` that it holds from. */
        from: z.number(),
        /** How many windows were compared, and how many of them the fit used. */
        windows: z.number().int(),
        used: z.number().int(),
        /** Root mean square of the residuals that were used, seconds. */
        scatter: z.number(),
        /** Sitting time of the windows, seconds. */
        at: z.array(z.number()),
        /** How late `other` is then against its own start's place, and against the fitted line; milliseconds. */
        delayMs: z.array(z.number()),
        residualMs: z.array(z.number()),
        /** What the fit left each of its say, 0 to 1; 0: left out. */
        say: z.array(z.number()),
      }),
    )
    .optional(),
  /** Claps that the placed recordings share, sitting time; consonants and doors are none. */
  claps: z.array(
    z.object({
      at: z.number(),
      heardBy: z.array(
        z.object({
          hash: z.string(),
          localTime: z.number(),
          /** Number of the frame of its picture that is on screen then, from 0. */
          frame: z.number().int().optional(),
          /** A still of that frame, path relative to the sitting. */
          still: z.string().optional(),
        }),
      ),
    }),
  ),
  /** Short stretches of each recording around one moment, for the eye: same rate, before and after alignment. */
  snippet: z
    .object({
      at: z.number(),
      sampleRateHz: z.number(),
      traces: z.array(
        z.object({
          hash: z.string(),
          device: z.string(),
          asRecorded: z.array(z.number()),
          asPlaced: z.array(z.number()),
        }),
      ),
    })
    .nullable(),
  findings: z.array(findingSchema),
});
export type ClockResult = z.infer<typeof clockResultSchema>;

/** Watch: ranges of one recording that the cut must avoid; local time. */
export const watchKindSchema = z.enum([
  "soft",
  "moved",
  "bright",
  "dark",
  "white-drift",
  "flicker",
  "bump",
  "stopped",
  "black",
  "frozen",
  /** Nothing measured: a person asked to avoid it. */
  "unwanted",
]);
export const watchRecordingSchema = z.object({
  path: z.string(),
  hash: z.string(),
  device: z.string(),
  ranges: z.array(
    z.object({
      start: z.number(),
      end: z.number(),
      kind: watchKindSchema,
      severity: z.number().min(0).max(1),
      evidence: z.string(),
      /** A still that proves it, path relative to the sitting. */
      still: z.string().optional(),
      /** Local time of that frame. */
      stillAt: z.number().optional(),
      /** Good frames beside it, to compare with: the last before the range, the first after it. */
      before: z.object({ at: z.number(), path: z.string() }).optional(),
      after: z.object({ at: z.number(), path: z.string() }).optional(),
      /** Whether a person asked to avoid it. */
      said: z.boolean().optional(),
    }),
  ),
  /** What was measured and a person called fine; the cut may use it. */
  overruled: z
    .array(
      z.object({
        start: z.number(),
        end: z.number(),
        kind: watchKindSchema,
        severity: z.number(),
        evidence: z.string(),
        still: z.string().optional(),
        stillAt: z.number().optional(),
      }),
    )
    .optional(),
  /** For the figure: one row a looked-at picture. `sharpness` is relative to this recording's own median, 1 = usual. */
  looks: z.array(z.object({ at: z.number(), sharpness: z.number(), lightness: z.number() })),
});
export const watchResultSchema = z.object({
  recordings: z.array(watchRecordingSchema),
  findings: z.array(findingSchema),
});
export type WatchResult = z.infer<typeof watchResultSchema>;

/** Voice: which microphone when, and the dialogue track. Sitting time, or local time of the first file alone. */
export const voiceResultSchema = z.object({
  roles: z.array(
    z.object({ path: z.string(), hash: z.string(), channel: z.number().int(), role: channelRoleSchema }),
  ),
  /** Seconds by which the boom lags the lav; null where there is only one of them. */
  delay: z.number().nullable(),
  polarity: z.union([z.literal(1), z.literal(-1)]).nullable(),
  segments: z.array(
    z.object({
      start: z.number(),
      end: z.number(),
      source: z.enum(["lav", "boom", "both"]),
      why: z.string(),
      /** Whether a person chose it. */
      said: z.boolean().optional(),
    }),
  ),
  faults: z.array(
    z.object({
      start: z.number(),
      end: z.number(),
      path: z.string(),
      channel: z.number().int(),
      kind: z.enum(["clipping", "rustle", "wind", "hum", "dropout", "noise"]),
    }),
  ),
  /** Of the dialogue track: LUFS, dBTP, LU. */
  loudness: z.object({
    integrated: z.number(),
    truePeak: z.number(),
    range: z.number(),
    target: z.number(),
  }),
  /** The dialogue track first: mono 48 kHz, sample 0 at sitting time `dialogueStart`. */
  files: z.array(z.string()),
  dialogueStart: z.number(),
  /** For the figure: peak envelopes, `perSecond` values a second from sitting time `from`, 0..1. */
  envelopes: z.array(
    z.object({
      name: z.enum(["lav", "boom", "dialogue"]),
      from: z.number(),
      perSecond: z.number(),
      peaks: z.array(z.number()),
    }),
  ),
  findings: z.array(findingSchema),
});
export type VoiceResult = z.infer<typeof voiceResultSchema>;

const rgb = z.tuple([z.number(), z.number(), z.number()]);
const uv = z.tuple([z.number(), z.number()]);
const differences = z.object({ mean: z.number(), max: z.number() });

/** One camera matched to another. CIEDE2000. */
const colourMatchSchema = z.object({
  from: z.string(),
  to: z.string(),
  model: z.string(),
  /** What the match was solved from: the chart (where it is not there), a grey card, or what both cameras see. */
  by: z.enum(["chart", "card", "scene"]).optional(),
  /** Why a match is weaker than one by the chart, and how unsure it is, in words. */
  weaker: z.string().optional(),
  /** Spread of the match over colours and moments left out, CIEDE2000; of a weaker match. */
  uncertainty: z.number().optional(),
  /** Which setup it is for, from 1, and from when to when it serves, sitting time; null: open. Where there are several. */
  setup: z.number().int().optional(),
  serves: z.object({ from: z.number().nullable(), to: z.number().nullable() }).optional(),
  /** As recorded, exposure taken out: one gain of light brings the camera's greys to the luminance of `to`'s. */
  before: differences,
  /** As recorded, exposure left in. */
  beforeWithExposure: differences.optional(),
  /** How much brighter than `to` the camera was recorded, stops; null where nothing shared says. */
  exposureStops: z.number().nullable().optional(),
  after: differences,
  leftOut: differences,
  /** The ASC CDL that comes nearest to the match, on `from`'s code values, and what it leaves on the chart. */
  cdl: z
    .object({ slope: rgb, offset: rgb, power: rgb, saturation: z.number(), after: differences })
    .optional(),
  /** Per patch, in order, none where no chart was filmed; `aRgb`, `beforeRgb`, `afterRgb` are sRGB 0..1 for display. */
  patches: z.array(
    z.object({
      index: z.number().int(),
      name: z.string(),
      before: z.number(),
      after: z.number(),
      leftOut: z.number(),
      aRgb: rgb,
      beforeRgb: rgb,
      afterRgb: rgb,
      /** CIE 1976 u', v' of A's, and of the camera's as recorded and matched, all under a screen's white (D65). */
      aUv: uv.optional(),
      beforeUv: uv.optional(),
      afterUv: uv.optional(),
    }),
  ),
});

/** Colour: the chart in both cameras and the match. CIEDE2000. */
export const colourResultSchema = z.object({
  charts: z.array(
    z.object({
      camera: z.string(),
      path: z.string(),
      hash: z.string(),
      /** Local time of the frame, seconds. */
      at: z.number(),
      /** Pixels, outer corners of the 24-patch field from the dark-skin patch's corner clockwise on the chart. */
      corners: z.array(z.tuple([z.number(), z.number()])).length(4),
      /** `index` is the published number less one; `rgb` code values, 0 and 1 black and white of the stream's range. */
      patches: z.array(z.object({ index: z.number().int().min(0).max(23), rgb })),
      problems: z.array(z.string()),
      /** The chart's white as recorded. */
      white: z
        .object({
          /** Gains that would make the greys grey, stops: red and blue against green. */
          gainStops: z.object({ red: z.number(), blue: z.number() }),
          /** The white's colour on a screen of the stream's own primaries; 6504 K and 0.003 are the screen's own. */
          kelvin: z.number(),
          duv: z.number(),
        })
        .optional(),
      /** Size of the picture as displayed, pixels: what `corners` lie in. */
      picture: z.object({ width: z.number().int(), height: z.number().int() }).optional(),
      /** Whether a person set the corners. */
      byHand: z.boolean().optional(),
      /** The setup that it was filmed in, from 1, and when, sitting time; where charts were filmed more than once. */
      setup: z.number().int().optional(),
      sittingAt: z.number().optional(),
      /** True of a further exposure of a chart, which taught the camera's curve and nothing else. */
      forCurve: z.boolean().optional(),
    }),
  ),
  /** The first other camera's match to A. */
  match: colourMatchSchema.nullable(),
  /** Every other camera's match, each with its own LUT; `match` and `lut` are the first. */
  matches: z.array(colourMatchSchema.extend({ lut: z.string() })).optional(),
  /** LUT that takes B's code values to A's code values; relative path, null where nothing was matched. */
  lut: z.string().nullable(),
  /** LUT that takes A's code values to a display picture (BT.709 for viewing); null where A already is one. */
  viewLut: z.string().nullable(),
  /** Where charts were filmed more than once: which look serves when, sitting time, in order; null: open. */
  setups: z
    .array(
      z.object({
        from: z.number().nullable(),
        to: z.number().nullable(),
        viewLut: z.string().nullable(),
        /** By device: the LUT that takes it to A. */
        luts: z.record(z.string(), z.string()),
      }),
    )
    .optional(),
  /** Drift of a camera's white and light through a setup, stops against its middle: what would have to be taken off. */
  drift: z
    .array(
      z.object({
        camera: z.string(),
        /** Sitting time where the clock is known, else local time of the first recording. */
        from: z.number(),
        to: z.number(),
        /** From the least to the most: red and blue against green, and green itself. */
        redStops: z.number(),
        blueStops: z.number(),
        lightStops: z.number(),
        samples: z.array(
          z.object({ at: z.number(), redStops: z.number(), blueStops: z.number(), lightStops: z.number() }),
        ),
        /** A slow correction, one ASC CDL a step. */
        file: z.string().optional(),
      }),
    )
    .optional(),
  /** Before and after beside A, all patches and both faces; JPEG. */
  contactSheet: z.string().optional(),
  /** Stills for the page. */
  stills: z.array(
    z.object({
      name: z.enum(["a", "b", "b-matched", "a-chart", "b-chart"]),
      path: z.string(),
      /** Of the frame: the recording's content hash and local time, seconds. */
      hash: z.string().optional(),
      at: z.number().optional(),
    }),
  ),
  files: z.array(z.string()),
  findings: z.array(findingSchema),
});
export type ColourResult = z.infer<typeof colourResultSchema>;

const placement = {
  offset: z.number(),
  ratePpm: z.number(),
  pieces: z.array(piece).optional(),
};

/**
 * What the cut was chosen from, compact: enough to choose it again in a page, at once, with other decisions. The
 * phrases are `speech`, in the same order. Times are sitting seconds.
 */
export const storyMaterialSchema = z.object({
  from: z.number(),
  to: z.number(),
  /** The camera that opens answers. */
  wideCamera: z.string(),
  falseStarts: z.array(z.object({ phrase: z.number().int(), likeness: z.number(), confidence: z.number() })),
  claps: z.array(z.number()),
  twoTalkers: z.boolean(),
  separationDb: z.number(),
  /** Level of the voice near phrase edges: runs of steps counted from `from`, one character a step. */
  level: z.object({
    stepSeconds: z.number(),
    runs: z.array(z.object({ step: z.number().int(), db: z.string() })),
  }),
  sources: z.array(
    z.object({
      hash: z.string(),
      path: z.string(),
      camera: z.string(),
      from: z.number(),
      to: z.number(),
      bad: z.array(z.object({ start: z.number(), end: z.number(), kind: z.string(), severity: z.number() })),
      /** Of the picture: local time t is at sitting time offset + t * (1 + ratePpm * 1e-6). */
      placement: z.object(placement),
    }),
  ),
});
export type StoryMaterialDocument = z.infer<typeof storyMaterialSchema>;

/** Story: the cut. Program time in `start`/`end`, the recording's local time in `sourceStart`/`sourceEnd`. */
export const storyResultSchema = z.object({
  frameRate: z.object({ num: z.number().int(), den: z.number().int() }),
  events: z.array(
    z.object({
      start: z.number(),
      end: z.number(),
      camera: z.string(),
      path: z.string(),
      hash: z.string(),
      sourceStart: z.number(),
      sourceEnd: z.number(),
      /** Sitting time of `start` and `end`. */
      sittingStart: z.number(),
      sittingEnd: z.number(),
      scale: z.number().optional(),
      /** Why this angle, in words. */
      why: z.string(),
      /** Whether a person chose this angle. */
      said: z.boolean().optional(),
      /** Small pictures of both angles in the middle of the event, for the braid; relative paths. */
      stills: z.record(z.string(), z.string()).optional(),
    }),
  ),
  /** Sitting time. */
  dropped: z.array(z.object({ start: z.number(), end: z.number(), why: z.string() })),
  material: storyMaterialSchema.optional(),
  /** Who speaks when, sitting time. */
  speech: z.array(z.object({ start: z.number(), end: z.number(), who: z.enum(["sitter", "interviewer"]) })),
  /** Lines of the transcripts that were brought in, sitting time, in order; `who` as the file names them. */
  lines: z
    .array(z.object({ start: z.number(), end: z.number(), text: z.string(), who: z.string().optional() }))
    .optional(),
  findings: z.array(findingSchema),
});
export type StoryResult = z.infer<typeof storyResultSchema>;

/** Handover: what was written. Paths relative to the sitting. */
export const handoverResultSchema = z.object({
  files: z.array(
    z.object({
      path: z.string(),
      bytes: z.number(),
      /** What it is and which standard it follows, in words. */
      what: z.string(),
    }),
  ),
  /** The rendered first cut. */
  firstCut: z
    .object({
      path: z.string(),
      durationSeconds: z.number(),
      width: z.number(),
      height: z.number(),
      frameRate: z.object({ num: z.number().int(), den: z.number().int() }),
      loudness: z.object({ integrated: z.number(), truePeak: z.number(), range: z.number() }),
      /** LUFS that were asked for. */
      loudnessTarget: z.number().optional(),
      /** Its first picture as a still, relative path. */
      poster: z.string().optional(),
      /** The shots that it was rendered from: which recording by hash, from which local time, for how long; seconds. */
      shots: z
        .array(
          z.object({
            hash: z.string(),
            sourceStart: z.number(),
            seconds: z.number(),
            scale: z.number().optional(),
          }),
        )
        .optional(),
    })
    .nullable(),
  findings: z.array(findingSchema),
});
export type HandoverResult = z.infer<typeof handoverResultSchema>;

export const resultSchemas = {
  room: roomResultSchema,
  kit: kitResultSchema,
  cards: cardsResultSchema,
  clock: clockResultSchema,
  watch: watchResultSchema,
  voice: voiceResultSchema,
  colour: colourResultSchema,
  story: storyResultSchema,
  handover: handoverResultSchema,
} as const;
export type ChapterName = keyof typeof resultSchemas;
export interface ChapterResults {
  room: RoomResult;
  kit: KitResult;
  cards: CardsResult;
  clock: ClockResult;
  watch: WatchResult;
  voice: VoiceResult;
  colour: ColourResult;
  story: StoryResult;
  handover: HandoverResult;
}
