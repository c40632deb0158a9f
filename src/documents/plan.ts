import { z } from "zod";

/*
 * The plan of a sitting: the room, the day, the people, the kit and where each thing stands. What a person says, never
 * what is computed from it. Lengths are metres, angles degrees, light lux, sound decibels.
 *
 * Axes: x to the right of the drawing, y up the drawing, z up from the floor. A heading is clockwise from +y, seen from
 * above; a tilt is up from the horizontal. `bearing` of the room turns headings into compass bearings.
 */

export const planVersion = 1;

const metres = z.number().min(-1000).max(1000);
const size = z.number().positive().max(1000);
const degrees = z.number().min(-720).max(720);
const share = z.number().min(0).max(1);
const id = z.string().min(1).max(60);
const name = z.string().min(1).max(120);
const spot = z.tuple([metres, metres]);
const point = z.tuple([metres, metres, metres]);
const clockTime = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, "a time of day is written 14:30");
const weightKg = z.number().min(0).max(500);
const watts = z.number().min(0).max(20_000);

/** A window, a door, or a hole in wall `wall`: the edge from `outline[wall]` to the next corner. */
const openingSchema = z.looseObject({
  id,
  name: name.optional(),
  kind: z.enum(["window", "door", "hole"]),
  wall: z.number().int().min(0),
  /** From the wall's first corner to the opening's nearer edge. */
  from: z.number().min(0).max(1000),
  width: size,
  sill: z.number().min(0).max(50),
  height: size,
  /** Share of the light that the glass lets through. */
  transmission: share.default(0.8),
  /** Share of the opening that a blind, a curtain or a flag closes. */
  covered: share.default(0),
  /** Doors and shutters that let no light through are closed. */
  open: z.boolean().default(false),
});

/** A box on the floor, or above it. */
const furnitureSchema = z.looseObject({
  id,
  name,
  at: spot,
  heading: degrees.default(0),
  /** Width (across its heading), depth (along it), height. */
  size: z.tuple([size, size, size]),
  /** Its underside above the floor. */
  base: z.number().min(0).max(50).default(0),
  material: id.optional(),
  /** A lamp, a screen or a glazed picture gives a reflection in glass. */
  glossy: z.boolean().default(false),
  /** A fan, a fridge, a clock: its sound at 1 m, dB(A). */
  noise: z.number().min(0).max(120).optional(),
});

const roomSchema = z.looseObject({
  /** Corners, at least three, either way round; the last joins the first. */
  outline: z.array(spot).min(3).max(200),
  height: z.number().positive().max(50),
  /** Compass bearing of the drawing's +y axis: 0 where the drawing's top is north. */
  bearing: degrees.default(0),
  /** Names from the published table of absorption (`src/science/acoustics`). */
  materials: z
    .looseObject({
      walls: id.default("plasterboard"),
      floor: id.default("wood-on-joists"),
      ceiling: id.default("plasterboard"),
      /** One wall's own material, by its number. */
      ofWall: z.record(z.string(), id).optional(),
    })
    .prefault({}),
  /** Degrees Celsius. */
  temperature: z.number().min(-30).max(60).default(20),
  openings: z.array(openingSchema).max(200).default([]),
  furniture: z.array(furnitureSchema).max(500).default([]),
});

const personSchema = z.looseObject({
  at: spot,
  heading: degrees,
  /** The seat's height above the floor; null: stands. */
  seatHeight: z.number().min(0.2).max(1.5).nullable().default(0.46),
  /** Standing height. */
  stature: z.number().min(0.5).max(2.5).default(1.7),
  /** Wears glasses, in which a light may show. */
  glasses: z.boolean().optional(),
  name: name.optional(),
});

/* ---- The kit: what a person owns, by size and figure, without a maker ---- */

export const bodySchema = z.looseObject({
  id,
  name,
  /** The area that is recorded, mm. */
  sensor: z.tuple([z.number().positive().max(100), z.number().positive().max(100)]),
  pixels: z.tuple([z.number().int().positive().max(40_000), z.number().int().positive().max(40_000)]),
  /** Anamorphic squeeze of the lens: 1 for spherical. */
  squeeze: z.number().min(1).max(2.5).default(1),
  frameRates: z.array(z.number().positive().max(1000)).default([25]),
  /** ISO (exposure index) steps. */
  isos: z.array(z.number().positive()).default([100, 200, 400, 800, 1600, 3200, 6400]),
  /** From the first line read to the last. */
  readoutMilliseconds: z.number().min(0).max(100).optional(),
  bitRateMbps: z.number().positive().max(10_000).optional(),
  /** The curve it records: a published name ("HLG"), or a log curve's parameters; BT.709 where it is not said. */
  curve: z
    .union([
      z.string().min(1).max(60),
      z.looseObject({
        base: z.number().positive(),
        logSideSlope: z.number(),
        logSideOffset: z.number(),
        linSideSlope: z.number(),
        linSideOffset: z.number(),
        linSideBreak: z.number().optional(),
        linearSlope: z.number().optional(),
      }),
    ])
    .optional(),
  /** Recording formats by their sheet; a rate that is given for one frame rate goes with it. */
  codecs: z
    .array(
      z.looseObject({
        id,
        mbps: z.number().positive().max(10_000),
        atFrameRate: z.number().positive().max(1000).optional(),
      }),
    )
    .optional(),
  watts: watts.optional(),
  weightKg: weightKg.optional(),
  /** Built-in ND, stops. */
  nd: z.array(z.number().min(0).max(20)).default([]),
});

export const lensSchema = z.looseObject({
  id,
  name,
  /** Shortest and longest focal length, mm; equal for a prime. */
  focal: z.tuple([z.number().positive().max(5000), z.number().positive().max(5000)]),
  /** Widest f-number, for depth of field. */
  stop: z.number().min(0.5).max(64),
  /** Widest T-stop, for exposure; the f-number where it is not known. */
  tStop: z.number().min(0.5).max(64).optional(),
  /** From the sensor. */
  closeFocus: z.number().min(0).max(50).default(0.5),
  /** Growth of the angle of view from infinity to close focus, as a share: 0.05 is 5 % wider. */
  breathing: z.number().min(-0.5).max(0.5).default(0),
  weightKg: weightKg.optional(),
});

export const lightSchema = z.looseObject({
  id,
  name,
  /** The maker's photometric figure: this many lux at this many metres, full power, bare. */
  lux: z.number().positive(),
  atMetres: z.number().positive().max(100),
  /** Full angle between the directions of half illuminance. */
  beamDegrees: z.number().min(1).max(360),
  kelvin: z.number().min(1000).max(20_000),
  /** Tunable range, K. */
  kelvinRange: z.tuple([z.number(), z.number()]).optional(),
  /** The bare face's width and height. */
  face: z.tuple([size, size]),
  modifiers: z
    .array(
      z.looseObject({
        id,
        name,
        /** Stops lost on the axis. */
        lossStops: z.number().min(0).max(10),
        size: z.tuple([size, size]),
        beamDegrees: z.number().min(1).max(360).optional(),
      }),
    )
    .default([]),
  watts,
  /** Lowest share of full light that it dims to. */
  dimsTo: share.default(0.01),
  /** Light follows the mains (a lamp's filament or a plain ballast) or a driver that does not flicker. */
  flicker: z.enum(["mains", "none", "unknown"]).default("none"),
  /** Hot to the touch. */
  hot: z.boolean().default(false),
  /** Of its fan at 1 m, dB(A). */
  noise: z.number().min(0).max(120).optional(),
  /** Of its supply; 1 where nothing is said. */
  powerFactor: z.number().min(0.1).max(1).optional(),
  /** Runs from a battery of this energy where one is fitted. */
  batteryWattHours: z.number().positive().optional(),
  weightKg: weightKg.optional(),
});

export const microphoneSchema = z.looseObject({
  id,
  name,
  pattern: z.enum([
    "omni",
    "subcardioid",
    "cardioid",
    "supercardioid",
    "hypercardioid",
    "figure-8",
    "shotgun",
  ]),
  /** Equivalent noise level, dB(A). */
  selfNoise: z.number().min(-10).max(60).optional(),
  weightKg: weightKg.optional(),
});

export const sliderSchema = z.looseObject({
  id,
  name,
  /** The carriage's whole travel. */
  travel: size,
  /** What it carries. */
  loadKg: z.number().positive().max(200),
  /** Sound pressure level of its motor at 1 m at full speed, dB(A). */
  noise: z.number().min(0).max(120).optional(),
  /** Fastest carriage, metres a second. */
  fastest: z.number().positive().max(10).optional(),
  weightKg: weightKg.optional(),
});

export const standSchema = z.looseObject({
  id,
  name,
  lowest: z.number().min(0).max(20),
  highest: z.number().min(0).max(20),
  loadKg: z.number().positive().max(500),
  /** Radius of its spread legs. */
  footprint: z.number().positive().max(5),
  weightKg: weightKg.optional(),
});

export const kitSchema = z.looseObject({
  bodies: z.array(bodySchema).default([]),
  lenses: z.array(lensSchema).default([]),
  lights: z.array(lightSchema).default([]),
  microphones: z.array(microphoneSchema).default([]),
  sliders: z.array(sliderSchema).default([]),
  stands: z.array(standSchema).default([]),
  cards: z
    .array(
      z.looseObject({
        id,
        name,
        gigabytes: z.number().positive(),
        count: z.number().int().positive().default(1),
      }),
    )
    .default([]),
  batteries: z
    .array(
      z.looseObject({
        id,
        name,
        wattHours: z.number().positive(),
        count: z.number().int().positive().default(1),
        /** Kit ids that take it. */
        fits: z.array(id),
      }),
    )
    .default([]),
  /** Anything else to pack. */
  others: z
    .array(
      z.looseObject({
        id,
        name,
        count: z.number().int().positive().default(1),
        weightKg: weightKg.optional(),
      }),
    )
    .default([]),
});
export type Kit = z.infer<typeof kitSchema>;

/* ---- Where it stands ---- */

export const shotSizes = ["wide", "cowboy", "medium", "medium close-up", "close-up"] as const;
export type ShotSize = (typeof shotSizes)[number];

const cameraSchema = z.looseObject({
  /** `A`, `B`, `C`: as the recordings will be called. */
  id,
  body: id,
  lens: id,
  /** Zooms: the focal length set, mm. */
  focalLength: z.number().positive().max(5000).optional(),
  at: spot,
  /** Of the lens above the floor; the sitter's eyes where it is not said. */
  height: z.number().min(0).max(20).optional(),
  /** Where it points. Not said: framed on the sitter for its shot, with look room. */
  pan: degrees.optional(),
  tilt: z.number().min(-90).max(90).optional(),
  shot: z.enum(shotSizes).default("medium"),
  frameRate: z.number().positive().max(1000).default(25),
  /** Shutter angle, degrees. */
  shutterAngle: z.number().min(1).max(360).default(180),
  iso: z.number().positive().optional(),
  /** The f-number set; the lens's widest where it is not said. */
  stop: z.number().min(0.5).max(64).optional(),
  /** ND in front, stops. */
  nd: z.number().min(0).max(20).optional(),
  /** Focus distance from the sensor; the sitter's nearer eye where it is not said. */
  focus: size.optional(),
  stand: id.optional(),
  /** Which of its body's codecs; the body's bit rate where it is not said. */
  codec: id.optional(),
});

const placedLightSchema = z.looseObject({
  id,
  light: id,
  role: z.enum(["key", "fill", "hair", "background", "other"]).default("other"),
  at: spot,
  height: z.number().min(0).max(20),
  /** Where it points; the sitter's face where it is not said. */
  aim: point.optional(),
  /** Share of full light. */
  dim: share.default(1),
  kelvin: z.number().min(1000).max(20_000).optional(),
  modifier: id.optional(),
  /** Mired shift of a gel on it: + warms. */
  gelMired: z.number().min(-500).max(500).default(0),
  gelLossStops: z.number().min(0).max(10).default(0),
  stand: id.optional(),
});

const placedMicrophoneSchema = z.looseObject({
  id,
  microphone: id,
  role: z.enum(["lav", "boom", "interviewer", "scratch"]),
  /** Its capsule; a lav is on the sitter's breastbone where it is not said. */
  at: point.optional(),
  /** Where it points; the sitter's mouth where it is not said. */
  aim: point.optional(),
  /** A boom's stand on the floor. */
  standAt: spot.optional(),
});

const slideSchema = z.looseObject({
  id,
  slider: id,
  camera: id,
  /** Carriage at the move's start and end, the camera's lens. The rail is the straight line between. */
  from: point,
  to: point,
  seconds: z.number().positive().max(36_000),
  ease: z.enum(["none", "in-out"]).default("in-out"),
  /** Comes back again when it has arrived. */
  returns: z.boolean().default(true),
  /** Where the held point of the sitter lies in the frame: share of width from the left, of height from the top. */
  hold: z
    .looseObject({
      point: z.enum(["eyes", "chest"]).default("eyes"),
      x: share.optional(),
      y: share.optional(),
    })
    .prefault({}),
  /** Head that turns between keyframes at a steady speed; runs smoothly through them from rest to rest; or none. */
  head: z.enum(["linear", "eased", "none"]).default("linear"),
  tilts: z.boolean().default(false),
});

const wishesSchema = z.looseObject({
  /** Key-to-fill in stops: 1 is bright and even, 2 modelled, 3 and more dark. */
  keyToFill: z.number().min(0).max(8).default(2),
  shots: z.record(z.string(), z.enum(shotSizes)).default({ A: "medium", B: "close-up" }),
  /** Furniture or openings to have behind the sitter, or to keep out of every frame. */
  show: z.array(id).default([]),
  hide: z.array(id).default([]),
  /** Ids (cameras, lights, "sitter", "interviewer", microphones, slides) that stay where they are. */
  pinned: z.array(id).default([]),
  /** Which way the sitter looks out of frame, seen by the camera. */
  looks: z.enum(["left", "right", "either"]).default("either"),
  /** Where the lenses stand to the sitter's eyes; level with them where it is not said. */
  eyeLine: z.enum(["level", "above", "below"]).optional(),
  /** What is to be sharp: the nearer eye, both eyes (where it is not said), the face to the ear, or a sitter who leans. */
  depth: z.enum(["shallow", "eyes", "face", "leaning"]).optional(),
});

const monitorSchema = z.looseObject({
  id,
  /** The camera whose picture it shows. */
  camera: id.optional(),
  /** Its middle. */
  at: point,
  /** The heading that its face looks to. */
  heading: degrees,
});

/** The whole plan. Unknown keys survive reading and writing. */
export const planSchema = z.looseObject({
  kind: z.literal("gemel.plan"),
  version: z.literal(planVersion),
  title: z.string().max(200).optional(),
  units: z.enum(["metric", "feet"]).default("metric"),
  place: z
    .looseObject({
      latitude: z.number().min(-90).max(90),
      longitude: z.number().min(-180).max(180),
      /** IANA zone name: "Europe/Dublin". */
      zone: z.string().min(1).max(80),
    })
    .optional(),
  when: z
    .looseObject({
      date: z.iso.date(),
      from: clockTime,
      to: clockTime,
      sky: z.enum(["clear", "hazy", "overcast"]).default("clear"),
    })
    .optional(),
  /** Mains: what the lamps' light follows, and what the room's circuits bear. */
  mains: z
    .looseObject({
      hertz: z.union([z.literal(50), z.literal(60)]).default(50),
      volts: z.number().min(90).max(260).default(230),
      circuits: z
        .array(
          z.looseObject({
            id,
            name,
            amperes: z.number().positive().max(200),
            /** Where its outlets are, by the walls. */
            outlets: z.array(spot).max(50).optional(),
          }),
        )
        .default([]),
      /** Which circuit each placed light or other load is on, by its id. */
      on: z.record(z.string(), id).default({}),
    })
    .prefault({}),
  room: roomSchema,
  sitter: personSchema,
  interviewer: personSchema,
  kit: kitSchema.prefault({}),
  cameras: z.array(cameraSchema).max(20).default([]),
  /** What counts as sharp: a share of the sensor's diagonal, or the recording's own pixels. */
  confusion: z.enum(["diagonal/1500", "diagonal/1730", "two pixels"]).default("diagonal/1500"),
  /** Screens that the interviewer wants to see from the chair. */
  monitors: z.array(monitorSchema).max(20).default([]),
  lights: z.array(placedLightSchema).max(100).default([]),
  microphones: z.array(placedMicrophoneSchema).max(50).default([]),
  slides: z.array(slideSchema).max(10).default([]),
  wishes: wishesSchema.prefault({}),
  /** Blocks of the day for Kit: how long each camera runs before a break. */
  day: z
    .looseObject({
      blocks: z
        .array(
          z.looseObject({
            name,
            minutes: z.number().positive().max(1440),
            breakMinutes: z.number().min(0).max(1440),
          }),
        )
        .default([]),
    })
    .optional(),
});
export type Plan = z.infer<typeof planSchema>;

/** A plan's schema without its default: what is not said of it stays as it is. */
const withoutDefault = (schema: z.ZodType): z.ZodType =>
  schema instanceof z.ZodDefault || schema instanceof z.ZodPrefault
    ? (schema.unwrap() as z.ZodType).optional()
    : schema.optional();

/** Some parts of a plan, each whole: what a change of it carries. */
export const planPartSchema: z.ZodType<Partial<Plan>> = z.looseObject(
  Object.fromEntries(Object.entries(planSchema.shape).map(([key, schema]) => [key, withoutDefault(schema)])),
) as unknown as z.ZodType<Partial<Plan>>;
export type PlanRoom = Plan["room"];
export type Opening = PlanRoom["openings"][number];
export type Furniture = PlanRoom["furniture"][number];
export type Person = Plan["sitter"];
export type PlannedCamera = Plan["cameras"][number];
export type PlacedLight = Plan["lights"][number];
export type PlacedMicrophone = Plan["microphones"][number];
export type Slide = Plan["slides"][number];
export type Body = z.infer<typeof bodySchema>;
export type Lens = z.infer<typeof lensSchema>;
export type Light = z.infer<typeof lightSchema>;
export type Microphone = z.infer<typeof microphoneSchema>;
export type Slider = z.infer<typeof sliderSchema>;
export type Stand = z.infer<typeof standSchema>;
