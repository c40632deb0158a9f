import { describe, expect, it } from "vitest";
import { heldRecording } from "../../../test/helpers/array-media.ts";
import { chainLinks, isNextName } from "./chains.ts";
import { timeOfDay } from "./time-of-day.ts";

const file = (path: string, seconds: number, probe: object = {}, device = "A") =>
  heldRecording(device, path, [new Float32Array(seconds * 100)], 100, { probe }).recording;
const linksOf = (...recordings: ReturnType<typeof file>[]) =>
  chainLinks(recordings, recordings.map(timeOfDay)).map(({ before, after, gapSeconds }) => [
    recordings[before]!.path,
    recordings[after]!.path,
    Number(gapSeconds.toFixed(4)),
  ]);

describe("chainLinks", () => {
  it("joins files whose time references follow to the sample, and keeps a small hole", () => {
    const at = (samples: number) => ({ timeReferenceSamples: samples });
    expect(
      linksOf(
        file("T_002.wav", 60, at(1_000_000 + 6000), "sound"),
        file("T_001.wav", 60, at(1_000_000), "sound"),
        // 4 samples of 100 lost.
        file("T_003.wav", 20, at(1_000_000 + 12_004), "sound"),
      ),
    ).toEqual(
      [
        ["T_002.wav", "T_003.wav", 0.04],
        ["T_001.wav", "T_002.wav", 0],
      ].sort(),
    );
  });

  it("joins files whose timecode goes on, over midnight too, and not a stop and start", () => {
    const at = (timecode: string) => ({ timecode });
    expect(
      linksOf(
        file("C0001.mp4", 60, at("23:59:30:00")),
        file("C0002.mp4", 60, at("00:00:30:00")),
        file("C0003.mp4", 60, at("00:01:42:10")),
      ),
    ).toEqual([["C0001.mp4", "C0002.mp4", 0]]);
  });

  it("joins by 4 GB, half an hour or a common length where there is no label", () => {
    const full = { bytes: 4_290_000_000 };
    expect(linksOf(file("C0001.mp4", 700, full), file("C0002.mp4", 90))).toHaveLength(1);
    expect(linksOf(file("C0001.mp4", 1799), file("C0002.mp4", 90))).toHaveLength(1);
    expect(
      linksOf(file("C1.mp4", 300), file("C2.mp4", 300), file("C3.mp4", 300), file("C4.mp4", 20)),
    ).toHaveLength(3);
    expect(linksOf(file("C0001.mp4", 700), file("C0002.mp4", 90))).toEqual([]);
  });

  it("does not join against the dates, the make, the names or another device", () => {
    const full = { bytes: 4_290_000_000 };
    const created = (bytes: number, createdAt: string) => ({ bytes, createdAt });
    const first = file("C0001.mp4", 700, created(4_290_000_000, "2026-05-04T09:00:00Z"));
    expect(linksOf(first, file("C0002.mp4", 90, created(9, "2026-05-04T09:11:40Z")))).toHaveLength(1);
    // Written when closed.
    expect(linksOf(first, file("C0002.mp4", 90, created(9, "2026-05-04T09:01:30Z")))).toHaveLength(1);
    expect(linksOf(first, file("C0002.mp4", 90, created(9, "2026-05-04T09:20:00Z")))).toEqual([]);
    expect(linksOf(file("C0001.mp4", 700, full), file("C0003.mp4", 90))).toEqual([]);
    expect(linksOf(file("C0001.mp4", 700, full), file("C0002.mp4", 90, {}, "B"))).toEqual([]);
    expect(linksOf(file("C0001.mp4", 700, full), file("C0002.mp4", 90, { container: "other" }))).toEqual([]);
  });

  it("takes bare files of one folder for one device's where their names say so", () => {
    const full = { bytes: 4_290_000_000 };
    expect(linksOf(file("x/C1.mp4", 700, full, "file1"), file("x/C2.mp4", 90, {}, "file2"))).toHaveLength(1);
    expect(linksOf(file("x/C1.mp4", 700, full, "file1"), file("y/C2.mp4", 90, {}, "file2"))).toEqual([]);
  });
});

describe("isNextName", () => {
  it.each([
    ["C0009.MP4", "C0010.MP4", true],
    ["a/P010042.MP4", "a/P020042.MP4", true],
    ["clip.mov", "clip_2.mov", true],
    ["clip.mov", "clip-001.mov", true],
    ["C0009.MP4", "C0011.MP4", false],
    ["C0009.MP4", "C0009.MP4", false],
    ["A1_C02.mov", "A2_C03.mov", false],
    ["a.mov", "b.mov", false],
  ])("%s, then %s: %s", (first, second, follows) => expect(isNextName(first, second)).toBe(follows));
});
