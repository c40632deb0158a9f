import { labToXyz } from "./lab.ts";
import type { Triple } from "./matrix3.ts";

/*
 * The 24-patch colour rendition chart of McCamy, Marcus & Davidson 1976 (J. Appl. Photogr. Eng. 2(3) 95-99):
 * four rows of six, read row by row from the dark-skin patch; the last row holds the six neutrals, white to black.
 * Indices are the published numbers less one.
 */

export const chart24Columns = 6;
export const chart24Rows = 4;

/** Published names, in order. */
export const chart24Names: readonly string[] = [
  "dark skin",
  "light skin",
  "blue sky",
  "foliage",
  "blue flower",
  "bluish green",
  "orange",
  "purplish blue",
  "moderate red",
  "purple",
  "yellow green",
  "orange yellow",
  "blue",
  "green",
  "red",
  "yellow",
  "magenta",
  "cyan",
  "white 9.5",
  "neutral 8",
  "neutral 6.5",
  "neutral 5",
  "neutral 3.5",
  "black 2",
];

/** The six neutrals, light to dark. */
export const chart24Neutrals: readonly number[] = [18, 19, 20, 21, 22, 23];

/** XYZ of the D50 white of ICC.1, to which the published Lab values refer. */
export const chart24White: Triple = [0.9642, 1, 0.8249];

// Manufacturer's Lab, D50, 2°, charts made from November 2014; as kept in colour-science/colour (BSD-3-Clause).
export const chart24LabFrom2014: readonly Triple[] = [
  [37.54, 14.37, 14.92],
  [64.66, 19.27, 17.5],
  [49.32, -3.82, -22.54],
  [43.46, -12.74, 22.72],
  [54.94, 9.61, -24.79],
  [70.48, -32.26, -0.37],
  [62.73, 35.83, 56.5],
  [39.43, 10.75, -45.17],
  [50.57, 48.64, 16.67],
  [30.1, 22.54, -20.87],
  [71.77, -24.13, 58.19],
  [71.51, 18.24, 67.37],
  [28.37, 15.42, -49.8],
  [54.38, -39.72, 32.27],
  [42.43, 51.05, 28.62],
  [81.8, 2.67, 80.41],
  [50.63, 51.28, -14.12],
  [49.57, -29.71, -28.32],
  [95.19, -1.03, 2.93],
  [81.29, -0.57, 0.44],
  [66.89, -0.75, -0.06],
  [50.76, -0.13, 0.14],
  [35.63, -0.46, -0.48],
  [20.64, 0.07, -0.46],
];

// The same, charts made before November 2014. The two sets differ by 0.85 CIEDE2000 on average, 1.95 on white.
export const chart24LabBefore2014: readonly Triple[] = [
  [37.986, 13.555, 14.059],
  [65.711, 18.13, 17.81],
  [49.927, -4.88, -21.905],
  [43.139, -13.095, 21.905],
  [55.112, 8.844, -25.399],
  [70.719, -33.397, -0.199],
  [62.661, 36.067, 57.096],
  [40.02, 10.41, -45.964],
  [51.124, 48.239, 16.248],
  [30.325, 22.976, -21.587],
  [72.532, -23.709, 57.255],
  [71.941, 19.363, 67.857],
  [28.778, 14.179, -50.297],
  [55.261, -38.342, 31.37],
  [42.101, 53.378, 28.19],
  [81.733, 4.039, 79.819],
  [51.935, 49.986, -14.574],
  [51.038, -28.631, -28.638],
  [96.539, -0.425, 1.186],
  [81.257, -0.638, -0.335],
  [66.766, -0.734, -0.504],
  [50.867, -0.153, -0.27],
  [35.656, -0.421, -1.231],
  [20.461, -0.079, -0.973],
];

/** XYZ of every patch under D50, Y = 1 being a perfect diffuser. */
export const chart24Xyz: readonly Triple[] = chart24LabFrom2014.map((lab) => labToXyz(lab, chart24White));
