import type { MediaReader, SoundBlock } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import { Resampler } from "#science/filters/resample";
import type { Placement } from "#science/placement/placement";
import { localTimeOf, type Span, sittingTimeOf, slope, spansOf } from "./spans.ts";

export const trackRateHz = 48_000;

/** One channel of one recording, with its place in sitting time. */
export interface TrackPart {
  readonly recording: Recording;
  readonly channel: number;
  readonly placement: Placement;
}

/** Samples as the device wrote them (at 48 kHz), before any change of rate: where damage shows best. */
export type NativeTap = (part: TrackPart, localStartSeconds: number, samples: Float32Array) => void;

export interface TrackWish {
  /** Sitting time of sample 0. */
  readonly start: number;
  readonly samples: number;
  /** Seconds by which the track is read ahead: its own lag behind the microphone it must match. */
  readonly advanceSeconds?: number;
  /** −1 turns the polarity round. */
  readonly polarity?: 1 | -1;
  readonly tap?: NativeTap;
  readonly signal?: AbortSignal;
}

/** Seconds of sound in a recording that can be used, local time [start, end). */
export function soundRange(recording: Recording): { start: number; end: number } {
  const sound = recording.probe.sound;
  if (!sound) return { start: 0, end: 0 };
  const end = sound.startSeconds + sound.durationSeconds;
  return { start: sound.startSeconds, end: Math.min(end, recording.readableSeconds ?? end) };
}

/** Every straight stretch of the parts, in order of sitting time. */
export function placedSpans(
  parts: readonly TrackPart[],
): { part: TrackPart; span: Span; start: number; end: number }[] {
  return parts
    .flatMap((part) => {
      const { start, end } = soundRange(part.recording);
      return spansOf(part.placement, start, end).map((span) => ({
        part,
        span,
        start: sittingTimeOf(span, span.localStart),
        end: sittingTimeOf(span, span.localEnd),
      }));
    })
    .sort((a, b) => a.start - b.start);
}

/**
 * One microphone as a mono 48 kHz stream on sitting time, whatever files it lies in.
 *
 * Recordings on another clock are read band-limited at their own offset and rate; one that lies on whole
 * samples is copied. Gaps are silence; where two overlap, the earlier one is used to its end.
 */
export async function* trackBlocks(
  media: MediaReader,
  parts: readonly TrackPart[],
  wish: TrackWish,
): AsyncGenerator<Float32Array> {
  const advance = wish.advanceSeconds ?? 0;
  const sign = wish.polarity ?? 1;
  let made = 0;
  for (const { part, span, start, end } of placedSpans(parts)) {
    const first = Math.max(made, Math.ceil((start - advance - wish.start) * trackRateHz - 1e-6));
    const stop = Math.min(wish.samples, Math.round((end - advance - wish.start) * trackRateHz));
    if (stop <= first) continue;
    yield* silence(first - made);
    made = first;
    for await (const block of spanBlocks(
      media,
      part,
      span,
      first / trackRateHz + wish.start + advance,
      wish,
    )) {
      const samples = block.length > stop - made ? block.subarray(0, stop - made) : block;
      if (samples.length === 0) break;
      if (sign < 0) for (let i = 0; i < samples.length; i++) samples[i] = -samples[i]!;
      made += samples.length;
      yield samples;
      wish.signal?.throwIfAborted();
    }
  }
  yield* silence(wish.samples - made);
}

const silenceBlock = 65_536;
function* silence(samples: number): Generator<Float32Array> {
  for (let left = samples; left > 0; left -= silenceBlock)
    yield new Float32Array(Math.min(left, silenceBlock));
}

async function* spanBlocks(
  media: MediaReader,
  part: TrackPart,
  span: Span,
  fromSitting: number,
  wish: TrackWish,
): AsyncGenerator<Float32Array> {
  // A little before the wanted place, so that the band-limited reader has something to stand on.
  const wantedLocal = localTimeOf(span, fromSitting);
  const readFrom = Math.max(span.localStart, wantedLocal - 0.01);
  const startSeconds = Math.round(readFrom * trackRateHz) / trackRateHz;
  const source = media.sound(part.recording, {
    sampleRateHz: trackRateHz,
    channels: [part.channel],
    startSeconds,
    endSeconds: span.localEnd,
  });
  let reader: Resampler | null = null;
  for await (const block of source) {
    const samples = block.channels[0]!;
    wish.tap?.(part, block.firstSample / trackRateHz, samples);
    if (!reader) {
      const place = wantedLocal * trackRateHz - block.firstSample;
      const whole = Math.round(place);
      reader = new Resampler(Math.abs(place - whole) < 1e-3 ? whole : place, 1 / slope(span.ratePpm));
    }
    const read = reader.push(samples);
    if (read.length > 0) yield read;
  }
  if (reader) {
    const rest = reader.finish();
    if (rest.length > 0) yield rest;
  }
}

/** Mono blocks with their running place, as the sound writer takes them. */
export async function* asSoundBlocks(blocks: AsyncIterable<Float32Array>): AsyncGenerator<SoundBlock> {
  let firstSample = 0;
  for await (const samples of blocks) {
    yield { firstSample, channels: [samples] };
    firstSample += samples.length;
  }
}
