import { beforeAll, describe, expect, it } from "vitest";
import { type FftMaker, loadFft } from "#science/signal/fft";
import * as room from "../../../test/helpers/simulated-room.ts";
import { CompactSound } from "./compact-sound.ts";
import { leastFineScore } from "./constants.ts";
import type { Listened } from "./listened.ts";
import { OnsetListener } from "./onsets.ts";
import { comparePair } from "./pair.ts";

/*
 * The threshold between recordings made together and strangers, kept by a few seeds; the bench measures it on ten
 * thousand pairs.
 */

const rate = room.roomRateHz;
const compare = (makeFft: FftMaker, a: Listened, b: Listened) => comparePair(makeFft, a, b, async () => {});

function listenTo(makeFft: FftMaker, x: Float32Array): Listened {
  const sound = new CompactSound();
  const onsets = new OnsetListener(makeFft);
  sound.append(x);
  sound.finish();
  onsets.append(x);
  return { sound, onsets: onsets.finish(), seconds: x.length / rate };
}

/** Notes of one minor scale on a beat of a fifth of a second, each with harmonics and the very same beginning. */
function tune(seconds: number, seed: number): Float32Array {
  const chance = room.uniform(seed);
  const out = new Float32Array(seconds * rate);
  const beat = rate / 5;
  for (let at = 0; at < out.length; at += beat) {
    const hz = 110 * 2 ** (Math.floor(3 * chance()) + [0, 2, 3, 5, 7, 8, 10][Math.floor(7 * chance())]! / 12);
    for (let h = 1; h <= 6; h++)
      for (let i = 0; i < 1.5 * beat && at + i < out.length; i++)
        out[at + i]! += (0.1 / h) * Math.exp((-3 * i) / beat) * Math.sin((2 * Math.PI * h * hz * i) / rate);
  }
  return out;
}

describe("comparing strangers", () => {
  let makeFft: FftMaker;
  beforeAll(async () => {
    makeFft = await loadFft();
  });

  it("places none of 15 pairs of talkers, and stays under three quarters of what is needed in all but one", async () => {
    const pieces = Array.from({ length: 6 }, (_, seed) =>
      listenTo(
        makeFft,
        room.mixed(room.speechLikeNoise(20, 300 + seed), room.roomNoise(20, 400 + seed, 0.01)),
      ),
    );
    const scores: number[] = [];
    for (const [i, a] of pieces.entries())
      for (const b of pieces.slice(i + 1)) {
        const { match, score } = await compare(makeFft, a, b);
        expect(match).toBeNull();
        scores.push(score);
      }
    scores.sort((a, b) => a - b);
    expect(scores).toHaveLength(15);
    expect(scores.at(-2)).toBeLessThan(0.75 * leastFineScore);
  });

  it("refuses tunes on one beat and scale, which fit in several places", async () => {
    const tunes = [1, 2, 3, 4].map((seed) => listenTo(makeFft, tune(20, seed)));
    let repeating = 0;
    for (const [i, a] of tunes.entries())
      for (const b of tunes.slice(i + 1)) {
        const { match, repeats } = await compare(makeFft, a, b);
        expect(match).toBeNull();
        if (repeats) repeating++;
      }
    expect(repeating).toBeGreaterThan(0);
  });

  it("still places talk over a tune that both heard", async () => {
    const both = room.mixed(room.speechLikeNoise(30, 310), tune(30, 5));
    const noise = (seed: number) => room.roomNoise(30, seed, 0.02);
    const near = listenTo(makeFft, room.mixed(both, noise(1)));
    const far = listenTo(makeFft, room.recorded(room.mixed(both, noise(2)), 3, 20, 24));
    const { match } = await compare(makeFft, near, far);
    expect(match!.line.offset).toBeCloseTo(3, 4);
  });
});
