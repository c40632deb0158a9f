import { colourDifferenceCie2000 } from "#science/colour/ciede2000";
import { xyzToLab } from "#science/colour/lab";
import { applyMatrix3, type Matrix3, type Triple } from "#science/colour/matrix3";
import { bt709, rgbToXyzMatrix } from "#science/colour/primaries";
import { matchScene, type SceneMatch, type SeenColours } from "#science/colour/scene-match";
import { chromaticityToXyz, whiteD65 } from "#science/colour/white-points";
import { camera, columns, nm, randomOf, sensorSet } from "./colour-match-cases.ts";
import { type Surface, smoothSurfaces } from "./colour-surfaces.ts";

/*
 * Scenes without a chart: two sensors look at one face, clothes and room from two places. Each sees the surfaces in
 * other proportions and other shading, and has surfaces of its own in the picture.
 */

/** What a match of one scene is worth, CIEDE2000 on the surfaces that both cameras see. */
export interface SceneFigures {
  /** One gain of light for all channels, by the scene's white. */
  readonly asRecorded: number;
  /** One gain a channel by the scene's white: what a grey card would give. */
  readonly byWhite: number;
  /** NaN where the match was refused. */
  readonly matched: number;
  readonly match: SceneMatch | null;
}

const lightNames = ["D65", "A", "D50", "LED-B3", "FL2"] as const;
/** Points that each surface is seen at in one moment. */
const points = 12;

/**
 * One scene from a seed, matched and judged.
 *
 * @param isHard - The two measured sensors, and surfaces with the chart's published spectra: as unlike as two sensors
 *   get. Else any two of the six simulated ones, and skins, cloths and things of the surfaces off the chart.
 */
export function sceneFigures(seed: number, isHard: boolean): SceneFigures {
  const chance = randomOf(7919 * seed + 13);
  for (let k = 0; k < 5; k++) chance();
  const some = <T>(from: readonly T[]): T => from[Math.floor(from.length * chance())]!;
  const sensors = sensorSet();
  const a = isHard ? 0 : Math.floor(sensors.length * chance());
  const b = isHard ? 1 : (a + 1 + Math.floor((sensors.length - 1) * chance())) % sensors.length;
  const light = columns("cie1931_2deg_and_illuminants_5nm.csv").get(some(lightNames))!;
  const balance: Triple = [0.5 + 0.7 * chance(), 0.6 + 0.4 * chance(), 0.5 + 0.7 * chance()];
  const seenByA = camera(sensors[a]!, light, [1, 1, 1]);
  const seenByB = camera(sensors[b]!, light, balance);
  const [shared, ownA, ownB] = isHard ? chartSurfaces(chance) : drawnSurfaces(seed, chance);
  const sizes = (): number[] => [...shared, ...ownA].map(() => 0.3 + chance());
  const [sizesA, sizesB] = [sizes(), sizes()];
  const seen = (lights: readonly Triple[], size: readonly number[]): SeenColours => {
    const [out, shares]: [Triple[], number[]] = [[], []];
    for (const [k, [r, g, b]] of lights.entries()) {
      const share = size[k]! * (0.8 + 0.4 * chance());
      for (let j = 0; j < points; j++) {
        const shade = 0.35 + 0.65 * chance();
        const grain = (): number => shade * (1 + 0.02 * (chance() - 0.5));
        out.push([r * grain(), g * grain(), b * grain()]);
        shares.push(share);
      }
    }
    const total = shares.reduce((sum, v) => sum + v, 0);
    return { lights: out, shares: shares.map((v) => v / total) };
  };
  const pairs = Array.from({ length: 3 + Math.floor(4 * chance()) }, () => ({
    to: seen([...shared, ...ownA].map(seenByA), sizesA),
    from: seen([...shared, ...ownB].map(seenByB), sizesB),
  }));
  const match = matchScene(pairs);
  const judged = (matrix: Matrix3): number =>
    shared.reduce(
      (sum, surface) =>
        sum + colourDifferenceCie2000(labOf(seenByA(surface)), labOf(applyMatrix3(matrix, seenByB(surface)))),
      0,
    ) / shared.length;
  const bright =
    (0.2126 + 0.7152 + 0.0722) / (0.2126 * balance[0] + 0.7152 * balance[1] + 0.0722 * balance[2]);
  return {
    asRecorded: judged(diagonal([bright, bright, bright])),
    byWhite: judged(diagonal([1 / balance[0], 1 / balance[1], 1 / balance[2]])),
    matched: match ? judged(match.matrix) : Number.NaN,
    match,
  };
}

type Spectra = readonly ArrayLike<number>[];

/** A face, a wall and clothes; then what each camera alone sees. */
function drawnSurfaces(seed: number, chance: () => number): [Spectra, Spectra, Spectra] {
  const all = smoothSurfaces(nm, seed);
  const some = (kind: Surface["kind"]): Float64Array => {
    const own = all.filter((surface) => surface.kind === kind);
    return own[Math.floor(own.length * chance())]!.reflectance;
  };
  const paint = 0.4 + 0.3 * chance();
  const shared = [some("skin"), some("skin"), nm.map(() => paint)];
  for (let left = 5 + Math.floor(3 * chance()); left > 0; left--)
    shared.push(some(chance() < 0.6 ? "cloth" : "things"));
  return [shared, [some("things"), some("foliage")], [some("things"), some("foliage")]];
}

/** The chart's two skins and six to eight more of its patches; then two more for each camera alone. */
function chartSurfaces(chance: () => number): [Spectra, Spectra, Spectra] {
  const spectra = [...columns("chart24_reflectance_ohta1997.csv").values()].slice(1);
  const [left, shared] = [spectra.slice(2), spectra.slice(0, 2)];
  const take = (count: number): number[][] =>
    Array.from({ length: count }, () => left.splice(Math.floor(left.length * chance()), 1)[0]!);
  shared.push(...take(6 + Math.floor(3 * chance())));
  return [shared, take(2), take(2)];
}

const toXyz = rgbToXyzMatrix(bt709);
const white = chromaticityToXyz(whiteD65);
const labOf = (light: Triple): Triple => xyzToLab(applyMatrix3(toXyz, light), white);

function diagonal([r, g, b]: Triple): Matrix3 {
  return [
    [r, 0, 0],
    [0, g, 0],
    [0, 0, b],
  ];
}
