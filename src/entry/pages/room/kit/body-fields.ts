import type { Kit } from "#documents/plan";
import { choice, figure, type KitField, weight } from "./kit-field.ts";

/** Widths that are recorded, mm, at 16:9: the formats' own. */
const formats: readonly (readonly [string, string])[] = [
  ["36", "36 mm wide"],
  ["24.9", "24.9 mm wide"],
  ["23.5", "23.5 mm wide"],
  ["17.3", "17.3 mm wide"],
  ["13.2", "13.2 mm wide"],
  ["9.8", "9.8 mm wide"],
];
const sizes: readonly (readonly [string, string])[] = [
  ["1920 1080", "1920 × 1080"],
  ["3840 2160", "3840 × 2160"],
  ["4096 2160", "4096 × 2160"],
  ["6144 3456", "6144 × 3456"],
  ["7680 4320", "7680 × 4320"],
];
const rounded = (value: number): number => Math.round(value * 100) / 100;

/** What is typed of a body. */
export const bodyFields: readonly KitField<Kit["bodies"][number]>[] = [
  choice(
    "Format",
    [...formats, ["own", "by millimetres"]],
    ({ sensor: [width, height] }) =>
      formats.some(([key]) => Number(key) === width) && Math.abs(height - (width * 9) / 16) < 0.05
        ? String(width)
        : "own",
    (key, { sensor }) => ({
      sensor: key === "own" ? sensor : [Number(key), rounded((Number(key) * 9) / 16)],
    }),
  ),
  figure(
    "Sensor across",
    "mm",
    [1, 100],
    (b) => b.sensor[0],
    (w, b) => ({ sensor: [w, b.sensor[1]] }),
    2,
  ),
  figure(
    "Sensor up",
    "mm",
    [1, 100],
    (b) => b.sensor[1],
    (h, b) => ({ sensor: [b.sensor[0], h] }),
    2,
  ),
  choice(
    "Records",
    sizes,
    ({ pixels }) => pixels.join(" "),
    (key) => {
      const [w, h] = key.split(" ").map(Number);
      return { pixels: [w!, h!] };
    },
  ),
  {
    kind: "list",
    label: "Frame rates",
    unit: "a second",
    bounds: [1, 1000],
    get: (b) => b.frameRates,
    set: (b, frameRates) => ({ ...b, frameRates }),
  },
  {
    kind: "list",
    label: "ISO steps",
    unit: "",
    bounds: [1, 200_000],
    get: (b) => b.isos,
    set: (b, isos) => ({ ...b, isos }),
  },
  {
    kind: "list",
    label: "Built-in ND",
    unit: "stops",
    bounds: [0, 20],
    get: (b) => b.nd,
    set: (b, nd) => ({ ...b, nd }),
  },
  figure(
    "Squeeze",
    "×",
    [1, 2.5],
    (b) => b.squeeze,
    (squeeze) => ({ squeeze }),
    2,
  ),
  figure(
    "Reads out in",
    "ms",
    [0, 100],
    (b) => b.readoutMilliseconds,
    (ms) => ({ readoutMilliseconds: ms }),
    1,
  ),
  figure(
    "Bit rate",
    "Mb/s",
    [0.1, 10_000],
    (b) => b.bitRateMbps,
    (bitRateMbps) => ({ bitRateMbps }),
  ),
  figure(
    "Draws",
    "W",
    [0, 1000],
    (b) => b.watts,
    (watts) => ({ watts }),
    1,
  ),
  weight(),
];
