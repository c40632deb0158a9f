import { z } from "zod";
import { findingSchema } from "./finding.ts";
import { shotSizes } from "./plan.ts";
import {
  lightFiguresSchema,
  moveFiguresSchema,
  soundFiguresSchema,
  sunFiguresSchema,
} from "./room-light-result.ts";
import { proposalsSchema } from "./room-proposals.ts";

/*
 * What follows from a plan. Lengths metres, angles degrees, unless a name says otherwise; shares of the frame run from
 * its left and its top; null: without end, or not to be had.
 */

const spot = z.tuple([z.number(), z.number()]);
const point = z.tuple([z.number(), z.number(), z.number()]);

/** Something that a lens sees and should not, or may. */
export const seenThingSchema = z.object({
  /** The plan's id: "B", "boom", "w-south", "interviewer". */
  id: z.string(),
  kind: z.enum(["camera", "interviewer", "light", "stand", "boom", "rail", "window", "door", "furniture"]),
  name: z.string(),
  /** Share of the frame's area that it covers. */
  area: z.number(),
  /** Left, top, right, bottom. */
  box: z.tuple([z.number(), z.number(), z.number(), z.number()]),
  /** From the lens to its middle. */
  metres: z.number(),
  /** Whether it counts against the shot. Furniture and doors do not, unless the plan hides them. */
  unwanted: z.boolean(),
});
export type SeenThing = z.infer<typeof seenThingSchema>;

/** One camera's figures. */
export const roomCameraSchema = z.object({
  id: z.string(),
  focalMm: z.number(),
  stop: z.number(),
  pan: z.number(),
  tilt: z.number(),
  point,
  fieldOfView: z.object({ width: z.number(), height: z.number(), diagonal: z.number() }),
  /** Lens to the sitter's eyes. */
  sitterMetres: z.number(),
  /** Breadth and height of the frame at the sitter. */
  frame: z.object({ width: z.number(), height: z.number() }),
  shot: z.object({
    wished: z.enum(shotSizes),
    /** The shot that it comes nearest to, and its frame's height over that shot's own. */
    is: z.enum(shotSizes),
    ratio: z.number(),
    /** Over the crown, share of the frame's height; below 0 the head is cut. */
    headroom: z.number(),
    eyes: z.object({ x: z.number(), y: z.number() }),
    /** Share of the width between the eyes and the edge that the sitter looks to. */
    lookRoom: z.number(),
    /** Where to stand for the shot wished with this lens, and which lens for it from here. */
    wishedMetres: z.number(),
    wishedFocalMm: z.number(),
  }),
  focus: z.object({
    metres: z.number(),
    near: z.number(),
    far: z.number().nullable(),
    hyperfocal: z.number(),
    confusionMm: z.number(),
    confusionBy: z.string(),
    /** Nose to ear of the sitter inside the limits. */
    faceIsSharp: z.boolean(),
  }),
  /** What lies behind the sitter on the axis, and how large it draws a point: mm on the sensor, share of the frame's height. */
  blur: z.object({ what: z.string(), metres: z.number(), discMm: z.number(), share: z.number() }),
  /** Furniture and wall seen, from near to far, with the disc of each as a share of the frame's height. */
  behind: z.array(z.object({ id: z.string(), name: z.string(), metres: z.number(), share: z.number() })),
  /** How much larger the nose is drawn than the ear, by distance alone. */
  noseToEar: z.number(),
  eyeline: z.object({
    /** Between the sitter's gaze and the lens: all told, sideways (above 0: the sitter looks to the frame's left), upwards. */
    degrees: z.number(),
    sideways: z.number(),
    up: z.number(),
  }),
  /** Side of the line on which it stands, for the sitter who looks along it. */
  side: z.enum(["left", "right", "on"]),
  /** Whether the shadow side of the face is towards this lens, by the key's side; null without a key. */
  shadowSide: z.enum(["towards", "away", "frontal"]).nullable(),
  seesSitter: z.boolean(),
  seen: z.array(seenThingSchema),
  /** The boom's and other near things' gap from the frame's edge, metres at their distance; below 0: inside. */
  clears: z.array(z.object({ id: z.string(), kind: z.string(), metres: z.number(), pixels: z.number() })),
  reflections: z.array(z.object({ in: z.string(), of: z.string(), name: z.string(), at: spot })),
  readout: z.object({
    /** Finest stripes of cloth carried without false ones, mm from stripe to stripe. */
    finestPatternMm: z.number(),
    /** Lean of an upright edge that moves a frame's width in a second, pixels; null where the readout is not known. */
    leanPixels: z.number().nullable(),
  }),
});
export type RoomCamera = z.infer<typeof roomCameraSchema>;

/** The interview's geometry. */
export const roomGeometrySchema = z.object({
  /** Sitter's eyes to interviewer's. */
  talkMetres: z.number(),
  lineCrossed: z.boolean(),
  /** How far the sitter turns the head from the trunk to the interviewer, clockwise above 0. */
  headTurn: z.number(),
  /** Head's axis to the nearest wall, and to what is behind along the gaze reversed. */
  sitterToWall: z.number(),
  sitterToBehind: z.number(),
  interviewerToWall: z.number(),
  /** The key's side and height, seen from the sitter's gaze: clockwise above 0; null without lights. */
  key: z
    .object({
      id: z.string(),
      sideways: z.number(),
      up: z.number(),
      interviewerBetween: z.boolean().nullable(),
    })
    .nullable(),
  /** Shadows of the boom: on whom or what, by which light, in whose frame. */
  boomShadows: z.array(
    z.object({ boom: z.string(), light: z.string(), on: z.string(), cameras: z.array(z.string()) }),
  ),
  /** Widest way from a door to the interviewer's chair, and its narrowest place; null without doors. */
  walkway: z.object({ metres: z.number(), at: spot, door: z.string() }).nullable(),
  /** Each mains light's cable over the floor: round furniture, along walls, outside what people walk on where that can be. */
  cables: z.array(
    z.object({
      id: z.string(),
      metres: z.number(),
      crossesWalkway: z.boolean(),
      /** An outlet that the plan has, or the nearest wall. */
      to: z.enum(["outlet", "wall"]),
      /** Where it turns, from the light on; empty where no way leads. */
      path: z.array(spot),
    }),
  ),
  /** From the interviewer's shoulder to each camera, and whether a hand gets there without rising. */
  reaches: z.array(z.object({ id: z.string(), metres: z.number(), inReach: z.boolean() })),
  /** From the interviewer's chair to each screen: turn from the sitter's face, distance, whether its face and the way are free. */
  sights: z.array(
    z.object({
      id: z.string(),
      degrees: z.number(),
      metres: z.number(),
      faces: z.boolean(),
      clear: z.boolean(),
    }),
  ),
});
export type RoomGeometry = z.infer<typeof roomGeometrySchema>;

/** Two cameras that cut against each other. */
export const roomPairSchema = z.object({
  cameras: z.tuple([z.string(), z.string()]),
  equalFocalMm: spot,
  steps: z.number(),
  usualLongerMm: z.number(),
  sizeChange: z.number(),
  angleChange: z.number(),
  isClean: z.boolean(),
});
export type RoomPair = z.infer<typeof roomPairSchema>;

/** Two things of a plan that cannot both be true. */
export const contradictionSchema = z.object({
  code: z.string(),
  /** Ids of the two. */
  between: z.tuple([z.string(), z.string()]),
  says: z.string(),
  remedy: z.string(),
});
export type Contradiction = z.infer<typeof contradictionSchema>;

/** Room: what follows from a plan. */
export const roomResultSchema = z.object({
  title: z.string().optional(),
  units: z.enum(["metric", "feet"]),
  cameras: z.array(roomCameraSchema),
  geometry: roomGeometrySchema,
  pairs: z.array(roomPairSchema),
  light: lightFiguresSchema,
  /** Without place and hours its times are null. */
  sun: sunFiguresSchema,
  sound: soundFiguresSchema,
  moves: z.array(moveFiguresSchema),
  contradictions: z.array(contradictionSchema),
  /** The plan and what each camera sees, for the report: files of the sitting. */
  drawings: z
    .object({
      plan: z.string(),
      frames: z.array(z.object({ camera: z.string(), path: z.string(), isRendered: z.boolean() })),
    })
    .optional(),
  /** Where they were asked for: stagings that keep every hard rule, the best first, and how they were looked for. */
  proposals: proposalsSchema.shape.proposals.optional(),
  search: proposalsSchema.omit({ proposals: true }).optional(),
  findings: z.array(findingSchema),
});
export type RoomResult = z.infer<typeof roomResultSchema>;
