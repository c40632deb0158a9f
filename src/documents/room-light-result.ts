import { z } from "zod";

/*
 * What a plan makes of its light, its sun, its sound and its moves. Lux, kelvin, mired, stops, decibels, metres, degrees;
 * null: not to be had. Clock times are the place's own, "14:30".
 */

const spot = z.tuple([z.number(), z.number()]);
const point = z.tuple([z.number(), z.number(), z.number()]);

/** Light that falls on one place, from all sources. */
const lightAtSchema = z.object({
  lux: z.number(),
  footcandles: z.number(),
  /** Of the mixture; null in the dark. */
  kelvin: z.number().nullable(),
  /** Each source's part. */
  from: z.array(z.object({ id: z.string(), lux: z.number() })),
});
export type LightAt = z.infer<typeof lightAtSchema>;

/** One source of light as the sitter's face has it. */
const lightSourceSchema = z.object({
  /** The plan's id; "bounce" is what the room throws back. */
  id: z.string(),
  kind: z.enum(["light", "window", "sun", "bounce"]),
  /** To the face; null for sun and bounce. */
  metres: z.number().nullable(),
  /** On a surface at the face that faces the source. */
  lux: z.number(),
  kelvin: z.number().nullable(),
  /** Angle that it subtends at the face, degrees: how soft it is. */
  softness: z.number().nullable(),
  /** Breadth of the edge of the nose's shadow on the cheek, mm. */
  shadowEdgeMm: z.number().nullable(),
  /** Whether furniture or a corner of the room stands between it and the face. */
  blocked: z.boolean(),
  /** Against the key: mired, + warmer. */
  miredOff: z.number().nullable(),
  /** The gel that closes it best. */
  gel: z.object({ shift: z.number(), name: z.string(), left: z.number() }).nullable(),
});
export type LightSource = z.infer<typeof lightSourceSchema>;

/** A camera's exposure for the light on the lit side of the face. */
const exposureSchema = z.object({
  id: z.string(),
  tStop: z.number(),
  /** False: the lens gives no T-stop, the f-number stands for it. */
  tStopIsKnown: z.boolean(),
  shutterSeconds: z.number(),
  iso: z.number(),
  nd: z.number(),
  /** Stops over (+) or under (-) so; null in the dark. */
  off: z.number().nullable(),
  luxWanted: z.number(),
  /** Stops of ND at this ISO, and the nearest filter's density. */
  ndWanted: z.number(),
  ndDensity: z.number(),
  /** What would be right by one change alone, the rest as it is; shutter as an angle, may be over 360. Null in the dark. */
  right: z.object({ tStop: z.number(), iso: z.number(), shutterAngle: z.number() }).nullable(),
  /** Percent of the range where things lie, under the curve named. */
  levels: z.object({
    curve: z.string(),
    /** False: nobody knows the curve that the plan names; the levels are BT.709's. */
    curveIsKnown: z.boolean(),
    grey: z.number(),
    white: z.number(),
    lightSkin: z.number(),
    darkSkin: z.number(),
    lightSkinShadow: z.number(),
    darkSkinShadow: z.number(),
  }),
  flicker: z.object({
    mainsHertz: z.number(),
    safeAngles: z.array(z.number()),
    isSafe: z.boolean(),
    /** Safe angle nearest to the one set. */
    nearest: z.number().nullable(),
    /** Share of the ripple of lamps on the mains that is still seen. */
    ripple: z.number(),
    beatHertz: z.number(),
    /** Share of the face's light that comes from lamps that may ripple. */
    rippling: z.number(),
  }),
});

/** Light: what falls where, its ratios, and what the cameras make of it. */
export const lightFiguresSchema = z.object({
  /** Time of day for which daylight is counted; null: no place or hours are said. */
  at: z.string().nullable(),
  face: lightAtSchema,
  /** The better lit and the darker cheek. */
  lit: lightAtSchema.extend({ side: z.enum(["left", "right"]) }),
  shadow: lightAtSchema.extend({ side: z.enum(["left", "right"]) }),
  hair: lightAtSchema,
  /** What stands behind the sitter for the first camera; null without cameras. */
  background: lightAtSchema.extend({ what: z.string(), at: point }).nullable(),
  /** Stops from the shadow to the lit cheek; null where there is no light. */
  keyToFillStops: z.number().nullable(),
  wishedKeyToFillStops: z.number(),
  /** Stops from the background's light to the face's. */
  subjectToBackgroundStops: z.number().nullable(),
  hairToFaceStops: z.number().nullable(),
  sources: z.array(lightSourceSchema),
  cameras: z.array(exposureSchema),
  /** Face light by daylight alone through the hours. */
  daylight: z.array(z.object({ at: z.string(), lux: z.number() })),
});
export type LightFigures = z.infer<typeof lightFiguresSchema>;

/** Sun: where it comes in, and when. */
export const sunFiguresSchema = z.object({
  /** Why there are none; null: they are here. */
  missing: z.string().nullable(),
  date: z.string().nullable(),
  sunrise: z.string().nullable(),
  sunset: z.string().nullable(),
  hours: z.array(z.object({ at: z.string(), azimuth: z.number(), altitude: z.number() })),
  /** When the sun shines on something, minute by minute: [from, to). */
  reaches: z.array(
    z.object({
      on: z.enum(["sitter", "chair", "interviewer", "lens", "background"]),
      /** The camera's id for a lens and a background. */
      id: z.string().nullable(),
      through: z.string(),
      from: z.string(),
      to: z.string(),
    }),
  ),
  /** Patches on the floor and on walls at each full hour; a wall's corners are metres along it and up. */
  patches: z.array(
    z.object({
      at: z.string(),
      through: z.string(),
      floor: z.array(spot),
      area: z.number(),
      walls: z.array(z.object({ wall: z.number().int(), corners: z.array(spot), area: z.number() })),
    }),
  ),
});
export type SunFigures = z.infer<typeof sunFiguresSchema>;

const soundMicrophoneSchema = z.object({
  id: z.string(),
  role: z.string(),
  pattern: z.string().nullable(),
  point,
  /** To the mouth it is for. */
  metres: z.number(),
  /** Between its axis and the mouth, degrees. */
  offAxis: z.number(),
  offAxisDb: z.number(),
  /** Straight from the mouth, dB(A), speech of normal effort. */
  speechDb: z.number(),
  /** Straight sound over the room's, dB, 1 kHz octave. */
  directToReverberantDb: z.number(),
  /** At this distance the two are equal for this microphone on its axis. */
  evenMetres: z.number(),
  /** The same for the other talker's voice in it: level and lag behind the other's own microphone. */
  otherTalkerDb: z.number(),
  noise: z.array(z.object({ id: z.string(), name: z.string(), db: z.number() })),
  /** Microphone's own, and all noise together; null: nothing is known. */
  selfNoiseDb: z.number().nullable(),
  noiseDb: z.number().nullable(),
  speechToNoiseDb: z.number().nullable(),
});

/** Sound: the room's and the microphones'. */
export const soundFiguresSchema = z.object({
  speedOfSound: z.number(),
  volume: z.number(),
  surface: z.number(),
  bands: z.array(
    z.object({
      hertz: z.number(),
      absorption: z.number(),
      meanAlpha: z.number(),
      sabine: z.number(),
      eyring: z.number(),
      criticalDistance: z.number(),
    }),
  ),
  /** Eyring, mean of 500 Hz and 1 kHz. */
  reverberation: z.number(),
  schroederHertz: z.number(),
  microphones: z.array(soundMicrophoneSchema),
  /** How much later the sitter's voice is in the second microphone than in the first. */
  delays: z.array(z.object({ from: z.string(), to: z.string(), milliseconds: z.number() })),
  /** Lowest place of each boom's tip, where it hangs, that no frame sees, and its real height. */
  booms: z.array(
    z.object({
      id: z.string(),
      height: z.number(),
      lowest: z.number(),
      /** Camera that sets it; null: none sees that place. */
      by: z.string().nullable(),
      metresThere: z.number(),
      /** At a slide's ends, each camera's own. */
      cameras: z.array(z.object({ id: z.string(), lowest: z.number() })),
    }),
  ),
});
export type SoundFigures = z.infer<typeof soundFiguresSchema>;

const poseSchema = z.object({
  /** Seconds from the move's start. */
  t: z.number(),
  /** Metres along the rail. */
  along: z.number(),
  pan: z.number(),
  tilt: z.number(),
});

/** One move of a camera on its slider. */
export const moveFiguresSchema = z.object({
  id: z.string(),
  camera: z.string(),
  seconds: z.number(),
  metres: z.number(),
  ease: z.string(),
  head: z.string(),
  tilts: z.boolean(),
  returns: z.boolean(),
  /** Where the held point is meant to stay: shares of the frame. */
  hold: z.object({ x: z.number(), y: z.number() }),
  /** What to type into the head: it turns between these. */
  keyframes: z.array(poseSchema),
  /** Exact poses, evenly in time. */
  exact: z.array(poseSchema),
  /** Wander of the held point in the frame with the keyframes, pixels. */
  residual: z.object({ worst: z.number(), mean: z.number() }),
  /** The same with the head held still. */
  residualWithoutHead: z.number(),
  panDegrees: z.number(),
  tiltDegrees: z.number(),
  fastest: z.object({ metresPerSecond: z.number(), panPerSecond: z.number(), tiltPerSecond: z.number() }),
  background: z.object({
    metres: z.number().nullable(),
    /** How far the background goes across the frame over the whole move. */
    pixels: z.number(),
    degrees: z.number(),
    /** At its fastest. */
    pixelsPerSecond: z.number(),
    pixelsPerFrame: z.number(),
    secondsAcross: z.number().nullable(),
    /** Smear during one exposure, and lean of an upright by the readout. */
    smearPixels: z.number(),
    leanPixels: z.number().nullable(),
  }),
  /** Sitter's size at the end over that at the start. */
  growth: z.number(),
  focus: z.object({ nearest: z.number(), farthest: z.number() }),
  line: z.object({ crossed: z.boolean(), closestMetres: z.number() }),
  /** Its own rail and stands in its frame, and when. */
  seesOwn: z.array(z.object({ what: z.string(), from: z.number(), to: z.number() })),
  /** The head turns back after so long; null: it stays where it arrives. */
  turnsAfter: z.number().nullable(),
  /** The motor at each microphone, dB(A). */
  noise: z.array(z.object({ microphone: z.string(), db: z.number() })),
  /** Against the slider's sheet; null: not known. */
  limits: z.object({
    travel: z.number().nullable(),
    speed: z.number().nullable(),
    loadKg: z.number().nullable(),
    weightKg: z.number().nullable(),
  }),
});
export type MoveFigures = z.infer<typeof moveFiguresSchema>;
