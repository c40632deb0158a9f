import type { MediaReader } from "#documents/media-reader";
import { loadFft } from "#science/signal/fft";
import { type BandLevels, BandMeter, frameSamples, voiceBands } from "./bands.ts";
import { DamageWatch, type Stretch } from "./damage.ts";
import { type Hum, HumListener } from "./hum.ts";
import { inStep } from "./in-step.ts";
import { makeLagMeter } from "./listen.ts";
import { sittingTimeOf, spansOf } from "./spans.ts";
import { measureSpeech, type SpeechMeasure } from "./speech-measure.ts";
import { soundRange, type TrackPart, trackBlocks, trackRateHz } from "./track.ts";

/** Everything one pass over a microphone's track tells; stretches in track time. */
export interface MicLook {
  readonly levels: BandLevels;
  readonly speech: SpeechMeasure;
  readonly clipped: readonly Stretch[];
  readonly dropouts: readonly Stretch[];
  readonly hum: Hum | null;
}

export interface CloseLook {
  readonly lav: MicLook | null;
  readonly boom: MicLook | null;
  /** By how much the boom lags the lav, seconds, as a share of certainty; `null` with one microphone. */
  readonly lag: { readonly lagSeconds: number; readonly polarity: 1 | -1; readonly clear: number } | null;
}

const blockSamples = 4096;

class Listener {
  readonly meter: BandMeter;
  readonly hum: HumListener;
  readonly watches = new Map<TrackPart, { watch: DamageWatch; from: number }>();
  constructor(makeFft: Awaited<ReturnType<typeof loadFft>>) {
    this.meter = new BandMeter(makeFft(frameSamples));
    this.hum = new HumListener(makeFft);
  }
  /** Damage is looked for in the device's own samples, before any change of rate smooths it. */
  readonly tap = (part: TrackPart, localStart: number, samples: Float32Array): void => {
    let entry = this.watches.get(part);
    if (!entry) this.watches.set(part, (entry = { watch: new DamageWatch(trackRateHz), from: localStart }));
    entry.watch.push(samples);
  };
  look(trackStart: number): MicLook {
    this.meter.finish();
    const clipped: Stretch[] = [];
    const dropouts: Stretch[] = [];
    for (const [part, { watch, from }] of this.watches) {
      const toTrack = trackTimeOf(part, trackStart);
      const place = (s: Stretch): Stretch => ({ start: toTrack(s.start + from), end: toTrack(s.end + from) });
      clipped.push(...watch.clipped.map(place));
      dropouts.push(...watch.holes.map(place));
    }
    const speech = measureSpeech(this.meter.levels);
    return { levels: this.meter.levels, speech, clipped, dropouts, hum: this.hum.read() };
  }
}

/** Local time of a recording to track time. */
export function trackTimeOf(part: TrackPart, trackStart: number): (local: number) => number {
  const { start, end } = soundRange(part.recording);
  const spans = spansOf(part.placement, start, end);
  return (local) => {
    const span = spans.findLast((s) => s.localStart <= local) ?? spans[0]!;
    return sittingTimeOf(span, local) - trackStart;
  };
}

/**
 * One pass over both microphones at once: levels by band, damage, hum, and the lag between them. Memory: two
 * blocks, and 8 numbers a microphone for each 20 ms.
 */
export async function lookClosely(
  media: MediaReader,
  lavParts: readonly TrackPart[],
  boomParts: readonly TrackPart[],
  track: { readonly start: number; readonly samples: number },
  signal: AbortSignal,
  progress: (done: number) => void,
): Promise<CloseLook> {
  const makeFft = await loadFft();
  const lav = lavParts.length > 0 ? new Listener(makeFft) : null;
  const boom = boomParts.length > 0 ? new Listener(makeFft) : null;
  const meter = lav && boom ? await makeLagMeter(0.03) : null;
  const blocks = (parts: readonly TrackPart[], listener: Listener): AsyncIterable<Float32Array> =>
    trackBlocks(media, parts, { ...track, tap: listener.tap, signal });
  let done = 0;
  for await (const [a, b] of inStep(
    lav ? blocks(lavParts, lav) : null,
    boom ? blocks(boomParts, boom) : null,
    blockSamples,
  )) {
    for (const [listener, samples] of [
      [lav, a],
      [boom, b],
    ] as const) {
      if (!listener || !samples) continue;
      listener.meter.push(samples);
      listener.hum.push(samples);
    }
    if (meter && a?.length === blockSamples) meter.add(a, b!);
    done += (a ?? b)!.length;
    progress(Math.min(1, done / track.samples));
    signal.throwIfAborted();
  }
  const read = meter?.read();
  return {
    lav: lav?.look(track.start) ?? null,
    boom: boom?.look(track.start) ?? null,
    lag: read ? { lagSeconds: read.lagSeconds, polarity: read.height < 0 ? -1 : 1, clear: read.clear } : null,
  };
}

/** Level of the voice in each frame by both ears: a pause is where neither hears it, a knock on one does not count. */
export function pauseLevelOf(look: CloseLook): Float64Array {
  const ears = [look.lav, look.boom].filter((ear) => ear !== null);
  const frames = Math.max(0, ...ears.map((ear) => ear.levels.frames));
  return Float64Array.from({ length: frames }, (_, i) =>
    Math.min(...ears.map((ear) => ear.levels.together(i, voiceBands) - ear.speech.voiceDb)),
  );
}
