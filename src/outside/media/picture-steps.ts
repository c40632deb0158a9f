import { basename } from "node:path";
import { ExplainedError } from "#errors/explained-error";
import type { FilterStep } from "./filter-graph.ts";
import { LibraryFault } from "./library.ts";

/** Turns a picture upright. */
export function uprightSteps(clockwiseDegrees: number): FilterStep[] {
  switch (((Math.round(clockwiseDegrees / 90) % 4) + 4) % 4) {
    case 1:
      return [["transpose", { dir: "clock" }]];
    case 2:
      return [["hflip"], ["vflip"]];
    case 3:
      return [["transpose", { dir: "cclock" }]];
    default:
      return [];
  }
}

/** Full-range RGB in 16 bits through each LUT in order, tetrahedrally. Nothing where there are none. */
export function lutSteps(luts: readonly string[]): FilterStep[] {
  if (luts.length === 0) return [];
  return [
    ["zscale", { matrix: "gbr", range: "full", dither: "none", filter: "bilinear" }],
    ["format", { pix_fmts: "gbrp16le" }],
    ...luts.map((file): FilterStep => ["lut3d", { file, interp: "tetrahedral" }]),
  ];
}

/** A LUT that could not be read, as advice; anything else passes through. */
export function explainLut(luts: readonly string[], cause: unknown): unknown {
  if (!(cause instanceof LibraryFault) || !/lut3d/.test(cause.step)) return cause;
  const names = luts.map((path) => basename(path)).join(", ");
  return new ExplainedError(
    "LUT_INVALID",
    {
      happened: `The LUT ${names} could not be read.`,
      means: "The picture was not made, because its colour would be wrong; nothing was changed.",
      doNext:
        "Check that the file is there and is a three-dimensional .cube, then give the same command again.",
    },
    { luts, step: cause.step, library: cause.saying },
    { cause },
  );
}
