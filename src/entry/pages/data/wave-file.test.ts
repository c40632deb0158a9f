import { describe, expect, it } from "vitest";
import { waveFormat, waveSamples } from "./wave-file.ts";

/** A wave file of the given samples, with a chunk of odd length before them as broadcast files have. */
function wave(bits: 16 | 24, values: readonly number[]): DataView {
  const width = bits / 8;
  const bytes = new Uint8Array(12 + 8 + 16 + 8 + 6 + 8 + values.length * width);
  const view = new DataView(bytes.buffer);
  const name = (at: number, text: string) =>
    [...text].forEach((c, i) => {
      view.setUint8(at + i, c.charCodeAt(0));
    });
  name(0, "RIFF");
  name(8, "WAVE");
  name(12, "fmt ");
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, 1, true);
  view.setUint32(24, 48_000, true);
  view.setUint16(34, bits, true);
  name(36, "bext");
  view.setUint32(40, 5, true);
  name(50, "data");
  view.setUint32(54, values.length * width, true);
  values.forEach((value, i) => {
    for (let b = 0; b < width; b++) view.setUint8(58 + i * width + b, (value >> (8 * b)) & 255);
  });
  return view;
}

describe("a wave file", () => {
  it.each([16, 24] as const)("of %i bits is read as it was written, past a chunk of odd length", (bits) => {
    const full = 2 ** (bits - 1);
    const file = wave(bits, [0, full / 2, -full, full - 1]);
    const format = waveFormat(file)!;
    expect(format).toEqual({ channels: 1, sampleRateHz: 48_000, bits, isFloat: false, dataStart: 58 });
    const samples = waveSamples(new DataView(file.buffer, format.dataStart), format);
    expect([...samples]).toEqual([0, 0.5, -1, expect.closeTo(1, 3)]);
  });

  it("that is none is told from one", () => {
    expect(waveFormat(new DataView(new ArrayBuffer(64)))).toBeNull();
  });
});
