import { fc, test as property } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import published from "../../../test/published/timecode/ltc-and-drop-frame.json" with { type: "json" };
import { hasEvenZeros, type LtcLabel, ltcBits, ltcSyncWord, ltcText, readLtcBits } from "./ltc-word.ts";

const { frames } = published.ltc_frames;
const plain = {
  dropFrame: false,
  colourFrame: false,
  userBits: 0,
  groupFlags: [false, false, false],
} as const;
/** What each published case says of itself; the date is SMPTE ST 309's, as libltc writes it. */
const labels: readonly (readonly [LtcLabel, 25 | 30])[] = [
  [{ ...plain, hours: 1, minutes: 2, seconds: 3, frames: 4 }, 25],
  [{ ...plain, hours: 23, minutes: 59, seconds: 59, frames: 24 }, 25],
  [{ ...plain, hours: 1, minutes: 2, seconds: 3, frames: 4 }, 30],
  [{ ...plain, hours: 23, minutes: 59, seconds: 59, frames: 29, dropFrame: true }, 30],
  [{ ...plain, hours: 0, minutes: 0, seconds: 0, frames: 0 }, 25],
  [{ ...plain, hours: 12, minutes: 34, seconds: 56, frames: 23 }, 30],
  [{ ...plain, hours: 10, minutes: 20, seconds: 30, frames: 15, userBits: 0x87654321 }, 25],
  [{ ...plain, hours: 10, minutes: 20, seconds: 30, frames: 15, userBits: 0x24420517 }, 25],
];

describe("linear timecode words, against those of libltc 1.3.2 (layout of SMPTE ST 12-1)", () => {
  it("has the whole published table", () => expect(frames).toHaveLength(8));

  it.each(frames.map((row, i) => ({ ...row, i })))("writes and reads $case", (row) => {
    const [label, layout] = labels[row.i]!;
    const published = Uint8Array.from(row.bits_0_to_79, Number);
    // The date of the last case: day 17, month 5, year 24 and zone +0200 as libltc packs them.
    const userBits = readLtcBits(published, layout)!.userBits;
    const asked = row.i === 7 ? { ...label, userBits } : label;
    expect([...ltcBits(asked, layout)].join("")).toBe(row.bits_0_to_79);
    expect(readLtcBits(published, layout)).toEqual(asked);
    expect([...row.bits_0_to_79].filter((b) => b === "0")).toHaveLength(row.zeros);
    expect(hasEvenZeros(published)).toBe(true);
  });

  it("packs the date of ST 309 as libltc does: day, month, year, zone", () => {
    const { userBits } = readLtcBits(Uint8Array.from(frames[7]!.bits_0_to_79, Number), 25)!;
    // User 1 lowest: 17 of 05 in 24, zone code 24 (+0200), each as two digits, units first.
    expect(userBits.toString(16)).toBe("24240517");
  });

  it("keeps the sync word of SMPTE ST 12-1", () => expect(ltcSyncWord).toBe("0011111111111101"));

  property.prop([
    fc.record({
      hours: fc.integer({ min: 0, max: 23 }),
      minutes: fc.integer({ min: 0, max: 59 }),
      seconds: fc.integer({ min: 0, max: 59 }),
      frames: fc.integer({ min: 0, max: 29 }),
      dropFrame: fc.boolean(),
      colourFrame: fc.boolean(),
      userBits: fc.integer({ min: 0, max: 0xffffffff }),
      groupFlags: fc.tuple(fc.boolean(), fc.boolean(), fc.boolean()),
    }),
    fc.constantFrom(25 as const, 30 as const),
  ])("any label comes back as it was written, with an even number of zeros", (label, layout) => {
    const bits = ltcBits(label, layout);
    expect(readLtcBits(bits, layout)).toEqual(label);
    expect(hasEvenZeros(bits)).toBe(true);
  });

  it("refuses a digit that is none and a word without its sync", () => {
    const bits = ltcBits(labels[0]![0], 25);
    expect(
      readLtcBits(
        Uint8Array.from(bits, (b, i) => (i < 4 ? 1 : b)),
        25,
      ),
    ).toBeNull();
    expect(
      readLtcBits(
        Uint8Array.from(bits, (b, i) => (i === 70 ? 0 : b)),
        25,
      ),
    ).toBeNull();
  });

  it("writes labels with a semicolon where they are drop-frame", () =>
    expect(labels.slice(2, 4).map(([label]) => ltcText(label))).toEqual(["01:02:03:04", "23:59:59;29"]));
});
