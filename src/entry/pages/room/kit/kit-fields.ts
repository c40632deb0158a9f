import type { Kit } from "#documents/plan";
import { bodyFields } from "./body-fields.ts";
import { choice, counted, figure, type KitField, length, weight } from "./kit-field.ts";

/** What a kit holds that the plan stands on. */
export type Kind =
  | "bodies"
  | "lenses"
  | "lights"
  | "microphones"
  | "sliders"
  | "stands"
  | "cards"
  | "batteries";
export type Thing<K extends Kind> = Kit[K][number];

const isZoom = ({ focal }: Thing<"lenses">): boolean => focal[0] < focal[1];
const lensFields = (lens: Thing<"lenses">): readonly KitField<Thing<"lenses">>[] => [
  choice(
    "Kind",
    [
      ["prime", "prime"],
      ["zoom", "zoom"],
    ],
    (l) => (isZoom(l) ? "zoom" : "prime"),
    (kind, l) => ({ focal: kind === "zoom" ? [l.focal[0], l.focal[0] * 2] : [l.focal[0], l.focal[0]] }),
  ),
  ...(isZoom(lens)
    ? [
        figure<Thing<"lenses">>(
          "Shortest",
          "mm",
          [1, lens.focal[1]],
          (l) => l.focal[0],
          (mm, l) => ({ focal: [mm, l.focal[1]] }),
        ),
        figure<Thing<"lenses">>(
          "Longest",
          "mm",
          [lens.focal[0], 5000],
          (l) => l.focal[1],
          (mm, l) => ({ focal: [l.focal[0], mm] }),
        ),
      ]
    : [
        figure<Thing<"lenses">>(
          "Focal length",
          "mm",
          [1, 5000],
          (l) => l.focal[0],
          (mm) => ({ focal: [mm, mm] }),
        ),
      ]),
  figure(
    "Widest f-number",
    "",
    [0.5, 64],
    (l) => l.stop,
    (stop) => ({ stop }),
    1,
  ),
  figure(
    "Widest T-stop",
    "",
    [0.5, 64],
    (l) => l.tStop,
    (tStop) => ({ tStop }),
    1,
  ),
  length(
    "Focuses from",
    [0.05, 50],
    (l) => l.closeFocus,
    (closeFocus) => ({ closeFocus }),
  ),
  figure(
    "Breathes",
    "%",
    [-50, 50],
    (l) => l.breathing * 100,
    (share) => ({ breathing: share / 100 }),
    1,
  ),
  weight(),
];

const lightFields: readonly KitField<Thing<"lights">>[] = [
  figure(
    "Gives",
    "lx",
    [1, 1_000_000],
    (l) => l.lux,
    (lux) => ({ lux }),
  ),
  length(
    "at",
    [0.1, 100],
    (l) => l.atMetres,
    (atMetres) => ({ atMetres }),
  ),
  figure(
    "Beam",
    "°",
    [1, 360],
    (l) => l.beamDegrees,
    (beamDegrees) => ({ beamDegrees }),
  ),
  figure(
    "Colour",
    "K",
    [1000, 20_000],
    (l) => l.kelvin,
    (kelvin) => ({ kelvin }),
  ),
  length(
    "Face across",
    [0.005, 10],
    (l) => l.face[0],
    (w, l) => ({ face: [w, l.face[1]] }),
  ),
  length(
    "Face up",
    [0.005, 10],
    (l) => l.face[1],
    (h, l) => ({ face: [l.face[0], h] }),
  ),
  figure(
    "Draws",
    "W",
    [0, 20_000],
    (l) => l.watts,
    (watts) => ({ watts }),
  ),
  figure(
    "Power factor",
    "",
    [0.1, 1],
    (l) => l.powerFactor,
    (powerFactor) => ({ powerFactor }),
    2,
  ),
  figure(
    "Dims to",
    "%",
    [0, 100],
    (l) => l.dimsTo * 100,
    (share) => ({ dimsTo: share / 100 }),
    1,
  ),
  choice(
    "Flickers",
    [
      ["none", "no"],
      ["mains", "with the mains"],
      ["unknown", "not known"],
    ],
    (l) => l.flicker,
    (flicker) => ({ flicker: flicker as "none" }),
  ),
  choice(
    "Hot to touch",
    [
      ["no", "no"],
      ["yes", "yes"],
    ],
    (l) => (l.hot ? "yes" : "no"),
    (hot) => ({ hot: hot === "yes" }),
  ),
  figure(
    "Fan at 1 m",
    "dB(A)",
    [0, 120],
    (l) => l.noise,
    (noise) => ({ noise }),
  ),
  weight(),
];

const patterns = [
  "omni",
  "subcardioid",
  "cardioid",
  "supercardioid",
  "hypercardioid",
  "figure-8",
  "shotgun",
] as const;
const microphoneFields: readonly KitField<Thing<"microphones">>[] = [
  choice(
    "Hears",
    patterns.map((pattern) => [pattern, pattern] as const),
    (m) => m.pattern,
    (pattern) => ({ pattern: pattern as "omni" }),
  ),
  figure(
    "Own noise",
    "dB(A)",
    [-10, 60],
    (m) => m.selfNoise,
    (selfNoise) => ({ selfNoise }),
  ),
  weight(),
];

const sliderFields: readonly KitField<Thing<"sliders">>[] = [
  length(
    "Travels",
    [0.05, 20],
    (s) => s.travel,
    (travel) => ({ travel }),
  ),
  figure(
    "Carries",
    "kg",
    [0.1, 200],
    (s) => s.loadKg,
    (loadKg) => ({ loadKg }),
    1,
  ),
  figure(
    "Motor at 1 m",
    "dB(A)",
    [0, 120],
    (s) => s.noise,
    (noise) => ({ noise }),
  ),
  figure(
    "Fastest",
    "cm a second",
    [0.1, 1000],
    (s) => (s.fastest === undefined ? undefined : s.fastest * 100),
    (cm) => ({ fastest: cm / 100 }),
    1,
  ),
  weight(),
];

const standFields = (stand: Thing<"stands">): readonly KitField<Thing<"stands">>[] => [
  length(
    "Lowest",
    [0, stand.highest],
    (s) => s.lowest,
    (lowest) => ({ lowest }),
  ),
  length(
    "Highest",
    [stand.lowest, 20],
    (s) => s.highest,
    (highest) => ({ highest }),
  ),
  figure(
    "Carries",
    "kg",
    [0.1, 500],
    (s) => s.loadKg,
    (loadKg) => ({ loadKg }),
    1,
  ),
  length(
    "Legs reach",
    [0.05, 5],
    (s) => s.footprint,
    (footprint) => ({ footprint }),
  ),
  weight(),
];

/** Every field of a piece of kit, in the order in which its sheet is read. */
export function fieldsOf<K extends Kind>(kind: K, thing: Thing<K>): readonly KitField<Thing<K>>[] {
  const all: { readonly [Of in Kind]: (thing: Thing<Of>) => readonly KitField<Thing<Of>>[] } = {
    bodies: () => bodyFields,
    lenses: lensFields,
    lights: () => lightFields,
    microphones: () => microphoneFields,
    sliders: () => sliderFields,
    stands: standFields,
    cards: () => [
      figure(
        "Holds",
        "GB",
        [1, 100_000],
        (c) => c.gigabytes,
        (gigabytes) => ({ gigabytes }),
      ),
      counted(),
    ],
    batteries: () => [
      figure(
        "Holds",
        "Wh",
        [0.1, 10_000],
        (b) => b.wattHours,
        (wattHours) => ({ wattHours }),
      ),
      counted(),
    ],
  };
  return all[kind](thing as never) as unknown as readonly KitField<Thing<K>>[];
}
