import type { MeasureContext } from "#documents/chapter";
import type { WatchResult } from "#documents/chapter-results";
import type { Recording } from "#documents/recording";
import type { WatchKind, WatchRange } from "./ranges-from.ts";
import type { JudgedRanges } from "./said-pictures.ts";

type Watched = WatchResult["recordings"][number];

const stillWidth = 960;
/** So far from a range's edge its good neighbours are taken: the edge itself may have caught a little of it. */
const besideSeconds = 0.12;
/** Of one recording, the worst so many are shown beside a good frame; a still costs a tenth of a second. */
const mostCompared = 24;
/** What is told by comparing: for these a good frame stands beside. */
const compared: ReadonlySet<WatchKind> = new Set(["soft", "moved", "bump", "bright", "dark", "white-drift"]);

/** The frame that proves each range, and beside it the good frames before and after, where there are any. */
export async function takeProofs(
  recording: Recording,
  index: number,
  { avoid, overruled }: JudgedRanges,
  context: MeasureContext,
): Promise<{ ranges: Watched["ranges"]; overruled: NonNullable<Watched["overruled"]> }> {
  const picture = recording.probe.picture!;
  const end = Math.min(
    picture.startSeconds + picture.durationSeconds,
    recording.readableSeconds ?? Number.POSITIVE_INFINITY,
  );
  const base = recording.path.replace(/^.*[\\/]/, "").replace(/[^\w.-]+/g, "-");
  const still = (name: string, at: number): Promise<string> => {
    context.signal.throwIfAborted();
    return context.still(`${index + 1}-${base}-${name}.jpg`, recording, at, { maxWidth: stillWidth });
  };
  const all = [...avoid, ...overruled];
  const isGood = (at: number): boolean =>
    at >= picture.startSeconds && at < end - 0.05 && !all.some((r) => at >= r.start && at < r.end);
  const worst = new Set(avoid.toSorted((a, b) => b.severity - a.severity).slice(0, mostCompared));
  const proofOf = async ({ worstAt, ...range }: WatchRange, name: string) =>
    range.kind === "stopped"
      ? range
      : { ...range, still: await still(`${name}-${range.kind}`, worstAt), stillAt: rounded(worstAt) };
  const besideOf = async (range: WatchRange, at: number, name: string) => {
    if (!compared.has(range.kind) || !worst.has(range) || !isGood(at)) return undefined;
    return { at: rounded(at), path: await still(name, at) };
  };
  const ranges: Watched["ranges"] = [];
  for (const [k, range] of avoid.entries()) {
    const proven = await proofOf(range, `${k + 1}`);
    const before = await besideOf(range, range.start - besideSeconds, `${k + 1}-before`);
    const after = await besideOf(range, range.end + besideSeconds, `${k + 1}-after`);
    ranges.push({
      ...proven,
      ...(before && { before }),
      ...(after && { after }),
    });
  }
  const passed: NonNullable<Watched["overruled"]> = [];
  for (const [k, range] of overruled.entries()) passed.push(await proofOf(range, `fine-${k + 1}`));
  return { ranges, overruled: passed };
}

const rounded = (value: number): number => Math.round(value * 1000) / 1000;
