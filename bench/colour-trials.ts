import { once } from "node:events";
import { Worker } from "node:worker_threads";
import { chartCorners } from "#science/vision/chart-place";
import { chartlessTrial, chartTrial, type TrialWish } from "#science/vision/chart-trials";
import { findChart } from "#science/vision/find-chart";

/** Drawn pictures in which the chart is looked for; with `none` there is none in them. */
export interface Trials {
  readonly firstSeed: number;
  readonly count: number;
  readonly wish: TrialWish;
  readonly none?: true;
}

/** How far the worst corner of each find lies from the truth, patches; NaN where there was no chart to find. */
export function findIn({ firstSeed, count, wish, none }: Trials): number[] {
  const errors: number[] = [];
  for (let seed = firstSeed; seed < firstSeed + count; seed++) {
    if (none) {
      if (findChart(chartlessTrial(seed, wish))) errors.push(Number.NaN);
      continue;
    }
    const trial = chartTrial(seed, wish);
    const find = findChart(trial.picture);
    if (!find) continue;
    const [p, q] = trial.corners;
    const patch = Math.hypot(q[0] - p[0], q[1] - p[1]) / 6;
    errors.push(
      Math.max(
        ...chartCorners(find.place).map(
          ([x, y], c) => Math.hypot(x - trial.corners[c]![0], y - trial.corners[c]![1]) / patch,
        ),
      ),
    );
  }
  return errors;
}

/** So many at once: drawing and looking take a processor each. */
const workers = 2;
/** Pictures that a worker is handed at a time. */
const portion = 25;

/** The same for each of several trials, shared out over two threads; the answers in the order asked. */
export async function findInAll(all: readonly Trials[]): Promise<number[][]> {
  const answers = all.map((): number[] => []);
  const portions = all.flatMap((trials, k) =>
    Array.from({ length: Math.ceil(trials.count / portion) }, (_, p) => ({
      k,
      trials: {
        ...trials,
        firstSeed: trials.firstSeed + p * portion,
        count: Math.min(portion, trials.count - p * portion),
      },
    })),
  );
  const work = async (): Promise<void> => {
    const worker = new Worker(new URL("./colour-trials-worker.js", import.meta.url));
    try {
      for (let next = portions.shift(); next; next = portions.shift()) {
        const { k, trials } = next;
        worker.postMessage(trials);
        // A thread that fails makes the wait fail.
        const [found] = (await once(worker, "message")) as [number[]];
        answers[k]!.push(...found);
      }
    } finally {
      await worker.terminate();
    }
  };
  await Promise.all(Array.from({ length: workers }, work));
  return answers;
}
