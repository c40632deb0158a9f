import { beforeAll, describe, expect, it } from "vitest";
import type { ClockResult } from "#documents/chapter-results";
import { generateLtc } from "#formats/ltc/ltc-generator";
import {
  arrayMedia,
  type HeldRecording,
  heldRecording,
  listeningContext,
} from "../../../test/helpers/array-media.ts";
import { type Interview, simulatedInterview, wayToCamera } from "../../../test/helpers/interview.ts";
import * as room from "../../../test/helpers/simulated-room.ts";
import { clock } from "./clock.ts";

const rate = room.roomRateHz;
const pal = { num: 25, den: 1 };
const measure = (held: readonly HeldRecording[]): Promise<ClockResult> =>
  clock.measure(
    { recordings: held.map((h) => h.recording), master: null },
    listeningContext(arrayMedia(held)),
  );
const says = (result: ClockResult, code: string) =>
  result.findings.filter((f) => f.code === `clock.${code}`).map((f) => f.says);

/**
 * Timecode as a device with a clock `ratePpm` slow writes it down, `start` frames after 10:00:00:00 at its local 0,
 * plus a part of a frame.
 */
function timecode(startFrames: number, seconds: number, ratePpm: number): Float32Array {
  const whole = Math.floor(startFrames);
  const lead = 1 - (startFrames - whole);
  const label = (n: number) =>
    `10:00:${String(Math.floor(n / 25)).padStart(2, "0")}:${String(n % 25).padStart(2, "0")}`;
  // A slow clock takes fewer samples of the same time: the timecode looks fast.
  return generateLtc({
    start: label(whole + 1),
    rate: pal,
    frames: Math.floor(seconds * 25) - 2,
    sampleRateHz: rate,
    riseSeconds: 1e-4,
    speed: 1 + ratePpm * 1e-6,
    leadSeconds: lead / 25,
    tailSeconds: 2,
  }).slice(0, seconds * rate);
}

describe("clock, by timecode", () => {
  let sound: Interview;
  let otherDay: Interview;
  beforeAll(async () => {
    sound = await simulatedInterview(30, 61);
    otherDay = await simulatedInterview(30, 88);
  });

  it("finds timecode in a channel that nobody named, and lays a deaf camera by it: offset and rate", async () => {
    // Sitting 0 is label 10:00:05:00 and a quarter of a frame; C begins 7.3 s later with a clock 40 ppm slow.
    const result = await measure([
      heldRecording("A", "A.mov", [timecode(125.25, 30, 0), sound.lav], rate),
      heldRecording("C", "C.mov", [new Float32Array(20 * rate), timecode(125.25 + 7.3 * 25, 20, 40)], rate),
    ]);
    const [a, c] = result.recordings;
    expect(a!.timecode).toMatchObject({ channel: 1, frameRate: pal, dropFrame: false });
    expect(a!.timecode!.startSeconds).toBeCloseTo(36_005.01, 5);
    expect(c).toMatchObject({ placedBy: "timecode", timecode: { channel: 2 } });
    expect(Math.abs(c!.offset! - 7.3)).toBeLessThan(2e-5);
    expect(Math.abs(c!.ratePpm! - 40)).toBeLessThan(0.5);
    expect(c!.uncertainty).toBeGreaterThan(0.005);
    expect(says(result, "by-timecode")).toEqual([
      "Camera C lies where its timecode puts it, not by its sound.",
    ]);
  });

  it("believes the sound where the timecode says otherwise, and tells both figures", async () => {
    const result = await measure([
      heldRecording("A", "A.mov", [sound.lav, timecode(125, 30, 0)], rate, { roles: ["lav"] }),
      // By its sound at 2 s; its timecode is 15 frames ahead.
      heldRecording("B", "B.mov", [room.recorded(sound.camera, 2, 0, 25), timecode(125 + 65, 25, 0)], rate),
    ]);
    const b = result.recordings[1]!;
    expect(b.placedBy).toBe("sound");
    expect(Math.abs(b.offset! - 2 + wayToCamera)).toBeLessThan(1e-4);
    const finding = result.findings.find((f) => f.code === "clock.timecode-disagrees")!;
    expect(finding.says).toMatch(
      /^Camera B's timecode is 60[0-9] ms ahead of the others'; its sound is believed\.$/,
    );
    expect(finding.evidence!.figure).toMatch(/^by timecode 10:00:07:16: 2\.600 s, by sound: 1\.99\d s$/);
  });

  it("tells a time reference that is seconds wrong, and does not place others by it", async () => {
    const at = (seconds: number) => ({ probe: { timeReferenceSamples: Math.round(seconds * rate) } });
    const result = await measure([
      heldRecording("A", "A.mov", [sound.lav], rate, { roles: ["lav"], ...at(36_000) }),
      heldRecording("B", "B.mov", [room.recorded(sound.camera, 1, 0, 25)], rate, at(36_001)),
      heldRecording("sound", "S.wav", [room.recorded(sound.camera, 3, 0, 25)], rate, at(36_007)),
      heldRecording("C", "mute.mov", [new Float32Array(rate * 20)], rate, at(36_004)),
      heldRecording("sound", "S2.wav", [new Float32Array(rate * 4)], rate, at(36_037)),
    ]);
    expect(says(result, "timecode-disagrees")).toHaveLength(1);
    expect(says(result, "timecode-disagrees")[0]).toMatch(
      /^The recorder's first file's time reference is (4\.00\d|3\.99\d) s ahead of the others'; its sound is believed\.$/,
    );
    const [, , , c, second] = result.recordings;
    expect(c).toMatchObject({ placedBy: "timecode" });
    expect(Math.abs(c!.offset! - 4)).toBeLessThan(0.01);
    // The recorder's other file is wrong by the same four seconds.
    expect(Math.abs(second!.offset! - 33)).toBeLessThan(0.01);
  });

  it("crosses midnight", async () => {
    const at = (label: string) => ({ probe: { timecode: label } });
    const result = await measure([
      heldRecording("A", "A.mov", [sound.lav], rate, { roles: ["lav"], ...at("23:59:50:00") }),
      heldRecording("C", "mute.mov", [new Float32Array(rate * 5)], rate, at("00:00:10:05")),
    ]);
    expect(result.recordings[1]).toMatchObject({ placedBy: "timecode" });
    expect(result.recordings[1]!.offset).toBeCloseTo(20.2, 9);
  });

  it("does not lay another day's talk on this one by its label", async () => {
    const at = (label: string) => ({ probe: { timecode: label } });
    const result = await measure([
      heldRecording("A", "A.mov", [sound.lav], rate, { roles: ["lav"], ...at("10:00:00:05") }),
      heldRecording("B", "B.mov", [otherDay.camera], rate, at("10:00:01:05")),
    ]);
    expect(result.recordings[1]).toMatchObject({ placedBy: "none", offset: null });
    expect(result.findings[0]!.evidence!.figure).toMatch(
      /^its timecode 10:00:01:05 would put it 1\.000 s after/,
    );
  });
});
