import type { MeasureContext } from "#documents/chapter";
import type { ColourResult } from "#documents/chapter-results";
import type { SmallPicture } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import type { Camera } from "./colour-inputs.ts";
import type { JudgedShot } from "./judge-shot.ts";

const stillWidth = 960;
/** So long after the chart was read it has left the picture; then the sharpest picture of the next minute is taken. */
const chartGoneSeconds = 8;
const lookSeconds = 60;
const looks = 24;

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
      hash: recording.hash,
      at,
    });
  };
  for (const [k, camera] of cameras.entries()) {
    if (k > 0 && camera.device !== other) continue;
    const chart = judged.get(camera.device);
    const letter = k === 0 ? "a" : "b";
    const luts = k === 0 ? view : [];
    const recording = chart?.shot.sighting.recording ?? longest(camera);
    if (chart) await take(`${letter}-chart`, recording, chart.shot.at, luts);
    const at = await talkingMoment(recording, chart?.shot.at ?? null, context);
    await take(letter, recording, at, luts);
    if (k > 0 && matchLut) await take("b-matched", recording, at, [matchLut, ...view]);
  }
  return stills;
}

/**
 * A moment with the sitter and without the chart: the sharpest key picture of the minute after it, or of what there
 * is in a short recording.
 */
async function talkingMoment(
  recording: Recording,
  chartAt: number | null,
  context: MeasureContext,
): Promise<number> {
  const end = Math.max(0, lengthOf(recording) - 0.5);
  const from = chartAt === null ? 0 : Math.min(chartAt + chartGoneSeconds, end);
  const to = Math.min(end, from + lookSeconds);
  let best = { at: to, sharpness: -1 };
  let looked = Number.NEGATIVE_INFINITY;
  const wish = { maxWidth: 320, startSeconds: from, endSeconds: Math.max(to, from + 0.1) };
  for await (const picture of context.media.keyPictures(recording, wish)) {
    const at = picture.atSeconds;
    if (at < from || at > to || at - looked < lookSeconds / looks) continue;
    looked = at;
    const sharpness = sharpnessOf(picture);
    if (sharpness > best.sharpness) best = { at, sharpness };
  }
  return best.at;
}

/** Mean square of what green changes from pixel to pixel across. */
function sharpnessOf({ width, height, rgb }: SmallPicture): number {
  let sum = 0;
  for (let y = 0; y < height; y++) {
    for (let i = (y * width + 1) * 3 + 1; i < (y + 1) * width * 3; i += 3)
      sum += (rgb[i]! - rgb[i - 3]!) ** 2;
  }
  return sum / (width * height);
}

function longest({ recordings }: Camera): Recording {
  return recordings.reduce((p, q) => (lengthOf(q) > lengthOf(p) ? q : p));
}

function lengthOf(recording: Recording): number {
  return recording.readableSeconds ?? recording.probe.durationSeconds;
}
