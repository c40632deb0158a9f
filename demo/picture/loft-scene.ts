import type { Vector3 } from "./lens-view.ts";

/*
 * The loft behind the miller: the tun with its pair of stones and the hopper over it, posts and beams, a
 * stone stood against the wall, a ladder, sacks, a cask. Each thing is a box, a drum, an egg or a funnel with
 * its own turn.
 */

export type Surface =
  | "oak"
  | "darkOak"
  | "paleOak"
  | "stone"
  | "sack"
  | "iron"
  | "limewash"
  | "boards"
  | "ceiling"
  | "flour";

export interface Thing {
  readonly form: "box" | "drum" | "egg" | "funnel";
  readonly centre: Vector3;
  /** Half sizes; a drum's axis is its own y; a funnel narrows to `foot` of its half sizes at the bottom. */
  readonly half: Vector3;
  readonly foot?: number;
  /** Turn about y, then about its own z, radians. */
  readonly turn?: number;
  readonly lean?: number;
  readonly surface: Surface;
}

const quarter = Math.PI / 2;

function ladder(): Thing[] {
  const things: Thing[] = [];
  for (const side of [-0.2, 0.2])
    things.push({
      form: "box",
      centre: [2.1 + side, 1.2, -3.2],
      half: [0.03, 1.5, 0.04],
      surface: "paleOak",
    });
  for (let i = 0; i < 9; i++)
    things.push({
      form: "box",
      centre: [2.1, 0.2 + i * 0.3, -3.2],
      half: [0.2, 0.018, 0.022],
      surface: "paleOak",
    });
  return things;
}

function tun(): Thing[] {
  const x = -1.72;
  const z = -2.3;
  const things: Thing[] = [
    { form: "box", centre: [x, 0.3, z], half: [0.95, 0.3, 0.85], surface: "darkOak" },
    { form: "box", centre: [x, 0.62, z], half: [1.0, 0.03, 0.9], surface: "paleOak" },
    { form: "drum", centre: [x, 0.87, z], half: [0.72, 0.22, 0.72], surface: "oak" },
    { form: "drum", centre: [x, 0.72, z], half: [0.73, 0.022, 0.73], surface: "iron" },
    { form: "drum", centre: [x, 1.02, z], half: [0.73, 0.022, 0.73], surface: "iron" },
    { form: "drum", centre: [x, 1.11, z], half: [0.68, 0.03, 0.68], surface: "paleOak" },
    // the horse that carries the hopper
    {
      form: "funnel",
      centre: [x, 1.66, z],
      half: [0.44, 0.27, 0.44],
      foot: 0.28,
      turn: 0.25,
      surface: "paleOak",
    },
    { form: "box", centre: [x, 1.94, z], half: [0.46, 0.03, 0.46], turn: 0.25, surface: "oak" },
    { form: "box", centre: [x, 1.33, z], half: [0.1, 0.06, 0.2], turn: 0.25, surface: "oak" },
    { form: "drum", centre: [x + 0.03, 1.25, z], half: [0.028, 0.14, 0.028], surface: "iron" },
  ];
  for (const dx of [-0.52, 0.52])
    for (const dz of [-0.4, 0.4])
      things.push({
        form: "box",
        centre: [x + dx, 1.45, z + dz],
        half: [0.035, 0.36, 0.035],
        surface: "darkOak",
      });
  for (const dz of [-0.4, 0.4])
    things.push({ form: "box", centre: [x, 1.56, z + dz], half: [0.56, 0.035, 0.03], surface: "darkOak" });
  return things;
}

export const things: readonly Thing[] = [
  ...tun(),
  ...ladder(),
  // posts and beams
  { form: "box", centre: [0.98, 1.38, -1.25], half: [0.12, 1.38, 0.12], surface: "oak" },
  { form: "box", centre: [-2.42, 1.38, -3.3], half: [0.13, 1.38, 0.13], surface: "darkOak" },
  { form: "box", centre: [0.2, 2.52, -1.25], half: [2.9, 0.13, 0.11], surface: "darkOak" },
  { form: "box", centre: [0.2, 2.56, -3.2], half: [2.9, 0.12, 0.11], surface: "darkOak" },
  { form: "box", centre: [0.2, 2.56, 0.9], half: [2.9, 0.12, 0.11], surface: "darkOak" },
  { form: "box", centre: [0.68, 2.14, -1.25], half: [0.055, 0.5, 0.05], lean: 0.72, surface: "oak" },
  { form: "box", centre: [1.28, 2.14, -1.25], half: [0.055, 0.5, 0.05], lean: -0.72, surface: "oak" },
  // a stone stood on edge, a shelf, sacks, a cask, a bin
  {
    form: "drum",
    centre: [0.42, 0.6, -3.32],
    half: [0.6, 0.12, 0.6],
    lean: quarter,
    turn: quarter - 0.05,
    surface: "stone",
  },
  {
    form: "drum",
    centre: [0.42, 0.6, -3.2],
    half: [0.1, 0.012, 0.1],
    lean: quarter,
    turn: quarter - 0.05,
    surface: "iron",
  },
  { form: "box", centre: [0.55, 1.62, -3.48], half: [0.75, 0.022, 0.12], surface: "paleOak" },
  { form: "drum", centre: [0.1, 1.74, -3.46], half: [0.07, 0.1, 0.07], surface: "iron" },
  { form: "drum", centre: [0.32, 1.72, -3.46], half: [0.055, 0.08, 0.055], surface: "stone" },
  { form: "box", centre: [0.75, 1.71, -3.46], half: [0.13, 0.07, 0.08], turn: 0.2, surface: "oak" },
  { form: "drum", centre: [1.08, 1.76, -3.46], half: [0.045, 0.12, 0.045], surface: "flour" },
  { form: "egg", centre: [1.62, 0.34, -2.5], half: [0.32, 0.4, 0.27], surface: "sack" },
  { form: "egg", centre: [2.2, 0.32, -2.4], half: [0.34, 0.36, 0.28], surface: "sack" },
  { form: "egg", centre: [1.86, 0.78, -2.55], half: [0.42, 0.2, 0.27], lean: 0.16, surface: "sack" },
  { form: "drum", centre: [2.55, 0.45, -1.5], half: [0.3, 0.45, 0.3], surface: "oak" },
  { form: "drum", centre: [2.55, 0.2, -1.5], half: [0.305, 0.025, 0.305], surface: "iron" },
  { form: "drum", centre: [2.55, 0.7, -1.5], half: [0.305, 0.025, 0.305], surface: "iron" },
  { form: "egg", centre: [-0.55, 0.26, -3.05], half: [0.34, 0.3, 0.24], surface: "sack" },
  { form: "egg", centre: [-2.35, 0.3, -0.5], half: [0.28, 0.36, 0.3], surface: "sack" },
  // the window's sill and frame
  { form: "box", centre: [-1.42, 1.1, -3.52], half: [0.5, 0.035, 0.1], surface: "paleOak" },
  { form: "box", centre: [-1.87, 1.68, -3.56], half: [0.05, 0.58, 0.05], surface: "darkOak" },
  { form: "box", centre: [-0.97, 1.68, -3.56], half: [0.05, 0.58, 0.05], surface: "darkOak" },
  { form: "box", centre: [-1.42, 2.25, -3.56], half: [0.5, 0.05, 0.05], surface: "darkOak" },
  // the lantern's bracket and cap
  { form: "box", centre: [1.22, 2.18, -1.6], half: [0.2, 0.014, 0.014], turn: 0.62, surface: "iron" },
  { form: "drum", centre: [1.42, 2.1, -1.75], half: [0.055, 0.02, 0.055], surface: "iron" },
  { form: "drum", centre: [1.42, 1.87, -1.75], half: [0.06, 0.02, 0.06], surface: "iron" },
  // the chair the interviewer does not use, in the far corner
  { form: "box", centre: [2.75, 0.9, -3.2], half: [0.3, 0.9, 0.25], surface: "darkOak" },
];
