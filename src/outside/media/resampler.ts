import { AV_SAMPLE_FMT_FLTP } from "node-av/constants";
import { avChannelLayoutDefault, SoftwareResampleContext } from "node-av/lib";
import { must } from "./library.ts";

/**
 * Changes the sample rate of a stream of planar floats: output sample k is at the time k / `toHz` after the
 * first input sample, exactly.
 */
export class Resampler {
  readonly #context = new SoftwareResampleContext();
  readonly #channels: number;
  #isOpen = true;

  constructor(fromHz: number, toHz: number, channels: number) {
    this.#channels = channels;
    const layout = avChannelLayoutDefault(channels);
    must(
      this.#context.allocSetOpts2(layout, AV_SAMPLE_FMT_FLTP, toHz, layout, AV_SAMPLE_FMT_FLTP, fromHz),
      "set up the resampler",
    );
    must(this.#context.init(), "start the resampler");
  }

  push(channels: readonly Float32Array[]): Float32Array[] {
    return this.#convert(channels.map(bufferOf), channels[0]?.length ?? 0);
  }

  /** What is left inside when no more input comes. */
  flush(): Float32Array[] {
    return this.#convert(null, 0);
  }

  free(): void {
    if (this.#isOpen) this.#context.free();
    this.#isOpen = false;
  }

  #convert(input: Buffer[] | null, count: number): Float32Array[] {
    const room = Math.max(this.#context.getOutSamples(count), 0) + 64;
    const output = Array.from({ length: this.#channels }, () => new Float32Array(room));
    const made = must(this.#context.convertSync(output.map(bufferOf), room, input, count), "resample");
    return output.map((channel) => channel.slice(0, made));
  }
}

function bufferOf(channel: Float32Array): Buffer {
  return Buffer.from(channel.buffer, channel.byteOffset, channel.byteLength);
}
