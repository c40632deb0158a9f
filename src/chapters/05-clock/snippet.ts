import type { ClockResult } from "#documents/chapter-results";
import type { Clap, Placed } from "./claps.ts";
import { listeningRateHz } from "./constants.ts";
import { localTime } from "./line.ts";
import { framesPerSecond } from "./onsets.ts";

const snippetSeconds = 0.06;
const snippetRateHz = 8000;

/**
 * A short stretch of every recording around one moment, twice: by the time since each file began, and as placed.
 *
 * @param devices - Device of each hash.
 */
export async function snippetAround(
  placed: readonly Placed[],
  claps: readonly Clap[],
  devices: ReadonlyMap<string, string>,
): Promise<ClockResult["snippet"]> {
  if (placed.length < 2) return null;
  const at =
    claps.reduce<Clap | null>((most, c) => (most && most.heardBy.length >= c.heardBy.length ? most : c), null)
      ?.at ?? loudOnset(placed);
  const from = Math.max(0, at - snippetSeconds / 3);
  const traces: NonNullable<ClockResult["snippet"]>["traces"] = [];
  for (const { hash, listened, line } of placed) {
    const localFrom = localTime(line, from);
    if (localFrom < 0 || localFrom + snippetSeconds > listened.seconds) continue;
    const trace = async (localSeconds: number) => {
      const samples = Math.round(snippetSeconds * listeningRateHz);
      const sound = new Float32Array(samples + 2);
      await listened.sound.read(Math.round(localSeconds * listeningRateHz) - 1, sound);
      // Every second sample, after a small filter against what would fold.
      return Array.from({ length: snippetSeconds * snippetRateHz }, (_, i) => {
        const v = 0.25 * sound[2 * i]! + 0.5 * sound[2 * i + 1]! + 0.25 * sound[2 * i + 2]!;
        return Number(v.toFixed(5));
      });
    };
    traces.push({
      hash,
      device: devices.get(hash) ?? "",
      asRecorded: await trace(from),
      asPlaced: await trace(localFrom),
    });
  }
  return traces.length < 2 ? null : { at, sampleRateHz: snippetRateHz, traces };
}

/** The moment of the steepest rise of the master that most others were running at. */
function loudOnset(placed: readonly Placed[]): number {
  const [master, ...others] = placed;
  const { onsets } = master!.listened;
  let best = { at: 0, score: Number.NEGATIVE_INFINITY };
  for (let i = 4; i < onsets.frames; i++) {
    const at = (i + 1) / framesPerSecond;
    let rise = 0;
    for (const band of onsets.bands) rise += band[i]!;
    const score = rise + 0.3 * onsets.levelDb[i]!;
    if (score <= best.score - 100) continue;
    const running = others.filter((o) => {
      const t = localTime(o.line, at);
      return t > 0.2 && t < o.listened.seconds - 0.2;
    }).length;
    if (score + 100 * running > best.score) best = { at, score: score + 100 * running };
  }
  return best.at;
}
