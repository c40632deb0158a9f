import type { MediaReader } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import { loadFft } from "#science/signal/fft";
import { hann } from "#science/signal/hann";
import { parabolaTop } from "#science/signal/peak";
import { makePhaseCorrelator } from "#science/signal/phase-correlator";
import { ChannelListener } from "./channel-signs.ts";
import type { PairSigns, RecordingSigns } from "./roles.ts";
import { soundRange } from "./track.ts";

const rate = 48_000;
/** Stretches listened to, spread over the recording, and the length of each. */
const stretches = 6;
const stretchSeconds = 8;
const blockSamples = 4096;
const upsample = 16;
/** Where voices and both microphones are strong. */
const bandHz: readonly [number, number] = [150, 8000];

/** Lag between two microphones from blocks in which both hear: louder ones count for more. */
export async function makeLagMeter(mostLagSeconds: number): Promise<{
  add(first: Float32Array, second: Float32Array): void;
  /** `height` has the sign of the polarity; `clear` is how far the peak stands above the next one elsewhere. */
  read(): { lagSeconds: number; height: number; clear: number };
}> {
  const correlator = makePhaseCorrelator(await loadFft(), blockSamples, {
    upsample,
    band: [bandHz[0] / rate, bandHz[1] / rate],
    window: hann(blockSamples),
  });
  const r = new Float32Array(blockSamples * upsample);
  return {
    add(first, second) {
      let a = 0;
      let b = 0;
      for (let i = 0; i < blockSamples; i++) {
        a += first[i]! ** 2;
        b += second[i]! ** 2;
      }
      const weight = Math.sqrt(Math.sqrt(a) * Math.sqrt(b));
      if (weight > 1e-4) correlator.add(first, second, 0, weight);
    },
    read() {
      correlator.correlation(r);
      const n = r.length;
      const reach = Math.round(mostLagSeconds * rate * upsample);
      const at = (lag: number): number => r[(lag + n) % n]!;
      let top = 0;
      for (let lag = -reach; lag <= reach; lag++) if (Math.abs(at(lag)) > Math.abs(at(top))) top = lag;
      let next = 0;
      const apart = 0.0004 * rate * upsample;
      for (let lag = -reach; lag <= reach; lag++) {
        if (Math.abs(lag - top) > apart) next = Math.max(next, Math.abs(at(lag)));
      }
      const sign = Math.sign(at(top)) || 1;
      const fraction = parabolaTop(sign * at(top - 1), sign * at(top), sign * at(top + 1));
      return {
        lagSeconds: (top + fraction) / upsample / rate,
        height: at(top),
        clear: Math.abs(at(top)) / Math.max(next, 1e-9),
      };
    },
  };
}

/** Listens to some stretches of a recording: enough to tell what its channels carry. */
export async function listenTo(
  media: MediaReader,
  recording: Recording,
  signal: AbortSignal,
): Promise<RecordingSigns> {
  const sound = recording.probe.sound!;
  const channels = Array.from({ length: sound.channels }, (_, c) => c + 1);
  const listeners = channels.map(() => new ChannelListener(rate));
  const pairs = channels.flatMap((first) =>
    channels.filter((c) => c > first).map((second) => ({ first, second })),
  );
  const meters = await Promise.all(pairs.slice(0, 6).map(() => makeLagMeter(0.02)));
  const { start, end } = soundRange(recording);
  for (const [from, to] of stretchesOf(start, end)) {
    for await (const block of media.sound(recording, {
      sampleRateHz: rate,
      channels: "all",
      startSeconds: from,
      endSeconds: to,
      blockSamples,
    })) {
      block.channels.forEach((samples, c) => {
        listeners[c]?.push(samples);
      });
      meters.forEach((meter, p) => {
        const first = block.channels[pairs[p]!.first - 1]!;
        if (first.length === blockSamples) meter.add(first, block.channels[pairs[p]!.second - 1]!);
      });
      signal.throwIfAborted();
    }
  }
  return {
    recording,
    channels: listeners.map((listener, c) => listener.signs(c + 1)),
    pairs: meters.map((meter, p): PairSigns => {
      const { lagSeconds, height } = meter.read();
      return { ...pairs[p]!, lagSeconds, height: Math.abs(height) };
    }),
  };
}

/** The whole of a short recording, else evenly spread stretches; seconds. */
export function stretchesOf(start: number, end: number): [number, number][] {
  if (end - start <= stretches * stretchSeconds * 1.5) return [[start, end]];
  return Array.from({ length: stretches }, (_, i) => {
    const from = start + ((i + 0.5) * (end - start)) / stretches - stretchSeconds / 2;
    return [from, from + stretchSeconds] as [number, number];
  });
}
