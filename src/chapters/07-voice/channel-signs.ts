import { quantile } from "./bands.ts";

/** What a few minutes of one channel tell about the microphone behind it. */
export interface ChannelSigns {
  readonly channel: number;
  /** Level of the louder moments (95th percentile of 20 ms frames), dB relative to full scale. */
  readonly speechDb: number;
  /** Level of the quiet moments (10th percentile). */
  readonly floorDb: number;
  /** Decibels between peak and the louder moments' power: 0 to 3 for a square wave, 12 and more for speech. */
  readonly crestDb: number;
  /** Sign changes a second. */
  readonly crossings: number;
  /** Share of the shorter of the two kinds of interval between sign changes, 0..½: a coded square wave has both. */
  readonly twoIntervals: number;
}

const frameSeconds = 0.02;

/** Gathers {@link ChannelSigns} from blocks of one channel. */
export class ChannelListener {
  readonly #frame: number;
  readonly #rate: number;
  #sum = 0;
  #count = 0;
  #peak = 0;
  #crossed = 0;
  #samples = 0;
  #since = 0;
  #last = 0;
  readonly #levels: number[] = [];
  readonly #intervals = new Float64Array(256);

  constructor(sampleRateHz: number) {
    this.#rate = sampleRateHz;
    this.#frame = Math.round(frameSeconds * sampleRateHz);
  }

  push(samples: Float32Array): void {
    for (const x of samples) {
      this.#sum += x * x;
      this.#peak = Math.max(this.#peak, Math.abs(x));
      this.#since++;
      if (x * this.#last < 0) {
        this.#crossed++;
        this.#intervals[Math.min(255, this.#since)]! += 1;
        this.#since = 0;
      }
      if (x !== 0) this.#last = x;
      if (++this.#count === this.#frame) {
        this.#levels.push(10 * Math.log10(this.#sum / this.#frame + 1e-12));
        this.#sum = this.#count = 0;
      }
    }
    this.#samples += samples.length;
  }

  signs(channel: number): ChannelSigns {
    const speechDb = quantile(this.#levels, 0.95);
    const median = this.#medianInterval();
    let short = 0;
    let long = 0;
    this.#intervals.forEach((count, length) => {
      if (length < median * 0.75 || (length < median * 1.35 && this.#medianIsShort(median))) short += count;
      else long += count;
    });
    return {
      channel,
      speechDb,
      floorDb: quantile(this.#levels, 0.1),
      crestDb: 20 * Math.log10(this.#peak + 1e-9) - speechDb,
      crossings: (this.#crossed * this.#rate) / Math.max(1, this.#samples),
      twoIntervals: Math.min(short, long) / Math.max(1, short + long),
    };
  }

  #medianInterval(): number {
    let below = 0;
    for (let length = 0; length < 256; length++) {
      below += this.#intervals[length]!;
      if (below * 2 >= this.#crossed) return length;
    }
    return 255;
  }

  /** Whether intervals of twice the median are more common than of half of it. */
  #medianIsShort(median: number): boolean {
    const near = (length: number): number => {
      let sum = 0;
      for (let l = Math.floor(length * 0.85); l <= Math.ceil(length * 1.15); l++)
        sum += this.#intervals[l] ?? 0;
      return sum;
    };
    return near(2 * median) > near(median / 2);
  }
}

/** No sound at all: the louder moments are under −70 dB. */
export function isSilent(signs: ChannelSigns): boolean {
  return !(signs.speechDb > -70);
}

/**
 * A linear timecode in the channel: a square-like wave of constant level, 80 bits a frame, a change at each bit's
 * start and in the middle of each one (SMPTE ST 12-1): 1 920 to 4 800 changes a second at 24 to 30 frames.
 */
export function isTimecode(signs: ChannelSigns): boolean {
  return (
    signs.speechDb > -50 &&
    signs.speechDb - signs.floorDb < 3 &&
    signs.crestDb < 5 &&
    signs.crossings > 1850 &&
    signs.crossings < 4900 &&
    signs.twoIntervals > 0.08
  );
}
