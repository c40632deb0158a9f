import { type Biquad, FilterChain, highPass, highShelf, lowShelf } from "#science/filters/biquad";
import { chest, sibilance } from "./bands.ts";
import type { Segment } from "./segments.ts";
import type { SpeechMeasure } from "./speech-measure.ts";

const rate = 48_000;
const mostShelfDb = 6;

/** What makes the boom sound as near as it can to the lav. */
export interface Match {
  readonly gainDb: number;
  readonly lowShelfDb: number;
  readonly highShelfDb: number;
}

/** Level over speech first, then chest and presence relative to it, each by at most 6 dB: gentle, and never a trick. */
export function matchOf(lav: SpeechMeasure, boom: SpeechMeasure): Match {
  const gainDb = lav.voiceDb - boom.voiceDb;
  const held = (db: number): number => Math.max(-mostShelfDb, Math.min(mostShelfDb, db));
  const rest = (band: number): number => lav.bands[band]! - boom.bands[band]! - gainDb;
  return { gainDb, lowShelfDb: held(rest(chest)), highShelfDb: held(rest(sibilance)) };
}

const rumbleFilterHz = 80;

/** How much of the mix is the boom's. */
const boomShare: Readonly<Record<Segment["source"], number>> = { lav: 0, both: 0.5, boom: 1 };

/** A change from one share of the boom to another, seconds of track time; it takes `half` on either side. */
interface Change {
  readonly at: number;
  readonly half: number;
  readonly from: number;
  readonly to: number;
}

/** Mixes the two aligned tracks by the segments: one plays, changes are faded so that no click and no comb is heard. */
export class Mixer {
  readonly #lavChain = new FilterChain([highPass(rumbleFilterHz, rate)]);
  readonly #boomChain: FilterChain;
  readonly #boomGain: number;
  readonly #changes: readonly Change[];
  readonly #firstShare: number;
  #at = 0;

  /** @param segments - Touching, in order, track time. */
  constructor(segments: readonly Segment[], match: Match, fadeSeconds = 0.05) {
    const tone: Biquad[] = [highPass(rumbleFilterHz, rate)];
    if (Math.abs(match.lowShelfDb) > 0.5) tone.push(lowShelf(250, rate, match.lowShelfDb));
    if (Math.abs(match.highShelfDb) > 0.5) tone.push(highShelf(3500, rate, match.highShelfDb));
    this.#boomChain = new FilterChain(tone);
    this.#boomGain = 10 ** (match.gainDb / 20);
    this.#firstShare = boomShare[segments[0]?.source ?? "lav"];
    this.#changes = segments.slice(1).flatMap((segment, i) => {
      if (segment.source === segments[i]!.source) return [];
      const room = Math.min(segments[i]!.end - segments[i]!.start, segment.end - segment.start);
      return [
        {
          at: segment.start,
          half: Math.min(fadeSeconds, room) / 2,
          from: boomShare[segments[i]!.source],
          to: boomShare[segment.source],
        },
      ];
    });
  }

  /** The next samples of both tracks (`null`: not there) to the next samples of the mix. */
  push(lav: Float32Array | null, boom: Float32Array | null): Float32Array {
    const length = (lav ?? boom)!.length;
    const a = lav ? this.#lavChain.run(lav.slice()) : new Float32Array(length);
    const b = boom ? this.#boomChain.run(boom.slice()) : new Float32Array(length);
    const out = new Float32Array(length);
    const current = this.#changes.findLastIndex((c) => (c.at - c.half) * rate <= this.#at);
    let next = current + 1;
    let change = this.#changes[current];
    for (let i = 0; i < length; i++) {
      const n = this.#at + i;
      while (
        next < this.#changes.length &&
        (this.#changes[next]!.at - this.#changes[next]!.half) * rate <= n
      ) {
        change = this.#changes[next++];
      }
      const share = change ? shareOfBoom(change, n) : this.#firstShare;
      out[i] = a[i]! * (1 - share) + b[i]! * this.#boomGain * share;
    }
    this.#at += length;
    return out;
  }
}

/** The two are the same voice, in time: amplitudes, not powers, add up to one. Raised cosine. */
function shareOfBoom(change: Change, sample: number): number {
  const progress = (sample / rate - (change.at - change.half)) / Math.max(2 * change.half, 1e-9);
  const done = progress >= 1 ? 1 : progress <= 0 ? 0 : 0.5 - 0.5 * Math.cos(Math.PI * progress);
  return change.from + done * (change.to - change.from);
}
