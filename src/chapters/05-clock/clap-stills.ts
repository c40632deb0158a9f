import type { MeasureContext } from "#documents/chapter";
import type { ClockResult } from "#documents/chapter-results";
import type { Recording } from "#documents/recording";

type Row = ClockResult["recordings"][number];
type Clap = ClockResult["claps"][number];

const stillWidth = 640;
/** So many claps are shown side by side; the others are told by their times. */
const mostClaps = 4;

/** The frame of each camera at the claps that were shared, and the frames around a slate that was seen. */
export async function takeClapStills(
  rows: readonly Row[],
  claps: readonly Clap[],
  recordings: readonly Recording[],
  context: MeasureContext,
): Promise<{ rows: Row[]; claps: Clap[] }> {
  const byHash = new Map(recordings.map((recording) => [recording.hash, recording]));
  const still = (name: string, recording: Recording, at: number): Promise<string> => {
    context.signal.throwIfAborted();
    return context.still(`${name}.jpg`, recording, at, { maxWidth: stillWidth });
  };
  const shown: Clap[] = [];
  for (const [k, clap] of claps.entries()) {
    const heardBy: Clap["heardBy"] = [];
    for (const [i, heard] of clap.heardBy.entries()) {
      const recording = byHash.get(heard.hash);
      const picture = recording?.probe.picture;
      if (k >= mostClaps || !recording || !picture || heard.frame === undefined) {
        heardBy.push(heard);
        continue;
      }
      const { num, den } = picture.frameRate;
      // The middle of the frame: whatever is rounded on the way, it stays this frame.
      const at = picture.startSeconds + ((heard.frame + 0.5) * den) / num;
      heardBy.push({
        ...heard,
        still: await still(`clap-${k + 1}-${i + 1}-${recording.device}`, recording, at),
      });
    }
    shown.push({ ...clap, heardBy });
  }
  const whole: Row[] = [];
  for (const [i, row] of rows.entries()) {
    const slate = row.picture?.slate;
    const recording = byHash.get(row.hash);
    if (!slate || !recording) {
      whole.push(row);
      continue;
    }
    const stills: { at: number; path: string }[] = [];
    for (const step of [-1, 0, 1]) {
      const at = slate.seenAt + step * slate.frameSeconds;
      if (at < 0) continue;
      const path = await still(`slate-${i + 1}-${stills.length + 1}`, recording, at + slate.frameSeconds / 2);
      stills.push({ at: Number(at.toFixed(5)), path });
    }
    whole.push({ ...row, picture: { ...row.picture!, slate: { ...slate, stills } } });
  }
  return { rows: whole, claps: shown };
}
