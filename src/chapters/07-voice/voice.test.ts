import { describe, expect, it } from "vitest";
import { voiceResultSchema } from "#documents/chapter-results";
import type { Recording } from "#documents/recording";
import type { SourceSaid } from "#documents/said";
import { defaultDecisions } from "#documents/sitting";
import { readEvenly } from "#science/filters/resample";
import { loudnessOf, soundContext, soundRecording } from "../../../test/helpers/sound-context.ts";
import { addCloth, boomOf, lavOf, voiceLike } from "../../../test/helpers/voice-like.ts";
import { voice } from "./voice.ts";

const seconds = 24;
const dry = voiceLike(seconds);
const lagSeconds = 0.0021337;

async function run(
  files: {
    recording: Recording;
    channels: readonly Float32Array[];
    placement?: { offset: number; ratePpm: number };
  }[],
  said: readonly SourceSaid[] = [],
) {
  const { context, written } = soundContext(new Map(files.map((f) => [f.recording.hash, f.channels])));
  const result = await voice.measure(
    {
      recordings: files.map((f) => ({
        recording: f.recording,
        placement: f.placement ?? { offset: 0, ratePpm: 0 },
      })),
      unplaced: [],
      said,
      ...defaultDecisions,
    },
    context,
  );
  return { result, written };
}

function twoMics(change: (lav: Float32Array, boom: Float32Array) => void = () => {}, polarity: 1 | -1 = 1) {
  const lav = lavOf(dry);
  const boom = boomOf(dry, lagSeconds, polarity);
  change(lav, boom);
  return { recording: soundRecording("A001.mov", [lav, boom]), channels: [lav, boom] };
}

describe("voice", () => {
  it("tells lav from boom, the lag to a hundredth of a millisecond, and the polarity", async () => {
    const file = twoMics(undefined, -1);
    const swapped = {
      recording: soundRecording("A001.mov", file.channels),
      channels: [...file.channels].reverse(),
    };
    const { result } = await run([swapped]);
    expect(result.roles.map((r) => [r.channel, r.role])).toEqual([
      [1, "boom"],
      [2, "lav"],
    ]);
    expect(Math.abs(result.delay! - lagSeconds)).toBeLessThan(1e-5);
    expect(result.polarity).toBe(-1);
    expect(voiceResultSchema.parse(result)).toEqual(result);
  });

  it("keeps a clean lav from end to end and delivers the loudness asked for, its true peak held", async () => {
    const { result, written } = await run([twoMics()]);
    expect(result.segments.map((s) => s.source)).toEqual(["lav"]);
    expect(result.faults).toEqual([]);
    const dialogue = written.get(result.files[0]!)!;
    expect(dialogue.length).toBe(dry.length);
    // AES TD1008 (2021): speech for streaming, −18 LUFS; EBU R 128 (2023): at most −1 dBTP. Half a unit is our promise.
    expect(Math.abs(loudnessOf(dialogue) - -18)).toBeLessThan(0.5);
    expect(result.loudness.truePeak).toBeLessThanOrEqual(-1);
    expect(result.findings.filter((f) => f.weight !== "note")).toEqual([]);
    expect(voice.verdict(result)).toContain("The lav carried the voice from end to end.");
    expect(result.envelopes.map((e) => [e.name, e.peaks.length])).toEqual([
      ["lav", seconds * 20],
      ["boom", seconds * 20],
      ["dialogue", seconds * 20],
    ]);
  });

  it("follows the microphone that a person chose, in the dialogue too", async () => {
    const { result, written } = await run([twoMics()], [{ from: 6, to: 12, source: "boom" }]);
    expect(
      result.segments.map(({ start, end, source, said }) => [start, end, source, said ?? false]),
    ).toEqual([
      [0, 6, "lav", false],
      [6, 12, "boom", true],
      [12, seconds, "lav", false],
    ]);
    const alike = (name: string, from: number, to: number): number => {
      const [x, y] = ["dialogue.wav", name].map((n) => written.get(n)!.subarray(from * 48_000, to * 48_000));
      const dot = (p: Float32Array, q: Float32Array) => p.reduce((sum, v, i) => sum + v * q[i]!, 0);
      return dot(x!, y!) / Math.sqrt(dot(x!, x!) * dot(y!, y!));
    };
    expect(alike("boom.wav", 7, 11)).toBeGreaterThan(alike("lav.wav", 7, 11));
    expect(alike("lav.wav", 1, 5)).toBeGreaterThan(alike("boom.wav", 1, 5));
  });

  it("lets the boom stand in where cloth rubs on the lav, and says so", async () => {
    const { result } = await run([twoMics((lav) => addCloth(lav, 9.2, 11.4))]);
    const rustle = result.faults.filter((f) => f.kind === "rustle");
    expect(rustle).toHaveLength(1);
    expect(Math.abs(rustle[0]!.start - 9.2)).toBeLessThan(0.25);
    expect(Math.abs(rustle[0]!.end - 11.4)).toBeLessThan(0.25);
    expect(result.segments.map((s) => s.source)).toEqual(["lav", "boom", "lav"]);
    expect(result.segments[1]!.start).toBeLessThan(9.2);
    expect(result.segments[1]!.end).toBeGreaterThan(11.35);
    expect(result.segments[1]!.why).toBe("cloth rubbed on the lav");
    expect(Math.abs(result.loudness.integrated - -18)).toBeLessThan(0.5);
    expect(result.findings.map((f) => f.code)).toContain("voice.rustle");
  });

  it("keeps the level through a change of microphone", async () => {
    const { result, written } = await run([twoMics((lav) => addCloth(lav, 9.2, 11.4))]);
    const plain = await run([twoMics()]);
    const level = (x: Float32Array, from: number, to: number): number =>
      10 *
      Math.log10(
        x.subarray(from * 48_000, to * 48_000).reduce((sum, v) => sum + v * v, 0) / ((to - from) * 48_000),
      );
    const here = written.get(result.files[0]!)!;
    const there = plain.written.get(plain.result.files[0]!)!;
    expect(Math.abs(level(here, 9.4, 11.2) - level(there, 9.4, 11.2))).toBeLessThan(2);
  });

  it("hears a lav that was too loud for its input, and uses the boom there", async () => {
    const file = twoMics((lav) => {
      for (let i = 48_000 * 5; i < 48_000 * 7; i++) lav[i] = Math.max(-1, Math.min(1, lav[i]! * 6));
    });
    const { result } = await run([file]);
    expect(result.faults.map((f) => f.kind)).toContain("clipping");
    for (const fault of result.faults) {
      expect(fault.start).toBeGreaterThan(4.7);
      expect(fault.end).toBeLessThan(7.3);
    }
    expect(result.segments.map((s) => s.source)).toEqual(["lav", "boom", "lav"]);
  });

  it("puts a lav from a separate recorder on sitting time, at its own rate", async () => {
    const ratePpm = 35;
    const offset = -1.75;
    const boom = boomOf(dry, lagSeconds, 1);
    const lavOnTime = lavOf(dry);
    // The recorder began 1.75 s before sitting time 0 and its clock runs 35 ppm slow.
    const lav = readEvenly(lavOnTime, offset * 48_000, 1 + ratePpm * 1e-6);
    const { result, written } = await run([
      {
        recording: soundRecording("A001.mov", [boom], { roles: [{ channel: 1, role: "boom" }] }),
        channels: [boom],
      },
      {
        recording: soundRecording("REC1.wav", [lav], { device: "sound", kind: "sound" }),
        channels: [lav],
        placement: { offset, ratePpm },
      },
    ]);
    expect(result.roles.map((r) => r.role)).toEqual(["boom", "lav"]);
    expect(result.dialogueStart).toBeCloseTo(offset, 4);
    expect(Math.abs(result.delay! - lagSeconds)).toBeLessThan(1e-5);
    const track = written.get("lav.wav")!;
    let worst = 0;
    for (let i = 48_000; i < 48_000 * 22; i++) {
      worst = Math.max(worst, Math.abs(track[i - Math.round(offset * 48_000)]! - lavOnTime[i]!));
    }
    // Two band-limited readings lose what lies above 20 kHz: here less than -52 dB of the peak.
    expect(worst).toBeLessThan(1e-3);
  });

  it("uses a camera's own microphone where there is nothing else, and says so", async () => {
    const own = boomOf(dry, 0.004, 1);
    const { result } = await run([
      { recording: soundRecording("B001.mp4", [own], { codec: "aac" }), channels: [own] },
    ]);
    expect(result.roles.map((r) => r.role)).toEqual(["scratch"]);
    expect(result.delay).toBeNull();
    expect(result.findings.map((f) => f.code)).toContain("voice.no-close-microphone");
    expect(Math.abs(result.loudness.integrated - -18)).toBeLessThan(0.5);
  });

  it("says it plainly where nobody spoke", async () => {
    const nothing = new Float32Array(48_000 * 3);
    const { result } = await run([{ recording: soundRecording("A001.mov", [nothing]), channels: [nothing] }]);
    expect(result.roles[0]!.role).toBe("silent");
    expect(result.findings[0]).toMatchObject({ code: "voice.no-voice", weight: "stop" });
    expect(voice.verdict(result)).toBe("The microphones heard no voice. Nothing was levelled.");
  });

  it("asks for recordings where there are none, and takes the first alone where no clock ran", () => {
    const sitting = { decisions: defaultDecisions } as Parameters<typeof voice.inputs>[0]["sitting"];
    expect(voice.inputs({ sitting, recordings: [], results: {} })).toHaveProperty("missing");
    const [one, two] = ["A001.mov", "B001.mp4"].map((name) => soundRecording(name, [dry]));
    const inputs = voice.inputs({ sitting, recordings: [one!, two!], results: {} });
    expect(inputs).toMatchObject({
      recordings: [{ recording: one, placement: { offset: 0, ratePpm: 0 } }],
      unplaced: ["B001.mp4"],
    });
  });
});
