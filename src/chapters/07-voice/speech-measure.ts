import { type BandLevels, bandCount, quantile, voiceBands } from "./bands.ts";

/** How loud the voice is in a microphone, and in which frames it sounds. */
export interface SpeechMeasure {
  /** Level of the voice bands over speech, dB. */
  readonly voiceDb: number;
  /** The same in the quietest tenth. */
  readonly floorDb: number;
  /** Median level of each band over speech frames. */
  readonly bands: readonly number[];
  /** 1 where the voice sounds. */
  readonly speaks: Uint8Array;
  /** Level of the voice bands in each frame, dB. */
  readonly level: Float64Array;
}

/** Frames within this many decibels of the loud moments count as speech. */
const speechDepthDb = 18;

/** Levels over speech, by the microphone's own loud moments. Zero frames give −120 everywhere. */
export function measureSpeech(levels: BandLevels): SpeechMeasure {
  const level = Float64Array.from({ length: levels.frames }, (_, i) => levels.together(i, voiceBands));
  const heard = level.filter((db) => db > -110);
  const loud = quantile(heard, 0.95);
  const speaks = Uint8Array.from(level, (db) => (db > loud - speechDepthDb ? 1 : 0));
  const over = (band: number): number => {
    const values: number[] = [];
    for (let i = 0; i < level.length; i++) if (speaks[i]) values.push(levels.at(i, band));
    return values.length > 0 ? quantile(values, 0.5) : -120;
  };
  return {
    voiceDb: quantile(
      level.filter((_, i) => speaks[i] === 1),
      0.5,
    ),
    floorDb: heard.length > 0 ? quantile(heard, 0.1) : -120,
    bands: Array.from({ length: bandCount }, (_, band) => over(band)),
    speaks,
    level,
  };
}
