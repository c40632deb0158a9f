import type { ClockResult } from "#documents/chapter-results";
import type { Clap, Placed } from "./claps.ts";
import { listeningRateHz } from "./constants.ts";
import { localTime } from "./line.ts";
import { framesPerSecond } from "./onsets.ts";

const snippetSeconds = 0.06;
const snippetRateHz = 8000;
/** Moments that are looked at before one is chosen. */
const moments = 30;

type Snippet = NonNullable<ClockResult["snippet"]>;

/**
 * A short stretch of every recording around one moment, twice: by the time since each file began, and as placed.
 *
 * The moment is a clap or a steep onset, and of these the one whose waveforms an eye will see to be alike.
 *
 * @param placed - The master first.
 * @param devices - Device of each hash.
 */
export async function snippetAround(
  placed: readonly Placed[],
  claps: readonly Clap[],
  devices: ReadonlyMap<string, string>,
): Promise<Snippet | null> {
  if (placed.length < 2) return null;
  let best: { at: number; traces: Snippet["traces"]; likeness: number } | null = null;
  for (const at of [...claps.map((clap) => clap.at), ...steepOnsets(placed)]) {
    const traces = await tracesAround(placed, at, devices);
    const [master, ...others] = traces;
    if (!master || others.length === 0) continue;
    const likeness = others.reduce(
      (sum, other) => sum + Math.abs(likenessOf(master.asPlaced, other.asPlaced)),
      0,
    );
    if (!best || likeness > best.likeness) best = { at, traces, likeness };
  }
  return best && { at: best.at, sampleRateHz: snippetRateHz, traces: best.traces };
}

async function tracesAround(
  placed: readonly Placed[],
  at: number,
  devices: ReadonlyMap<string, string>,
): Promise<Snippet["traces"]> {
  const from = Math.max(0, at - snippetSeconds / 3);
  const traces: Snippet["traces"] = [];
  for (const { hash, listened, line } of placed) {
    const localFrom = localTime(line, from);
    if (localFrom < 0 || localFrom + snippetSeconds > listened.seconds) continue;
    const trace = async (localSeconds: number) => {
      const sound = new Float32Array(Math.round(snippetSeconds * listeningRateHz) + 2);
      await listened.sound.read(Math.round(localSeconds * listeningRateHz) - 1, sound);
      // Every second sample, after a small filter against what would fold.
      return Array.from({ length: snippetSeconds * snippetRateHz }, (_, i) => {
        const v = 0.25 * sound[2 * i]! + 0.5 * sound[2 * i + 1]! + 0.25 * sound[2 * i + 2]!;
        return Number(v.toFixed(5));
      });
    };
    const asPlaced = await trace(localFrom);
    traces.push({ hash, device: devices.get(hash) ?? "", asRecorded: await trace(from), asPlaced });
  }
  return traces;
}

/** Cosine of two traces: 1 where they have one shape. */
function likenessOf(x: readonly number[], y: readonly number[]): number {
  let [xy, xx, yy] = [0, 0, 0];
  for (let i = 0; i < x.length; i++) {
    xy += x[i]! * y[i]!;
    xx += x[i]! ** 2;
    yy += y[i]! ** 2;
  }
  return xx > 0 && yy > 0 ? xy / Math.sqrt(xx * yy) : 0;
}

/** The steepest rises of the master, half a second apart at least, first those that most others were running at. */
function steepOnsets(placed: readonly Placed[]): number[] {
  const [master, ...others] = placed;
  const { onsets } = master!.listened;
  const rises: { at: number; score: number }[] = [];
  const slot = Math.round(framesPerSecond / 2);
  for (let first = 4; first < onsets.frames; first += slot) {
    let best = { at: 0, score: Number.NEGATIVE_INFINITY };
    for (let i = first; i < Math.min(onsets.frames, first + slot); i++) {
      let rise = 0;
      for (const band of onsets.bands) rise += band[i]!;
      const score = rise + 0.5 * onsets.levelDb[i]!;
      if (score > best.score) best = { at: (i + 1) / framesPerSecond, score };
    }
    rises.push(best);
  }
  const running = (at: number) =>
    others.filter((o) => {
      const t = localTime(o.line, at);
      return t > 0.2 && t < o.listened.seconds - 0.2;
    }).length;
  return rises
    .map((rise) => ({ at: rise.at, score: rise.score + 100 * running(rise.at) }))
    .sort((a, b) => b.score - a.score)
    .slice(0, moments)
    .map(({ at }) => at);
}
