import type { SoundPiece } from "./sound-pieces.ts";
import { type WaveFormat, waveFormat, waveSamples } from "./wave-file.ts";

/** Sound is fetched this far ahead, and in stretches of at most this length; seconds. */
const ahead = 8;
const most = 4;
/** At each join the sound rises and falls within this, seconds: no click. */
const edge = 0.006;

let shared: AudioContext | null = null;
/** One for the page: browsers allow few. Made at the first play, which a person asked for. */
const audioContext = (): AudioContext => (shared ??= new AudioContext());

/** The dialogue of a cut, played piece after piece to the sample, straight from the wave file by ranges. */
export class CutSound {
  readonly #address: string;
  readonly #sittingStart: number;
  #format: Promise<WaveFormat | null> | undefined;
  #stop = new AbortController();
  #zero = 0;
  #isOn = false;

  /** @param sittingStart - Sitting time of the file's first sample. */
  constructor(address: string, sittingStart: number) {
    this.#address = address;
    this.#sittingStart = sittingStart;
  }

  /** Program time that is heard now; only while it plays. */
  now(): number {
    const context = audioContext();
    return context.currentTime - (context.outputLatency || 0) - this.#zero;
  }

  /** Begins at a program time; settles when the first sound is about to be heard. */
  async play(pieces: readonly SoundPiece[], from: number): Promise<void> {
    this.stop();
    const stop = new AbortController();
    this.#stop = stop;
    const context = audioContext();
    await context.resume();
    const format = await (this.#format ??= this.#readFormat());
    if (!format) throw new TypeError("the dialogue is no wave file");
    const chunks = chunksOf(pieces, from);
    const first = chunks.next().value;
    const buffer = first ? await this.#read(format, first, stop.signal) : null;
    if (stop.signal.aborted) return;
    this.#zero = context.currentTime + 0.06 - from;
    this.#isOn = true;
    if (first && buffer) this.#schedule(first, buffer, stop.signal);
    this.#feed(format, chunks, stop.signal).catch(() => {
      // The line is lost or playing stopped: what was scheduled plays out, and the page tells of the line itself.
    });
  }

  stop(): void {
    this.#isOn = false;
    this.#stop.abort();
  }

  get isOn(): boolean {
    return this.#isOn;
  }

  async #feed(format: WaveFormat, chunks: Iterator<Chunk>, signal: AbortSignal): Promise<void> {
    for (let next = chunks.next(); !next.done; next = chunks.next()) {
      while (next.value.start - this.now() > ahead) {
        await new Promise((resolve) => setTimeout(resolve, 500));
        if (signal.aborted) return;
      }
      const buffer = await this.#read(format, next.value, signal);
      if (signal.aborted) return;
      if (buffer) this.#schedule(next.value, buffer, signal);
    }
  }

  #schedule(chunk: Chunk, buffer: AudioBuffer, signal: AbortSignal): void {
    const context = audioContext();
    const source = context.createBufferSource();
    const gain = context.createGain();
    source.buffer = buffer;
    source.connect(gain).connect(context.destination);
    const at = Math.max(context.currentTime, this.#zero + chunk.start);
    const late = at - (this.#zero + chunk.start);
    const end = at + buffer.duration - late;
    if (chunk.opens) gain.gain.setValueAtTime(0, at).linearRampToValueAtTime(1, at + edge);
    if (chunk.closes) {
      gain.gain.setValueAtTime(1, Math.max(at + edge, end - edge));
      gain.gain.linearRampToValueAtTime(0, end);
    }
    source.start(at, late);
    signal.addEventListener("abort", () => source.stop(), { once: true });
    source.onended = () => gain.disconnect();
  }

  async #readFormat(): Promise<WaveFormat | null> {
    return waveFormat(new DataView(await this.#bytes(0, 65_536)));
  }

  async #read(format: WaveFormat, chunk: Chunk, signal: AbortSignal): Promise<AudioBuffer | null> {
    const step = (format.channels * format.bits) / 8;
    const sample = (program: number): number =>
      Math.round((chunk.sittingStart + program - chunk.start - this.#sittingStart) * format.sampleRateHz);
    const from = Math.max(0, sample(chunk.start));
    const count = sample(chunk.end) - from;
    if (count <= 0) return null;
    const at = format.dataStart + from * step;
    const bytes = await this.#bytes(at, at + count * step, signal).catch((error: unknown) => {
      if (signal.aborted) return null;
      throw error;
    });
    if (!bytes) return null;
    const samples = waveSamples(new DataView(bytes), format);
    if (samples.length === 0) return null;
    const buffer = audioContext().createBuffer(1, samples.length, format.sampleRateHz);
    buffer.copyToChannel(samples, 0);
    return buffer;
  }

  async #bytes(from: number, endExclusive: number, signal?: AbortSignal): Promise<ArrayBuffer> {
    const answer = await fetch(this.#address, {
      headers: { range: `bytes=${from}-${endExclusive - 1}` },
      ...(signal ? { signal } : {}),
    });
    // Past the end of the file there is silence.
    if (answer.status === 416) return new ArrayBuffer(0);
    if (!answer.ok) throw new TypeError(`the sound was answered with ${answer.status}`);
    const bytes = await answer.arrayBuffer();
    return answer.status === 206 ? bytes : bytes.slice(from, endExclusive);
  }
}

interface Chunk extends SoundPiece {
  readonly opens: boolean;
  readonly closes: boolean;
}

/** The pieces from a program time on, cut into stretches short enough to fetch. */
function* chunksOf(pieces: readonly SoundPiece[], from: number): Generator<Chunk, undefined> {
  for (const piece of pieces) {
    for (let start = Math.max(piece.start, from); piece.end - start > 1e-4; ) {
      const end = Math.min(piece.end, start + most);
      yield {
        start,
        end,
        sittingStart: piece.sittingStart + start - piece.start,
        opens: start === piece.start || start === from,
        closes: end === piece.end,
      };
      start = end;
    }
  }
  return undefined;
}
