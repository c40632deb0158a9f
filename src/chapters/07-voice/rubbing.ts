import { air, type BandLevels, chest, framesPerSecond, quantile, rumble, sibilance } from "./bands.ts";
import { joined, type Stretch } from "./damage.ts";
import type { SpeechMeasure } from "./speech-measure.ts";

/** Decibels over the usual ratio of lav to boom at which cloth is heard, below 200 Hz and above 4 kHz. */
const lowExcessDb = 12;
const highExcessDb = 10;
/** Without a second microphone only thumps can be told from speech. */
const aloneExcessDb = 18;
/** Shorter knocks than this, when they come alone, are left in: a plosive, a swallow. */
const leastSeconds = 0.12;
const joinSeconds = 0.5;

/**
 * Cloth on the lav: thumps and friction that the worn microphone hears and the hanging one does not.
 *
 * Each band's ratio lav to boom is compared with its own median over speech, so distance, tone and gain of the
 * two fall out. What both hear alike (a door, a chair) is not rustle.
 *
 * @returns Stretches in track time, in order, not touching.
 */
export function rubbingOf(
  lav: BandLevels,
  lavSpeech: SpeechMeasure,
  boom: BandLevels | null,
  boomSpeech: SpeechMeasure | null,
): Stretch[] {
  const frames = lav.frames;
  const usual = (band: number): number => {
    if (!boom || !boomSpeech) return 0;
    const ratios: number[] = [];
    for (let i = 0; i < frames; i++) {
      if (lavSpeech.speaks[i] && boomSpeech.speaks[i]) ratios.push(lav.at(i, band) - boom.at(i, band));
    }
    return ratios.length > 0 ? quantile(ratios, 0.5) : 0;
  };
  const bands = [rumble, chest, sibilance, air];
  const ratio = new Map(bands.map((band) => [band, usual(band)]));
  const floor = new Map(bands.map((band) => [band, floorOf(lav, band)]));
  // Heard at all: near the voice's own level in that band, and out of the band's own floor.
  const audible = (i: number, band: number): boolean =>
    lav.at(i, band) > lavSpeech.bands[band]! - 12 && lav.at(i, band) > floor.get(band)! + 10;
  const excess = (i: number, band: number): number => {
    if (!audible(i, band)) return 0;
    if (!boom)
      return band === rumble ? lav.at(i, band) - lavSpeech.bands[band]! - (aloneExcessDb - lowExcessDb) : 0;
    return lav.at(i, band) - boom.at(i, band) - ratio.get(band)!;
  };
  const found: Stretch[] = [];
  for (let i = 0; i < frames; i++) {
    const low = Math.max(excess(i, rumble), excess(i, chest));
    const high = Math.min(excess(i, sibilance), excess(i, air));
    if (low > lowExcessDb || high > highExcessDb) {
      found.push({ start: i / framesPerSecond, end: (i + 1) / framesPerSecond });
    }
  }
  const active = (stretch: Stretch): number =>
    found.reduce(
      (sum, f) => (f.start < stretch.end && f.end > stretch.start ? sum + 1 / framesPerSecond : sum),
      0,
    );
  return joined(found, joinSeconds).filter((stretch) => active(stretch) >= leastSeconds);
}

function floorOf(levels: BandLevels, band: number): number {
  const values: number[] = [];
  for (let i = 0; i < levels.frames; i++) {
    const level = levels.at(i, band);
    if (level > -110) values.push(level);
  }
  return values.length > 0 ? quantile(values, 0.1) : -120;
}
