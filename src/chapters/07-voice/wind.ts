import { type BandLevels, framesPerSecond, quantile, rumble } from "./bands.ts";
import { joined, type Stretch } from "./damage.ts";
import type { SpeechMeasure } from "./speech-measure.ts";

const leastSeconds = 0.8;
const overUsualDb = 15;

/**
 * Wind or blown air on a microphone: rumble under 90 Hz that stands for a second or so far over its usual level
 * and near that of the voice.
 */
export function windOf(levels: BandLevels, speech: SpeechMeasure): Stretch[] {
  const low = Float64Array.from({ length: levels.frames }, (_, i) => levels.at(i, rumble));
  const usual = quantile(
    low.filter((db) => db > -110),
    0.5,
  );
  const least = Math.max(usual + overUsualDb, speech.voiceDb - 6);
  const gusts: Stretch[] = [];
  for (let i = 0; i < low.length; i++) {
    if (low[i]! > least) gusts.push({ start: i / framesPerSecond, end: (i + 1) / framesPerSecond });
  }
  return joined(gusts, 0.3).filter((gust) => {
    const blown = gusts.filter((g) => g.start >= gust.start && g.end <= gust.end).length / framesPerSecond;
    return gust.end - gust.start >= leastSeconds && blown > 0.5 * (gust.end - gust.start);
  });
}
