import { setImmediate } from "node:timers/promises";
import { Tensor } from "onnxruntime-web";
import type { SoundBlock, SpeechActivity } from "#documents/media-reader";
import { sileroModel } from "./silero-model.ts";

/** The model's fixed step at 16 kHz, and the samples before it that it also wants to see (Silero v5 and v6). */
const windowSamples = 512;
const contextSamples = 64;
const sampleRateHz = 16_000;
/** Windows between two rests for the event loop, so that a cancel or a timer gets its turn. */
const windowsPerTurn = 125;

/**
 * Probability of speech for each 32 ms window of a recording.
 *
 * @param blocks - 16 kHz mono, full scale ±1, in order; the first channel is used. Blocks may be of any length
 *   and only one is held at a time.
 * @param onProgress - Told now and then how many seconds have been heard.
 * @returns One value 0..1 per window of 512 samples; window i starts at i × 0.032 s. A last part window is
 *   filled with silence and counted. Empty for no samples.
 * @throws ExplainedError `INTERNAL`: the model is missing from the installation.
 *
 * Source: the Silero voice activity model, version 6, as carried by its package (MIT).
 */
export async function speechActivity(
  blocks: AsyncIterable<SoundBlock>,
  onProgress?: (secondsHeard: number) => void,
): Promise<SpeechActivity> {
  const session = await sileroModel();
  const rate = new Tensor("int64", BigInt64Array.from([BigInt(sampleRateHz)]), []);
  const input = new Float32Array(contextSamples + windowSamples);
  const probability: number[] = [];
  let state = new Tensor("float32", new Float32Array(2 * 128), [2, 1, 128]);
  let filled = 0;

  const hear = async (): Promise<void> => {
    input.fill(0, contextSamples + filled);
    const heard = await session.run({
      input: new Tensor("float32", input.slice(), [1, input.length]),
      state,
      sr: rate,
    });
    state = heard.stateN as typeof state;
    probability.push((heard.output!.data as Float32Array)[0]!);
    input.copyWithin(0, windowSamples);
    filled = 0;
    if (probability.length % windowsPerTurn === 0) {
      onProgress?.((probability.length * windowSamples) / sampleRateHz);
      await setImmediate();
    }
  };

  for await (const block of blocks) {
    const samples = block.channels[0]!;
    for (let from = 0; from < samples.length; ) {
      const take = Math.min(windowSamples - filled, samples.length - from);
      input.set(samples.subarray(from, from + take), contextSamples + filled);
      filled += take;
      from += take;
      if (filled === windowSamples) await hear();
    }
  }
  if (filled > 0) await hear();
  return { windowSeconds: windowSamples / sampleRateHz, probability: Float32Array.from(probability) };
}
