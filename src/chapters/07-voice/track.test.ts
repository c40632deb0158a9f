import { describe, expect, it } from "vitest";
import { soundContext, soundRecording } from "../../../test/helpers/sound-context.ts";
import { placedSpans, type TrackPart, trackBlocks } from "./track.ts";

const rate = 48_000;
const ramp = (seconds: number, from: number): Float32Array =>
  Float32Array.from({ length: seconds * rate }, (_, n) => (from + n) / (20 * rate));

/** Three files that carry one long ramp: what the track holds at any moment is then that moment itself. */
function take(placements: readonly TrackPart["placement"][], starts: readonly number[]) {
  const files = starts.map((start, i) => {
    const samples = ramp(2, start * rate);
    return { recording: soundRecording(`A${i}.mov`, [samples]), samples, placement: placements[i]! };
  });
  const { context } = soundContext(new Map(files.map((f) => [f.recording.hash, [f.samples]])));
  const parts: TrackPart[] = files.map(({ recording, placement }) => ({ recording, placement, channel: 1 }));
  const read = async (wish: {
    start: number;
    samples: number;
    advanceSeconds?: number;
    polarity?: 1 | -1;
  }) => {
    const out = new Float32Array(wish.samples);
    let at = 0;
    for await (const block of trackBlocks(context.media, parts, wish)) {
      out.set(block, at);
      at += block.length;
    }
    expect(at).toBe(wish.samples);
    return (sittingSeconds: number): number => out[Math.round((sittingSeconds - wish.start) * rate)]! * 20;
  };
  return { parts, read };
}
const at = (offset: number, ratePpm = 0): { offset: number; ratePpm: number } => ({ offset, ratePpm });

describe("trackBlocks", () => {
  it("lays files end to end on sitting time, with silence in the gaps", async () => {
    const { read } = take([at(1), at(4)], [1, 4]);
    const value = await read({ start: 0, samples: 7 * rate });
    expect([0.5, 1.5, 2.9, 3.5, 4.25, 5.9, 6.5].map((t) => Number(value(t).toFixed(4)))).toEqual([
      0, 1.5, 2.9, 0, 4.25, 5.9, 0,
    ]);
  });

  it("uses the earlier file to its end where two overlap", async () => {
    const { read } = take([at(1), at(2.5)], [1, 12.5]);
    const value = await read({ start: 1, samples: 3 * rate });
    expect(value(2.9)).toBeCloseTo(2.9, 4);
    expect(value(3.1)).toBeCloseTo(13.1, 4);
  });

  it("reads ahead by a fraction of a sample, turned round", async () => {
    const { read } = take([at(0)], [0]);
    const value = await read({ start: 0, samples: 2 * rate, advanceSeconds: 0.00151, polarity: -1 });
    expect(value(1)).toBeCloseTo(-1.00151, 5);
  });

  it("follows the pieces of a recording that lost samples", () => {
    const pieces = [{ from: 1, offset: 5.5, ratePpm: 0 }];
    const { parts } = take([{ offset: 5, ratePpm: 0, pieces }], [0]);
    expect(placedSpans(parts).map(({ start, end }) => [start, end])).toEqual([
      [5, 6],
      [6.5, 7.5],
    ]);
  });
});
