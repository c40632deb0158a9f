import type { MeasureContext } from "#documents/chapter";
import type { ColourResult } from "#documents/chapter-results";
import type { Recording } from "#documents/recording";
import type { Camera } from "./colour-inputs.ts";
import type { JudgedShot } from "./judge-shot.ts";

const stillWidth = 960;
/** So long after the chart was read it has left the picture and the sitter talks. */
const afterChartSeconds = 14;

/** Takes the page's stills: both cameras talking and with the chart, B before and after. */
export async function takeStills(
  cameras: readonly Camera[],
  judged: ReadonlyMap<string, JudgedShot>,
  other: string | null,
  matchLut: string | null,
  viewLut: string | null,
  context: MeasureContext,
): Promise<ColourResult["stills"]> {
  const stills: ColourResult["stills"] = [];
  const view = viewLut ? [viewLut] : [];
  const take = async (
    name: ColourResult["stills"][number]["name"],
    recording: Recording,
    at: number,
    luts: readonly string[],
  ): Promise<void> => {
    context.signal.throwIfAborted();
    stills.push({
      name,
      path: await context.still(`${name}.jpg`, recording, at, { maxWidth: stillWidth, luts }),
    });
  };
  for (const [k, camera] of cameras.entries()) {
    if (k > 0 && camera.device !== other) continue;
    const chart = judged.get(camera.device);
    const letter = k === 0 ? "a" : "b";
    const luts = k === 0 ? view : [];
    const recording = chart?.shot.sighting.recording ?? longest(camera);
    if (chart) await take(`${letter}-chart`, recording, chart.shot.at, luts);
    const at = chart ? talkingMoment(recording, chart.shot.at) : lengthOf(recording) / 2;
    await take(letter, recording, at, luts);
    if (k > 0 && matchLut) await take("b-matched", recording, at, [matchLut, ...view]);
  }
  return stills;
}

/** Some seconds after the chart; in a short recording the farther of its two ends. */
function talkingMoment(recording: Recording, chartAt: number): number {
  const end = Math.max(0, lengthOf(recording) - 0.5);
  const after = chartAt + afterChartSeconds;
  if (after <= end) return after;
  return end - chartAt > chartAt ? end : Math.max(0, Math.min(end, chartAt / 3));
}

function longest({ recordings }: Camera): Recording {
  return recordings.reduce((p, q) => (lengthOf(q) > lengthOf(p) ? q : p));
}

function lengthOf(recording: Recording): number {
  return recording.readableSeconds ?? recording.probe.durationSeconds;
}
