import { describe, expect, it } from "vitest";
import type { Recording } from "#documents/recording";
import { soundRecording } from "../../../test/helpers/sound-context.ts";
import { ChannelListener, type ChannelSigns, isSilent, isTimecode } from "./channel-signs.ts";
import { inferRoles, type RecordingSigns } from "./roles.ts";

const rate = 48_000;
const one = new Float32Array(rate);
const speech = (channel: number, speechDb = -24, floorDb = -60): ChannelSigns => ({
  channel,
  speechDb,
  floorDb,
  crestDb: 14,
  crossings: 1500,
  twoIntervals: 0.2,
});
const signs = (
  recording: Recording,
  lagSeconds: number | null,
  channels = recording.probe.sound!.channels,
): RecordingSigns => ({
  recording,
  channels: Array.from({ length: channels }, (_, c) => speech(c + 1)),
  pairs: lagSeconds === null ? [] : [{ first: 1, second: 2, lagSeconds, height: 0.3 }],
});
const told = (list: RecordingSigns[]): string[] =>
  inferRoles(list).map((o) => `${o.recording.path}:${o.channel}=${o.role}`);

/** Square wave that changes as SMPTE ST 12-1 asks: at each bit's start, and in the middle of each one. */
function timecodeWave(framesPerSecond: number): Float32Array {
  const halfBit = rate / (80 * framesPerSecond) / 2;
  const out = new Float32Array(rate);
  let level = 0.3;
  let word = 0x3ffd1234;
  for (let half = 0, at = 0; at < rate; half++) {
    const bit = (word >>> ((half >> 1) % 31)) & 1;
    if (half % 2 === 0 || bit) level = -level;
    if (half % 62 === 61) word = (Math.imul(word, 1664525) + 1013904223) >>> 0;
    const end = Math.min(rate, Math.round((half + 1) * halfBit));
    for (; at < end; at++) out[at] = level;
  }
  return out;
}

describe("channel signs", () => {
  const listened = (samples: Float32Array): ChannelSigns => {
    const listener = new ChannelListener(rate);
    listener.push(samples);
    return listener.signs(1);
  };
  it.each([24, 25, 30])("knows a timecode at %i frames a second", (fps) => {
    expect(isTimecode(listened(timecodeWave(fps)))).toBe(true);
  });
  it("does not take a steady tone, noise or silence for one", () => {
    const tone = Float32Array.from(one, (_, n) => 0.3 * Math.sin((2 * Math.PI * 1500 * n) / rate));
    expect(isTimecode(listened(tone))).toBe(false);
    expect(isTimecode(listened(one))).toBe(false);
    expect(isSilent(listened(one))).toBe(true);
  });
});

describe("inferRoles", () => {
  const camera = (name: string, more: Parameters<typeof soundRecording>[2] = {}): Recording =>
    soundRecording(name, [one, one], more);

  it("calls the microphone that hears the voice first the lav", () => {
    expect(told([signs(camera("A1.mov"), 0.002)])).toEqual(["A1.mov:1=lav", "A1.mov:2=boom"]);
    expect(told([signs(camera("A1.mov"), -0.002)])).toEqual(["A1.mov:1=boom", "A1.mov:2=lav"]);
  });

  it("calls a camera's own pair scratch", () => {
    const b = camera("B1.mp4", { device: "B", codec: "aac" });
    expect(told([signs(camera("A1.mov"), 0.002), signs(b, 0.0001)]).slice(2)).toEqual([
      "B1.mp4:1=scratch",
      "B1.mp4:2=scratch",
    ]);
  });

  it("names every file of a device that nothing else explains", () => {
    const files = ["B1.mp4", "B2.mp4"].map((name) =>
      soundRecording(name, [one], { device: "B", codec: "aac" }),
    );
    expect(told(files.map((file) => signs(file, null)))).toEqual(["B1.mp4:1=scratch", "B2.mp4:1=scratch"]);
  });

  it("lets a separate recorder carry the lav", () => {
    const b = camera("B1.mp4", { device: "B", codec: "aac" });
    const recorder = soundRecording("R1.wav", [one], { device: "sound", kind: "sound" });
    expect(told([signs(b, 0.0001), signs(recorder, null)]).at(-1)).toBe("R1.wav:1=lav");
  });

  it("keeps what a person said, and concludes from it", () => {
    const said = camera("A1.mov", { roles: [{ channel: 2, role: "lav" }] });
    expect(told([signs(said, 0.0001)])).toEqual(["A1.mov:1=boom", "A1.mov:2=lav"]);
  });

  it("holds one cabling for all files of a device, by the file that shows it best", () => {
    const short = camera("A2.mov");
    expect(told([signs(camera("A1.mov"), 0.002), signs(short, null)])).toEqual([
      "A1.mov:1=lav",
      "A1.mov:2=boom",
      "A2.mov:1=lav",
      "A2.mov:2=boom",
    ]);
  });
});
