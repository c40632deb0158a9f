import { type Plan, planSchema } from "#documents/plan";
import type { Vector3 } from "./picture/lens-view.ts";
import { room, windows } from "./picture/loft-light.ts";
import { headCentre, headTurn } from "./picture/miller-shape.ts";
import { cameraAPosition, cameraBPosition, sliderHalfMetres } from "./picture/staging.ts";

/*
 * The plan that the demo's pictures were staged by: the loft, the miller and both cameras stand where the pictures have
 * them. The demo's axes have y up and z towards camera A; the plan's have z up and y away from camera A.
 */

const rounded = (metres: number): number => Math.round(metres * 1000) / 1000;
const spot = (at: Vector3): [number, number] => [rounded(at[0] - room.minX), rounded(room.maxZ - at[2])];
const point = (at: Vector3): [number, number, number] => [...spot(at), rounded(at[1])];

const [width, depth] = [rounded(room.maxX - room.minX), rounded(room.maxZ - room.minZ)];
const [tall, paned] = [windows[0]!, windows[1]!];

/** A box of the loft, by its middle and half sizes in the demo's axes, lying `base` above the boards. */
const box = (id: string, name: string, centre: Vector3, half: Vector3, material = "wood-panelling") => ({
  id,
  name,
  at: spot(centre),
  size: [rounded(2 * half[0]), rounded(2 * half[2]), rounded(2 * half[1])],
  base: Math.max(0, rounded(centre[1] - half[1])),
  material,
});

/** Where the interviewer sits: along the miller's gaze, 2 m from her. */
const talkMetres = 2;
const interviewerAt: Vector3 = [
  headCentre[0] + talkMetres * Math.sin(headTurn),
  headCentre[1],
  headCentre[2] + talkMetres * Math.cos(headTurn),
];

/** The slider lies across camera B's axis. */
const away = Math.hypot(cameraBPosition[0], cameraBPosition[2]);
const alongSlider = (metres: number): [number, number, number] =>
  point([
    cameraBPosition[0] + (metres * cameraBPosition[2]) / away,
    cameraBPosition[1],
    cameraBPosition[2] - (metres * cameraBPosition[0]) / away,
  ]);

/** The tide-mill loft, as planned. */
export const loftPlan: Plan = planSchema.parse({
  kind: "gemel.plan",
  version: 1,
  title: "The tide-mill loft",
  place: { latitude: 51.85, longitude: -8.29, zone: "Europe/Dublin" },
  when: { date: "2025-11-06", from: "10:00", to: "13:00", sky: "hazy" },
  mains: {
    hertz: 50,
    volts: 230,
    circuits: [{ id: "loft", name: "The loft's sockets", amperes: 16 }],
    on: { key: "loft", lantern: "loft" },
  },
  room: {
    outline: [
      [0, 0],
      [width, 0],
      [width, depth],
      [0, depth],
    ],
    height: room.maxY,
    bearing: 250,
    temperature: 16,
    materials: { walls: "lime-wash", floor: "wood-on-joists", ceiling: "wood-panelling" },
    openings: [
      {
        id: "tall-window",
        name: "tall window",
        kind: "window",
        wall: 3,
        from: rounded(depth - (room.maxZ - tall.along[0])),
        width: rounded(tall.along[1] - tall.along[0]),
        sill: tall.up[0],
        height: rounded(tall.up[1] - tall.up[0]),
        transmission: 0.75,
      },
      {
        id: "end-window",
        name: "end window",
        kind: "window",
        wall: 2,
        from: rounded(room.maxX - paned.along[1]),
        width: rounded(paned.along[1] - paned.along[0]),
        sill: paned.up[0],
        height: rounded(paned.up[1] - paned.up[0]),
        transmission: 0.7,
        covered: 0.5,
      },
      { id: "door", name: "door", kind: "door", wall: 0, from: 4.6, width: 0.9, sill: 0, height: 2 },
    ],
    furniture: [
      box("stones", "stones", [-1.72, 0.57, -2.3], [0.95, 0.57, 0.85]),
      box("hopper", "hopper", [-1.72, 1.66, -2.3], [0.46, 0.31, 0.46]),
      box("post", "post", [0.98, 1.37, -1.25], [0.12, 1.37, 0.12]),
      box("far-post", "far post", [-2.42, 1.37, -3.3], [0.13, 1.37, 0.13]),
      box("beam", "tie beam", [0.2, 2.52, -1.25], [2.9, 0.13, 0.11]),
      box("near-beam", "near beam", [0.2, 2.56, 0.9], [2.9, 0.12, 0.11]),
      box("spare-stone", "spare stone", [0.42, 0.6, -3.32], [0.6, 0.6, 0.12], "limestone"),
      box("shelf", "shelf", [0.55, 1.62, -3.47], [0.75, 0.022, 0.12]),
      box("ladder", "ladder", [2.1, 1.35, -3.2], [0.23, 1.35, 0.04]),
      box("sacks", "sacks", [1.9, 0.49, -2.47], [0.6, 0.49, 0.28], "chair-cloth"),
      box("cask", "cask", [2.55, 0.45, -1.5], [0.3, 0.45, 0.3]),
    ],
  },
  sitter: { at: spot(headCentre), heading: 187, seatHeight: 0.49, stature: 1.66, name: "the miller" },
  interviewer: { at: spot(interviewerAt), heading: 19, seatHeight: 0.46, stature: 1.74 },
  kit: {
    bodies: [
      {
        id: "large",
        name: "Large-sensor body",
        sensor: [36, 20.25],
        pixels: [3840, 2160],
        frameRates: [24, 25, 30, 50],
        readoutMilliseconds: 16,
        bitRateMbps: 140,
        watts: 9,
        weightKg: 0.9,
        nd: [2, 4, 6],
      },
    ],
    lenses: [
      {
        id: "standard-zoom",
        name: "Standard zoom",
        focal: [24, 105],
        stop: 4,
        closeFocus: 0.45,
        breathing: 0.03,
        weightKg: 0.8,
      },
      { id: "prime-35", name: "35 mm", focal: [35, 35], stop: 1.8, closeFocus: 0.3, weightKg: 0.4 },
      { id: "prime-50", name: "50 mm", focal: [50, 50], stop: 1.8, closeFocus: 0.45, weightKg: 0.4 },
      {
        id: "long-zoom",
        name: "Long zoom",
        focal: [70, 200],
        stop: 2.8,
        closeFocus: 0.95,
        breathing: 0.05,
        weightKg: 1.4,
      },
      { id: "prime-85", name: "85 mm", focal: [85, 85], stop: 1.8, closeFocus: 0.8, weightKg: 0.5 },
    ],
    lights: [
      {
        id: "panel",
        name: "Panel",
        lux: 4200,
        atMetres: 1,
        beamDegrees: 95,
        kelvin: 5600,
        kelvinRange: [2700, 6500],
        face: [0.3, 0.3],
        modifiers: [
          { id: "softbox", name: "Softbox 90 cm", lossStops: 1.2, size: [0.9, 0.9], beamDegrees: 100 },
        ],
        watts: 120,
        dimsTo: 0.05,
        noise: 24,
        weightKg: 2.5,
      },
      {
        id: "small",
        name: "Small lamp",
        lux: 900,
        atMetres: 1,
        beamDegrees: 60,
        kelvin: 3200,
        face: [0.1, 0.1],
        watts: 25,
        weightKg: 0.6,
      },
    ],
    microphones: [
      { id: "clip", name: "Clip-on", pattern: "omni", selfNoise: 26 },
      { id: "gun", name: "Short shotgun", pattern: "shotgun", selfNoise: 14 },
    ],
    sliders: [
      { id: "rail", name: "30 cm slider", travel: 0.3, loadKg: 4, noise: 32, fastest: 0.06, weightKg: 2.2 },
    ],
    stands: [
      { id: "tripod", name: "Tripod", lowest: 0.4, highest: 1.7, loadKg: 8, footprint: 0.4, weightKg: 3 },
      {
        id: "light-stand",
        name: "Light stand",
        lowest: 0.8,
        highest: 2.6,
        loadKg: 8,
        footprint: 0.45,
        weightKg: 2,
      },
      { id: "clamp", name: "Clamp", lowest: 0, highest: 2.7, loadKg: 4, footprint: 0.05, weightKg: 0.7 },
    ],
    cards: [{ id: "card", name: "Card of 256 GB", gigabytes: 256, count: 4 }],
    batteries: [{ id: "battery", name: "Battery", wattHours: 36, count: 5, fits: ["large"] }],
  },
  cameras: [
    {
      id: "A",
      body: "large",
      lens: "standard-zoom",
      focalLength: 52,
      at: spot(cameraAPosition),
      height: cameraAPosition[1],
      shot: "cowboy",
      stop: 4.5,
      iso: 800,
      nd: 2,
      stand: "tripod",
    },
    {
      id: "B",
      body: "large",
      lens: "long-zoom",
      focalLength: 88,
      at: spot(cameraBPosition),
      height: cameraBPosition[1],
      shot: "medium close-up",
      stop: 4.5,
      iso: 800,
      nd: 2,
      stand: "tripod",
    },
  ],
  lights: [
    {
      id: "key",
      light: "panel",
      role: "key",
      at: [0.85, 1.9],
      height: 1.9,
      modifier: "softbox",
      stand: "light-stand",
    },
    {
      id: "lantern",
      light: "small",
      role: "background",
      at: spot([1.42, 1.98, -1.75]),
      height: 1.98,
      aim: [0.98, 5.7, 1],
      kelvin: 3200,
      stand: "clamp",
    },
  ],
  microphones: [
    { id: "lav", microphone: "clip", role: "lav" },
    { id: "boom", microphone: "gun", role: "boom", at: [2.62, 3.1, 1.475], standAt: [4.5, 3.7] },
  ],
  monitors: [{ id: "monitor", camera: "B", at: [1.6, 2.4, 0.9], heading: 153 }],
  slides: [
    {
      id: "slide",
      slider: "rail",
      camera: "B",
      from: alongSlider(-sliderHalfMetres),
      to: alongSlider(sliderHalfMetres),
      seconds: 30,
    },
  ],
  wishes: {
    keyToFill: 2,
    shots: { A: "cowboy", B: "medium close-up" },
    show: ["stones", "end-window"],
    hide: ["door"],
  },
  day: {
    blocks: [
      { name: "Sound and chart", minutes: 10, breakMinutes: 5 },
      { name: "The mill and the tide", minutes: 45, breakMinutes: 10 },
      { name: "Her family", minutes: 40, breakMinutes: 10 },
      { name: "Last questions", minutes: 20, breakMinutes: 0 },
    ],
  },
});
