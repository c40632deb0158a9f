import { type Plan, planSchema, type ShotSize } from "#documents/plan";
import { directionOf } from "#science/geometry/vector3";
import { shotFrame } from "#science/optics/shot-size";
import { bodyHeight, headMetres } from "#science/people/body-points";

/*
 * Twenty rooms, and for each a staging as a person of the craft would set it up by hand: sitter off the walls with depth behind,
 * window or key from the side away from the cameras, interviewer between the key and the nearest camera, shadow side to the
 * cameras, B on the same side of the line about 30 degrees off with a longer lens, boom just over the tighter frame. All of it
 * common practice; rooms and kit are invented.
 */

/** A staging in the words of a person with a tape and a protractor, from the sitter's head and gaze. */
export interface ByHand {
  readonly sitter: readonly [number, number];
  /** Heading of the sitter's gaze. */
  readonly gaze: number;
  readonly talk: number;
  /** Cameras clockwise of the gaze seen from above: 1. */
  readonly side: 1 | -1;
  /** Degrees off the gaze, lens, and focal length of a zoom. */
  readonly cameras: readonly (readonly [number, string, number?])[];
  /** By id: degrees from the gaze (away from the cameras above 0), metres from the sitter, height, dim. */
  readonly lights: Readonly<Record<string, readonly [number, number, number, number?]>>;
  /** Before the mouth, over it; the stand's degrees from the gaze (away from the cameras above 0) and metres from the tip. */
  readonly boom: readonly [number, number, number, number];
  /** Half the rail's turn from square to the lens, and its length. */
  readonly rail?: readonly [number, number];
}

export interface RoomCase {
  readonly name: string;
  /** The plan as it comes: everybody near the middle, nothing staged. */
  readonly plan: Plan;
  readonly byHand: ByHand;
}

const centimetres = (metres: number): number => Math.round(metres * 100) / 100;

/** The plan with its things put where the hand puts them. */
export function stagedByHand({ plan, byHand }: RoomCase): Plan {
  const staged = structuredClone(plan);
  const { sitter, gaze, talk, side } = byHand;
  const from = (base: readonly [number, number], turn: number, metres: number): [number, number] => {
    const way = directionOf(turn);
    return [centimetres(base[0] + way[0] * metres), centimetres(base[1] + way[1] * metres)];
  };
  staged.sitter.at = [...sitter];
  staged.sitter.heading = gaze;
  staged.interviewer.at = from(sitter, gaze, talk);
  staged.interviewer.heading = (gaze + 180) % 360;
  const { stature, seatHeight } = staged.sitter;
  const eyes = from(sitter, gaze, headMetres.eyesForward);
  for (const [k, [off, lens, mm]] of byHand.cameras.entries()) {
    const camera = staged.cameras[k]!;
    const body = staged.kit.bodies.find((b) => b.id === camera.body)!;
    camera.lens = lens;
    camera.shot = staged.wishes.shots[camera.id] ?? camera.shot;
    if (mm !== undefined) camera.focalLength = mm;
    else delete camera.focalLength;
    const focal = mm ?? staged.kit.lenses.find((l) => l.id === lens)!.focal[0];
    const metres = (shotFrame(camera.shot, stature, seatHeight).height * focal) / body.sensor[1];
    camera.at = from(eyes, gaze + side * off, metres);
    const slide = staged.slides.find((s) => s.camera === camera.id);
    if (slide && byHand.rail) {
      const along = gaze + side * off + 90 + byHand.rail[0];
      const high = camera.height ?? bodyHeight("eyes", stature, seatHeight);
      slide.from = [...from(camera.at, along, -byHand.rail[1] / 2), centimetres(high)];
      slide.to = [...from(camera.at, along, byHand.rail[1] / 2), centimetres(high)];
    }
  }
  for (const light of staged.lights) {
    const put = byHand.lights[light.id];
    if (!put) continue;
    light.at = from(sitter, gaze - side * put[0], put[1]);
    light.height = put[2];
    if (put[3] !== undefined) light.dim = put[3];
    if (light.role === "background") {
      const behind = from(sitter, gaze + 180 + side * byHand.cameras[0]![0], 2);
      light.aim = [...behind, 1.2];
    }
  }
  for (const boom of staged.microphones) {
    if (boom.role !== "boom") continue;
    const [forward, over, turn, metres] = byHand.boom;
    const tip = from(sitter, gaze, headMetres.mouthForward + forward);
    boom.at = [...tip, centimetres(bodyHeight("mouth", stature, seatHeight) + over)];
    boom.standAt = from(tip, gaze - side * turn, metres);
  }
  return staged;
}

/* ---- Kit by size and figure ---- */

const sensors = {
  large: { sensor: [36, 20.25], pixels: [3840, 2160] },
  middle: { sensor: [24.6, 13.8], pixels: [4096, 2304] },
  small: { sensor: [17.3, 9.7], pixels: [3840, 2160] },
} as const;
type SensorName = keyof typeof sensors;

const prime = (mm: number, stop = 1.8, closeFocus = mm < 60 ? 0.4 : 0.8) => ({
  id: `p${mm}`,
  name: `${mm} mm prime`,
  focal: [mm, mm],
  stop,
  closeFocus,
});
const zoom = (short: number, long: number, stop: number, closeFocus = 0.45) => ({
  id: `z${short}`,
  name: `${short} to ${long} mm zoom`,
  focal: [short, long],
  stop,
  closeFocus,
});
const primes: Readonly<Record<SensorName, readonly ReturnType<typeof prime>[]>> = {
  large: [24, 35, 50, 85].map((mm) => prime(mm)),
  middle: [18, 25, 35, 50, 75].map((mm) => prime(mm)),
  small: [12, 17, 25, 45].map((mm) => prime(mm)),
};

const lights = [
  {
    id: "panel",
    name: "Soft panel",
    lux: 1800,
    atMetres: 1,
    beamDegrees: 110,
    kelvin: 5600,
    face: [0.6, 0.3],
    watts: 120,
    dimsTo: 0.01,
    modifiers: [{ id: "box", name: "Soft box", lossStops: 1, size: [0.9, 0.6] }],
  },
  {
    id: "spot",
    name: "Small spot",
    lux: 4000,
    atMetres: 1,
    beamDegrees: 40,
    kelvin: 5600,
    face: [0.12, 0.12],
    watts: 60,
    dimsTo: 0.01,
  },
  {
    id: "stick",
    name: "Battery stick",
    lux: 500,
    atMetres: 1,
    beamDegrees: 100,
    kelvin: 5600,
    face: [0.5, 0.08],
    watts: 20,
    dimsTo: 0.01,
    batteryWattHours: 40,
  },
] as const;

const kitOf = (sensor: SensorName, lenses: readonly unknown[]) => ({
  bodies: [{ id: "body", name: "Camera", ...sensors[sensor], weightKg: 1.2 }],
  lenses,
  lights,
  microphones: [
    { id: "clip", name: "Clip-on", pattern: "omni" },
    { id: "gun", name: "Short gun", pattern: "shotgun" },
    { id: "pencil", name: "Pencil", pattern: "supercardioid" },
  ],
  sliders: [{ id: "slider", name: "Slider", travel: 0.8, loadKg: 5 }],
  stands: [
    { id: "legs", name: "Tripod", lowest: 0.6, highest: 1.7, loadKg: 8, footprint: 0.4 },
    { id: "light-stand", name: "Light stand", lowest: 0.8, highest: 2.6, loadKg: 6, footprint: 0.35 },
    { id: "short-stand", name: "Small stand", lowest: 0.5, highest: 2.1, loadKg: 3, footprint: 0.25 },
  ],
});

interface Sketch {
  readonly outline: readonly (readonly [number, number])[];
  readonly height?: number;
  readonly bearing?: number;
  readonly openings: readonly Record<string, unknown>[];
  readonly furniture?: readonly Record<string, unknown>[];
  readonly materials?: Record<string, unknown>;
  readonly sensor?: SensorName;
  readonly lenses?: readonly unknown[];
  /** Roles of the lights, in order. */
  readonly lit?: readonly ("key" | "fill" | "hair" | "background")[];
  readonly stand?: "light-stand" | "short-stand";
  readonly shots?: readonly [ShotSize, ShotSize];
  readonly wishes?: Record<string, unknown>;
  readonly hours?: readonly [string, string];
  readonly slide?: boolean;
  readonly monitors?: readonly unknown[];
  readonly standing?: boolean;
  readonly oneCamera?: boolean;
}

const rectangle = (x: number, y: number): [number, number][] => [
  [0, 0],
  [x, 0],
  [x, y],
  [0, y],
];
const door = (wall: number, from: number) => ({
  id: "door",
  kind: "door",
  wall,
  from,
  width: 0.9,
  sill: 0,
  height: 2.05,
});
const window = (
  id: string,
  wall: number,
  from: number,
  width: number,
  more: Record<string, unknown> = {},
) => ({
  id,
  kind: "window",
  wall,
  from,
  width,
  sill: 0.9,
  height: 1.3,
  ...more,
});
const box = (
  id: string,
  name: string,
  at: readonly [number, number],
  size: readonly [number, number, number],
  more: Record<string, unknown> = {},
) => ({ id, name, at, size, ...more });

function planOf(title: string, sketch: Sketch): Plan {
  const sensor = sketch.sensor ?? "large";
  const lenses = sketch.lenses ?? primes[sensor];
  const first = (lenses[0] as { id: string }).id;
  const last = (lenses.at(-1) as { id: string }).id;
  const xs = sketch.outline.map((c) => c[0]);
  const ys = sketch.outline.map((c) => c[1]);
  const middle = [(Math.min(...xs) + Math.max(...xs)) / 2, (Math.min(...ys) + Math.max(...ys)) / 2] as const;
  const off = (x: number, y: number) => [middle[0] + x, middle[1] + y];
  const [shotA, shotB] = sketch.shots ?? ["medium", "close-up"];
  const seat = sketch.standing ? { seatHeight: null } : {};
  return planSchema.parse({
    kind: "gemel.plan",
    version: 1,
    title,
    place: { latitude: 53.3, longitude: -6.3, zone: "Europe/Dublin" },
    ...(sketch.hours && {
      when: { date: "2026-10-10", from: sketch.hours[0], to: sketch.hours[1], sky: "clear" },
    }),
    room: {
      outline: sketch.outline,
      height: sketch.height ?? 2.6,
      bearing: sketch.bearing ?? 0,
      openings: sketch.openings,
      furniture: sketch.furniture ?? [],
      ...(sketch.materials && { materials: sketch.materials }),
    },
    sitter: { at: off(0.6, 0), heading: 270, ...seat },
    interviewer: { at: off(-0.8, 0), heading: 90, ...seat },
    kit: kitOf(sensor, lenses),
    cameras: [
      { id: "A", body: "body", lens: first, at: off(-1, -0.6), shot: shotA, stand: "legs" },
      ...(sketch.oneCamera
        ? []
        : [{ id: "B", body: "body", lens: last, at: off(-0.6, -1), shot: shotB, stand: "legs" }]),
    ],
    lights: (sketch.lit ?? ["key", "fill"]).map((role, k) => ({
      id: role,
      role,
      light: role === "key" || role === "fill" ? "panel" : role === "hair" ? "stick" : "spot",
      at: off(-0.5 + 0.4 * k, 0.8),
      height: 1.8,
      dim: role === "key" ? 1 : 0.3,
      stand: role === "hair" ? "short-stand" : (sketch.stand ?? "light-stand"),
      ...(role === "key" && { modifier: "box" }),
    })),
    microphones: [
      { id: "lav", microphone: "clip", role: "lav" },
      { id: "boom", microphone: "gun", role: "boom", standAt: off(1, 1) },
    ],
    slides: sketch.slide
      ? [
          {
            id: "slide",
            slider: "slider",
            camera: "B",
            from: [...off(-0.9, -1), 1.2],
            to: [...off(-0.3, -1), 1.2],
            seconds: 40,
          },
        ]
      : [],
    monitors: sketch.monitors ?? [],
    wishes: { shots: { A: shotA, B: shotB }, ...sketch.wishes },
  });
}

const drawn = (name: string, sketch: Sketch, byHand: ByHand): RoomCase => ({
  name,
  plan: planOf(name, sketch),
  byHand,
});

/** What hands do when nothing stands against it. */
const usual = {
  talk: 1.45,
  lights: {
    key: [50, 1.6, 1.85],
    fill: [-75, 1.9, 1.7, 0.06],
    hair: [-120, 1.6, 2.1, 0.4],
    background: [-105, 2.3, 1.1, 0.3],
  },
  boom: [0.3, 0.42, 100, 1.4],
} as const;

export const roomCases: readonly RoomCase[] = [
  drawn(
    "loft 8 x 6",
    {
      outline: rectangle(8, 6),
      height: 3.2,
      openings: [door(0, 6.6), window("north", 2, 1.5, 1.6), window("north-2", 2, 4.5, 1.6)],
      furniture: [box("case", "the bookcase", [7.75, 3], [2, 0.4, 2], { heading: 90 })],
      lit: ["key", "fill", "hair"],
      wishes: { show: ["case"] },
      hours: ["10:00", "13:00"],
    },
    {
      ...usual,
      sitter: [5.2, 3.1],
      gaze: 285,
      side: -1,
      cameras: [
        [19, "p50"],
        [47, "p85"],
      ],
    },
  ),
  drawn(
    "living room 5.2 x 4.2",
    {
      outline: rectangle(5.2, 4.2),
      openings: [door(3, 0.4), window("garden", 2, 1.2, 1.8)],
      furniture: [
        box("sofa", "the sofa", [4.2, 0.5], [1.8, 0.8, 0.8]),
        box("shelf", "the shelf", [5.0, 2.8], [1.2, 0.3, 1.9], { heading: 90 }),
      ],
      hours: ["09:00", "12:00"],
    },
    {
      ...usual,
      sitter: [3.6, 2.1],
      gaze: 285,
      side: -1,
      cameras: [
        [19, "p50"],
        [47, "p85"],
      ],
    },
  ),
  drawn(
    "long room 9 x 3.4",
    {
      outline: rectangle(9, 3.4),
      openings: [door(3, 1.2), window("street", 2, 5, 1.5), window("street-2", 2, 2, 1.5)],
      materials: { walls: "brick", floor: "wood-on-joists", ceiling: "plasterboard" },
      lit: ["key", "fill", "hair"],
    },
    {
      ...usual,
      sitter: [5.6, 1.7],
      gaze: 290,
      side: -1,
      cameras: [
        [19, "p50"],
        [45, "p85"],
      ],
      lights: { key: [50, 1.3, 1.85], fill: [-75, 1.4, 1.7, 0.05], hair: [-125, 1.2, 2.1, 0.4] },
      boom: [0.3, 0.42, 108, 1.3],
    },
  ),
  drawn(
    "small office 4 x 3.6",
    {
      outline: rectangle(4, 3.6),
      openings: [door(3, 0.2), window("yard", 2, 1.3, 1.4)],
      furniture: [box("desk", "the desk", [3.6, 0.7], [1.2, 0.7, 0.74], { heading: 90 })],
      stand: "short-stand",
      lit: ["key"],
      sensor: "middle",
    },
    {
      ...usual,
      sitter: [2.9, 1.7],
      gaze: 285,
      side: -1,
      talk: 1.6,
      cameras: [
        [23, "p35"],
        [51, "p50"],
      ],
    },
  ),
  drawn(
    "L-shaped room 7 x 6",
    {
      outline: [
        [0, 0],
        [7, 0],
        [7, 3.4],
        [4, 3.4],
        [4, 6],
        [0, 6],
      ],
      openings: [door(5, 0.6), window("south", 0, 2.4, 1.6), window("west", 5, 3, 1.4)],
      lit: ["key", "fill", "hair"],
      hours: ["11:00", "15:00"],
    },
    {
      ...usual,
      sitter: [4.6, 1.7],
      gaze: 275,
      side: 1,
      cameras: [
        [19, "p50"],
        [47, "p85"],
      ],
      lights: { ...usual.lights, fill: [-75, 1.3, 1.7, 0.03], hair: [-135, 1.4, 2.1, 0.4] },
      boom: [0.3, 0.42, 100, 1.2],
    },
  ),
  drawn(
    "L-shaped kitchen 6 x 5",
    {
      outline: [
        [0, 0],
        [6, 0],
        [6, 5],
        [2.6, 5],
        [2.6, 2.8],
        [0, 2.8],
      ],
      openings: [door(3, 0.3), window("east", 1, 1, 1.6), window("north", 2, 1, 1.4)],
      furniture: [box("counter", "the counter", [4.9, 4.7], [1.8, 0.6, 0.9])],
      sensor: "middle",
    },
    {
      ...usual,
      sitter: [4.4, 1.3],
      gaze: 0,
      side: -1,
      talk: 1.5,
      cameras: [
        [24, "p35"],
        [52, "p50"],
      ],
      boom: [0.3, 0.42, 100, 1.1],
    },
  ),
  drawn(
    "corner room 5 x 5, two windows",
    {
      outline: rectangle(5, 5),
      openings: [door(0, 0.5), window("north", 2, 1.6, 1.6), window("west", 3, 1.4, 1.6)],
      lenses: [zoom(24, 70, 2.8), zoom(70, 180, 2.8, 0.9)],
      hours: ["13:00", "17:00"],
      bearing: 20,
    },
    {
      ...usual,
      sitter: [3.4, 2.3],
      gaze: 300,
      side: -1,
      cameras: [
        [19, "z24", 50],
        [47, "z70", 85],
      ],
    },
  ),
  drawn(
    "library 7 x 5",
    {
      outline: rectangle(7, 5),
      height: 3,
      openings: [door(0, 0.8), window("north", 2, 0.8, 1.4)],
      furniture: [
        box("cases-east", "the east bookcases", [6.8, 2.5], [4.6, 0.4, 2.4], { heading: 90 }),
        box("cases-south", "the south bookcases", [4.6, 0.2], [3.6, 0.4, 2.4]),
      ],
      materials: { walls: "plasterboard", floor: "carpet-thin", ceiling: "plasterboard" },
      lit: ["key", "fill", "hair"],
      wishes: { show: ["cases-east"], keyToFill: 2.5 },
    },
    {
      ...usual,
      sitter: [4.7, 2.5],
      gaze: 285,
      side: -1,
      cameras: [
        [19, "p50"],
        [47, "p85"],
      ],
    },
  ),
  drawn(
    "meeting room 6.5 x 4.5 with its table",
    {
      outline: rectangle(6.5, 4.5),
      openings: [door(3, 0.5), window("south", 0, 1.2, 2.4)],
      furniture: [box("table", "the table", [5.2, 3.6], [2, 1, 0.74])],
      lit: ["key", "fill"],
    },
    {
      ...usual,
      sitter: [4.3, 1.9],
      gaze: 265,
      side: 1,
      cameras: [
        [19, "p50"],
        [47, "p85"],
      ],
    },
  ),
  drawn(
    "workshop 10 x 7",
    {
      outline: rectangle(10, 7),
      height: 3.6,
      openings: [door(3, 3), window("north", 2, 2, 2.2), window("north-2", 2, 6, 2.2)],
      furniture: [
        box("bench-1", "the long bench", [8.6, 3.5], [3, 0.8, 0.9], { heading: 90 }),
        box("bench-2", "the small bench", [4.5, 0.6], [2, 0.7, 0.9]),
        box("rack", "the rack", [9.7, 6.2], [1.4, 0.5, 2], { heading: 90 }),
      ],
      materials: { walls: "brick", floor: "concrete", ceiling: "plasterboard" },
      lit: ["key", "fill", "hair", "background"],
      wishes: { show: ["bench-1"], hide: ["rack"] },
      slide: true,
    },
    {
      ...usual,
      sitter: [5.6, 3.4],
      gaze: 285,
      side: -1,
      talk: 1.5,
      cameras: [
        [21, "p50"],
        [49, "p85"],
      ],
      lights: { ...usual.lights, hair: [-140, 1.5, 2.1, 0.4], background: [-105, 2, 1.1, 0.3] },
      rail: [0, 0.48],
    },
  ),
  drawn(
    "chapel 12 x 6",
    {
      outline: rectangle(12, 6),
      height: 5,
      openings: [
        door(3, 2.6),
        window("south-1", 0, 2.5, 1, { height: 2.4 }),
        window("south-2", 0, 6.5, 1, { height: 2.4 }),
      ],
      furniture: [box("pews", "the pews", [9.6, 3], [3, 2.4, 0.9], { heading: 90 })],
      materials: { walls: "painted-brick", floor: "concrete", ceiling: "plasterboard" },
      lit: ["key", "fill", "hair"],
      shots: ["wide", "medium close-up"],
      hours: ["10:00", "15:00"],
    },
    {
      ...usual,
      sitter: [6, 3],
      gaze: 265,
      side: 1,
      talk: 2.4,
      cameras: [
        [16, "p35"],
        [52, "p85"],
      ],
      lights: { key: [55, 2.3, 1.9], fill: [-100, 1.9, 1.7, 0.06], hair: [-108, 2.6, 2.3, 0.8] },
      boom: [0.4, 0.95, -87, 2.15],
    },
  ),
  drawn(
    "T-shaped hall",
    {
      outline: [
        [0, 2],
        [2.5, 2],
        [2.5, 0],
        [5.5, 0],
        [5.5, 2],
        [8, 2],
        [8, 5],
        [0, 5],
      ],
      openings: [door(7, 1), window("north", 6, 1, 2), window("north-2", 6, 5, 2)],
      lit: ["key", "fill"],
      sensor: "small",
    },
    {
      ...usual,
      sitter: [5, 3.1],
      gaze: 285,
      side: -1,
      cameras: [
        [23, "p25"],
        [51, "p45"],
      ],
      boom: [0.3, 0.42, 100, 1.3],
    },
  ),
  drawn(
    "room with a slanting wall",
    {
      outline: [
        [0, 0],
        [6.4, 0],
        [5.2, 4.6],
        [0, 4.6],
      ],
      openings: [door(0, 0.6), window("north", 2, 1, 1.8)],
      lit: ["key", "fill", "hair"],
      wishes: { looks: "left" },
    },
    {
      ...usual,
      sitter: [3.8, 2.4],
      gaze: 290,
      side: -1,
      cameras: [
        [19, "p50"],
        [47, "p85"],
      ],
    },
  ),
  drawn(
    "bay room",
    {
      outline: [
        [0, 0],
        [5.5, 0],
        [5.5, 4],
        [4.2, 5.2],
        [1.3, 5.2],
        [0, 4],
      ],
      openings: [
        door(0, 0.4),
        window("bay", 3, 0.5, 1.9),
        window("bay-east", 2, 0.3, 1.1),
        window("bay-west", 4, 0.3, 1.1),
      ],
      lit: ["key", "fill"],
      hours: ["09:00", "16:00"],
    },
    {
      ...usual,
      sitter: [3.8, 2.2],
      gaze: 290,
      side: -1,
      cameras: [
        [19, "p50"],
        [47, "p85"],
      ],
    },
  ),
  drawn(
    "hotel room 4.8 x 3.8 with its bed",
    {
      outline: rectangle(4.8, 3.8),
      openings: [door(3, 0.3), window("street", 1, 0.6, 1.6)],
      furniture: [box("bed", "the bed", [3.7, 3.0], [2, 1.4, 0.55])],
      stand: "short-stand",
      lit: ["key"],
      sensor: "middle",
      shots: ["medium", "medium close-up"],
      wishes: { keyToFill: 1.5 },
    },
    {
      ...usual,
      sitter: [1.7, 1.62],
      gaze: 80,
      side: 1,
      talk: 1.5,
      cameras: [
        [23, "p35"],
        [48, "p50"],
      ],
      lights: { key: [52, 1.4, 1.8] },
      boom: [0.3, 0.42, 95, 1.5],
    },
  ),
  drawn(
    "tiny room 3.8 x 3.4",
    {
      outline: rectangle(3.8, 3.4),
      openings: [door(3, 0.2), window("north", 2, 1, 1)],
      stand: "short-stand",
      lit: ["key"],
      sensor: "small",
    },
    {
      ...usual,
      sitter: [2.9, 1.5],
      gaze: 285,
      side: -1,
      talk: 1.6,
      cameras: [
        [23, "p25"],
        [51, "p45"],
      ],
      lights: { key: [50, 1.5, 1.8] },
      boom: [0.3, 0.42, 100, 1.2],
    },
  ),
  drawn(
    "studio 8 x 8, no windows",
    {
      outline: rectangle(8, 8),
      height: 4,
      openings: [door(0, 0.5)],
      lit: ["key", "fill", "hair", "background"],
      monitors: [{ id: "monitor", camera: "B", at: [6.6, 5.2, 1.2], heading: 270 }],
      wishes: { keyToFill: 3 },
      slide: true,
    },
    {
      ...usual,
      sitter: [4.6, 4],
      gaze: 270,
      side: -1,
      cameras: [
        [21, "p50"],
        [49, "p85"],
      ],
      rail: [0, 0.48],
    },
  ),
  drawn(
    "garden room, glass on three sides",
    {
      outline: rectangle(5.5, 4.5),
      openings: [
        door(3, 0.5),
        window("east", 1, 0.8, 2.8, { sill: 0.4, height: 2 }),
        window("north", 2, 0.8, 3.8, { sill: 0.4, height: 2 }),
        window("south", 0, 1.6, 2, { sill: 0.4, height: 2 }),
      ],
      lit: ["key"],
      hours: ["10:00", "16:00"],
    },
    {
      ...usual,
      sitter: [2.2, 2.2],
      gaze: 80,
      side: 1,
      cameras: [
        [21, "p50"],
        [49, "p85"],
      ],
    },
  ),
  drawn(
    "classroom 9 x 7, by window alone",
    {
      outline: rectangle(9, 7),
      height: 3,
      openings: [door(0, 7.5), window("west-1", 3, 1, 1.8), window("west-2", 3, 3.6, 1.8)],
      furniture: [
        box("desks-1", "the first desks", [6.5, 5.4], [2.4, 0.7, 0.72]),
        box("desks-2", "the second desks", [6.5, 4], [2.4, 0.7, 0.72]),
      ],
      lit: [],
      hours: ["09:00", "12:00"],
      wishes: { keyToFill: 1.5 },
    },
    {
      ...usual,
      sitter: [2.9, 2.6],
      gaze: 20,
      side: 1,
      cameras: [
        [19, "p50"],
        [47, "p85"],
      ],
    },
  ),
  drawn(
    "shop floor, standing, one camera",
    {
      outline: rectangle(7, 5),
      height: 3,
      openings: [door(0, 0.8), window("front", 0, 2.6, 3, { sill: 0.5, height: 2 })],
      furniture: [
        box("till", "the till", [6.2, 2.6], [1.6, 0.6, 1], { heading: 90 }),
        box("stock", "the shelves", [3.5, 4.75], [5, 0.4, 2.1]),
      ],
      lit: ["key", "fill"],
      standing: true,
      oneCamera: true,
      shots: ["cowboy", "close-up"],
      wishes: { show: ["stock"] },
    },
    {
      ...usual,
      sitter: [3.6, 3.2],
      gaze: 165,
      side: 1,
      talk: 1.5,
      cameras: [[28, "p35"]],
      lights: { key: [35, 2.3, 2.1], fill: [-60, 2.2, 1.9, 0.12] },
      boom: [0.3, 0.6, 72, 1.4],
    },
  ),
];
