import type { JudgedShot } from "./judge-shot.ts";

/** One time that a camera filmed the chart. */
export interface ChartShown {
  readonly device: string;
  readonly judged: JudgedShot;
  /** Sitting time; null where the clock did not place the recording. */
  readonly sittingAt: number | null;
}

/** What serves from one chart to the next: each camera's shot, and its other exposures. */
export interface Setup {
  /** Sitting time, [from, to); null: open. */
  readonly from: number | null;
  readonly to: number | null;
  readonly shots: ReadonlyMap<string, ChartShown>;
  readonly otherExposures: ReadonlyMap<string, readonly ChartShown[]>;
}

/** Charts filmed closer together than this are for one setup: it is carried from camera to camera. */
const oneSetupSeconds = 180;
/** Middle greys of two shots that differ by this much, code value, are two exposures. */
const otherExposure = 0.02;

/**
 * Which charts belong together: a chart serves from when it was filmed until the next; the first also serves what
 * was filmed before it. A camera that was not shown the chart anew keeps its last one.
 *
 * Where the clock does not say when, every camera's best chart is taken for one setup.
 */
export function planSetups(shown: readonly ChartShown[]): Setup[] {
  const usable = shown.filter(({ judged }) => judged.refused === null);
  if (usable.length === 0) return [];
  const devices = [...new Set(usable.map(({ device }) => device))];
  if (usable.some(({ sittingAt }) => sittingAt === null)) {
    // Of the recording that shows it first: what came later may have been in other light.
    const firsts = devices.flatMap((device) => {
      const mine = usable.filter((shown) => shown.device === device);
      const hashOf = ({ judged }: ChartShown): string => judged.shot.sighting.recording.hash;
      return mine.filter((shown) => hashOf(shown) === hashOf(mine[0]!));
    });
    return [oneSetup(null, null, firsts, devices, [])];
  }
  const inTime = [...usable].sort((p, q) => p.sittingAt! - q.sittingAt!);
  const clusters: ChartShown[][] = [];
  for (const one of inTime) {
    const open = clusters.at(-1);
    if (open && one.sittingAt! - open[open.length - 1]!.sittingAt! <= oneSetupSeconds) open.push(one);
    else clusters.push([one]);
  }
  // Until every camera has been shown the chart, what comes is still for the first setup.
  return clusters.map((own, k) => {
    const before = clusters.slice(0, k).reverse();
    const after = clusters.slice(k + 1);
    return oneSetup(
      k === 0 ? null : own[0]!.sittingAt,
      clusters[k + 1]?.[0]?.sittingAt ?? null,
      own,
      devices,
      [...before, ...after],
    );
  });
}

function oneSetup(
  from: number | null,
  to: number | null,
  own: readonly ChartShown[],
  devices: readonly string[],
  elsewhere: readonly (readonly ChartShown[])[],
): Setup {
  const shots = new Map<string, ChartShown>();
  const otherExposures = new Map<string, readonly ChartShown[]>();
  for (const device of devices) {
    const cluster = [own, ...elsewhere].find((one) => one.some((shown) => shown.device === device));
    if (!cluster) continue;
    const mine = cluster.filter((shown) => shown.device === device);
    const best = mine.reduce((p, q) => (worthOf(q) > worthOf(p) ? q : p));
    shots.set(device, best);
    const greyOf = ({ judged }: ChartShown): number => judged.shot.reading.codes[21]![1];
    otherExposures.set(
      device,
      mine.filter((shown) => shown !== best && Math.abs(greyOf(shown) - greyOf(best)) > otherExposure),
    );
  }
  return { from, to, shots, otherExposures };
}

/** Whole before covered, bright before dark, large before small. */
function worthOf({ judged: { shot, forMatch, problems } }: ChartShown): number {
  const { codes, patchPixels } = shot.reading;
  return (
    -2 * (forMatch.unusable?.length ?? 0) -
    0.3 * problems.length +
    2 * Math.min(codes[18]![1], 0.9) +
    0.2 * Math.log2(Math.max(patchPixels, 1))
  );
}
