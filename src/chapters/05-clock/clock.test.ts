import { beforeAll, describe, expect, it } from "vitest";
import { type ClockResult, clockResultSchema } from "#documents/chapter-results";
import {
  arrayMedia,
  type HeldRecording,
  heldRecording,
  listeningContext,
} from "../../../test/helpers/array-media.ts";
import * as room from "../../../test/helpers/simulated-room.ts";
import { clock } from "./clock.ts";

/*
 * A simulated interview: two talkers who take turns, one shoebox of 6.1 x 4.3 x 2.8 m, a lav, a camera's own
 * microphone, clocks that differ. The truth is in the geometry and the clocks, so these tests guard against
 * regressions; the parts are checked against published values beside them.
 */
const sitter: room.Point = [3.2, 2.4, 1.2];
const lav: room.Point = [3.2, 2.22, 1.05];
const asker: room.Point = [1.9, 1.0, 1.25];
const cameraB: room.Point = [1.5, 1.1, 1.3];
const rate = room.roomRateHz;

async function interview(
  seconds: number,
  seed: number,
  reverberationSeconds: number,
  snrDb: number,
  asking = 1,
) {
  const box = { size: [6.1, 4.3, 2.8] as const, reverberationSeconds };
  const answers = room.speechLikeNoise(seconds, seed);
  const questions = room.speechLikeNoise(seconds, seed + 500);
  // A question in the first 5 of every 20 seconds.
  for (let i = 0; i < answers.length; i++)
    if ((i / rate) % 20 < 5) answers[i] = 0;
    else questions[i] = 0;
  for (let i = 0; i < questions.length; i++) questions[i]! *= asking;
  const at = async (microphone: room.Point, noiseDb: number, noiseSeed: number) => {
    const sound = room.mixed(
      await room.convolved(answers, room.impulseResponse(box, sitter, microphone)),
      await room.convolved(questions, room.impulseResponse(box, asker, microphone)),
    );
    return room.mixed(sound, room.roomNoise(seconds, noiseSeed, levelOf(sound) * 10 ** (-noiseDb / 20)));
  };
  return { lav: await at(lav, 50, seed + 1), cameraB: await at(cameraB, snrDb, seed + 2) };
}

const levelOf = (x: Float32Array) => Math.sqrt(x.reduce((sum, v) => sum + v * v, 0) / x.length);
/** The sitter's voice reaches camera B later than the lav, so its recording lies that much earlier. */
const way = (room.distance(sitter, cameraB) - room.distance(sitter, lav)) / room.speedOfSound;

const measure = (held: readonly HeldRecording[], master: string | null = null): Promise<ClockResult> =>
  clock.measure({ recordings: held.map((h) => h.recording), master }, listeningContext(arrayMedia(held)));

/** Largest error of the placement at any moment of the recording, seconds. */
function worstError(result: ClockResult, path: string, start: number, ratePpm: number): number {
  const row = result.recordings.find((r) => r.path === path)!;
  const error = (t: number) =>
    row.offset! + t * (1 + row.ratePpm! * 1e-6) - (start - way + t * (1 + ratePpm * 1e-6));
  return Math.max(Math.abs(error(0)), Math.abs(error(row.durationSeconds)));
}

describe("clock, on a minute of interview with camera B stopped and started again", () => {
  let result: ClockResult;
  beforeAll(async () => {
    const sound = await interview(60, 1, 0.5, 12);
    result = await measure([
      heldRecording("B", "B2.mp4", [room.recorded(sound.cameraB, 33.4, 37, 25)], rate),
      heldRecording("A", "A.mov", [sound.lav, room.recorded(sound.lav, 0, 0, 60)], rate, {
        roles: ["lav", "boom"],
      }),
      heldRecording("B", "B1.mp4", [room.recorded(sound.cameraB, 3.217, 37, 26)], rate),
    ]);
  });

  it("hangs all on the recording that carries the lav", () => {
    expect(clockResultSchema.parse(result)).toEqual(result);
    expect(result.master).toBe("A.mov");
    expect(result.recordings.map((r) => r.placedBy)).toEqual(["sound", "sound", "sound"]);
    expect(result.recordings[1]).toMatchObject({ offset: 0, ratePpm: 0, confidence: 1, uncertainty: 0 });
  });

  it("is never off by more than 0.05 ms, and says so", () => {
    for (const [path, start] of [
      ["B1.mp4", 3.217],
      ["B2.mp4", 33.4],
    ] as const) {
      const error = worstError(result, path, start, 37);
      const row = result.recordings.find((r) => r.path === path)!;
      expect(error).toBeLessThan(5e-5);
      expect(error).toBeLessThan(4 * row.uncertainty!);
      expect(row.uncertainty).toBeLessThan(3e-4);
      expect(row.confidence).toBeGreaterThan(0.9);
    }
  });

  it("tells each comparison window by window, and what the fitted line leaves of it", () => {
    expect(result.edges!.map((e) => [e.reference, e.other, e.from])).toEqual([
      ["xxh128:A.mov", "xxh128:B2.mp4", 0],
      ["xxh128:A.mov", "xxh128:B1.mp4", 0],
    ]);
    for (const edge of result.edges!) {
      const row = result.recordings.find((r) => r.hash === edge.other)!;
      expect(
        new Set([edge.at, edge.delayMs, edge.residualMs, edge.say].map((list) => list.length)).size,
      ).toBe(1);
      expect(edge.used).toBeGreaterThan(5);
      expect(edge.scatter).toBeLessThan(5e-4);
      // Delay = lean of the line + residual, at every window.
      edge.at.forEach((at, i) => {
        const leanMs = ((at - row.offset!) / (1 + row.ratePpm! * 1e-6)) * row.ratePpm! * 1e-3;
        expect(edge.delayMs[i]! - edge.residualMs[i]!).toBeCloseTo(leanMs, 2);
      });
    }
  });

  it("gives both files of camera B one rate, and no pieces for the interviewer's voice", () => {
    const [second, , first] = result.recordings;
    expect(second!.ratePpm).toBe(first!.ratePpm);
    expect(result.recordings.every((r) => r.pieces === undefined)).toBe(true);
  });

  it("moves the picture later by the sound's way to the microphone", () => {
    const row = result.recordings[2]!;
    expect(row.pictureOffset! - row.offset!).toBeCloseTo((2 - 0.2) / 343.21, 6);
    expect(result.recordings[1]!.pictureOffset).toBe(0);
  });

  it("lays the same waveform of two recordings on each other", () => {
    const [a, b] = result.snippet!.traces;
    expect(result.snippet!.traces).toHaveLength(2);
    const likeness = (x: readonly number[], y: readonly number[]) =>
      x.reduce((sum, v, i) => sum + v * y[i]!, 0) /
      Math.sqrt(x.reduce((s, v) => s + v * v, 0) * y.reduce((s, v) => s + v * v, 0));
    expect(likeness(a!.asPlaced, b!.asPlaced)).toBeGreaterThan(0.4);
    expect(Math.abs(likeness(a!.asRecorded, b!.asRecorded))).toBeLessThan(0.3);
  });

  it("says it in one sentence, and the gap in another", () => {
    expect(clock.verdict(result)).toMatch(
      /^Camera B's second file began 33\.39 s after camera A and drifted 3[67] parts in a million, 0\.9\d ms by its end\. All three are on one clock; least certain is camera B's (first|second) file, ±0\.\d\d ms\.$/,
    );
    expect(clock.findings(result).map((f) => f.code)).toEqual([
      "clock.gap",
      "clock.picture-distance-assumed",
    ]);
    expect(result.findings[0]!.says).toBe("Camera B stopped at 0:29 and began again at 0:33.");
  });
});

describe("clock, refusing rather than guessing", () => {
  let sound: Awaited<ReturnType<typeof interview>>;
  let otherDay: Awaited<ReturnType<typeof interview>>;
  beforeAll(async () => {
    sound = await interview(40, 21, 0.4, 15);
    otherDay = await interview(40, 77, 0.4, 15);
  });

  it("does not place another day's recording", async () => {
    const result = await measure([
      heldRecording("A", "A.mov", [sound.lav], rate, { roles: ["lav"] }),
      heldRecording("B", "other.mp4", [otherDay.cameraB], rate),
    ]);
    expect(result.recordings[1]).toMatchObject({
      placedBy: "none",
      offset: null,
      ratePpm: null,
      confidence: 0,
    });
    expect(result.findings[0]).toMatchObject({ code: "clock.not-placed", weight: "stop" });
    expect(clock.verdict(result)).toMatch(/^Camera B could not be placed\./);
  });

  it("does not place silence, and places the rest", async () => {
    const result = await measure([
      heldRecording("A", "A.mov", [sound.lav], rate, { roles: ["lav"] }),
      heldRecording("C", "silent.mp4", [new Float32Array(rate * 30)], rate),
      heldRecording("B", "B.mp4", [room.recorded(sound.cameraB, 1.5, -20, 35)], rate),
    ]);
    expect(result.recordings.map((r) => r.placedBy)).toEqual(["sound", "none", "sound"]);
    expect(result.findings[0]!.says).toBe(
      "Camera C was not placed: no channel of it carries a microphone's sound.",
    );
    expect(worstError(result, "B.mp4", 1.5, -20)).toBeLessThan(5e-5);
  });

  it("places by timecode what nobody heard, and by nothing what the sound speaks against", async () => {
    const timed = (timecode: string) => ({ probe: { timecode } });
    const result = await measure([
      heldRecording("A", "A.mov", [sound.lav], rate, { roles: ["lav"], ...timed("10:00:10:05") }),
      heldRecording("C", "mute.mp4", [new Float32Array(rate * 20)], rate, timed("10:00:12:10")),
      heldRecording("D", "other.mp4", [otherDay.cameraB], rate, timed("10:00:11:00")),
    ]);
    expect(result.recordings.map((r) => r.placedBy)).toEqual(["sound", "timecode", "none"]);
    // 25 frames a second: 2 s and 5 frames.
    expect(result.recordings[1]!.offset).toBeCloseTo(2.2, 9);
    // Each label is good to within its frame, and the two generators may stand a frame apart: 40 ms / sqrt(12), thrice.
    expect(result.recordings[1]!.uncertainty).toBeCloseTo(0.02, 9);
  });

  it("hears past a channel that carries timecode or nothing", async () => {
    const square = Float32Array.from({ length: rate * 40 }, (_, i) => (Math.floor(i / 4) % 2 ? 0.3 : -0.3));
    const result = await measure([
      heldRecording("A", "A.mov", [square, new Float32Array(rate * 40), sound.lav], rate),
      heldRecording("B", "B.mp4", [room.recorded(sound.cameraB, 1.5, -20, 35)], rate),
    ]);
    expect(worstError(result, "B.mp4", 1.5, -20)).toBeLessThan(5e-5);
  });

  it("finds where samples were lost, and places both sides", async () => {
    const whole = room.recorded(sound.cameraB, 1.5, -20, 37);
    // 100 ms are missing after 15 s; the place is known to a window, and moments are cut to the second.
    const lost = new Float32Array([...whole.subarray(0, 15 * rate), ...whole.subarray(15.1 * rate)]);
    const result = await measure([
      heldRecording("A", "A.mov", [sound.lav], rate, { roles: ["lav"] }),
      heldRecording("B", "B.mp4", [lost], rate),
    ]);
    const [first, second] = result.recordings[1]!.pieces!;
    expect(result.recordings[1]!.pieces).toHaveLength(2);
    expect(first!.from).toBe(0);
    expect(Math.abs(second!.from - 15)).toBeLessThan(0.3);
    expect(Math.abs(second!.offset - first!.offset - 0.1)).toBeLessThan(1e-4);
    expect(worstError(result, "B.mp4", 1.5, -20)).toBeLessThan(1e-4);
    expect(result.findings.find((f) => f.code === "clock.step")).toMatchObject({
      says: "Camera B lost 100 ms at 0:16.",
      remedy: "What follows is placed by itself. Avoid a cut across that moment, 0:14 in its file.",
    });
  });

  it("warns where a clip heard the interviewer alone, whose voice came another way", async () => {
    // Questions, 8 dB softer than answers, fill the first 5 of every 20 seconds.
    const soft = await interview(30, 41, 0.4, 15, 0.4);
    const result = await measure([
      heldRecording("A", "A.mov", [soft.lav], rate, { roles: ["lav"] }),
      heldRecording("B", "B.mp4", [soft.cameraB.slice(20.2 * rate, 24.8 * rate)], rate),
    ]);
    const row = result.recordings[1]!;
    expect(row.uncertainty).toBeGreaterThanOrEqual(0.006);
    expect(row.confidence).toBeLessThan(0.6);
    expect(result.findings[0]!.says).toMatch(/only softly, most likely the interviewer's\.$/);
  });

  it("places a clip of five seconds", async () => {
    const result = await measure([
      heldRecording("A", "A.mov", [sound.lav], rate, { roles: ["lav"] }),
      heldRecording("B", "B.mp4", [sound.cameraB.slice(27 * rate, 32 * rate)], rate),
    ]);
    expect(worstError(result, "B.mp4", 27, 0)).toBeLessThan(3e-4);
  });

  it("takes the close microphone for the master where nobody said which it is, though it is shorter", async () => {
    const held = [
      heldRecording("B", "B.mp4", [sound.cameraB], rate),
      heldRecording("A", "A.mov", [sound.lav.slice(rate * 4)], rate),
    ];
    const result = await measure(held);
    expect(result.master).toBe("A.mov");
    expect(worstError(result, "B.mp4", -4, 0)).toBeLessThan(5e-5);
    expect((await measure(held, "xxh128:B.mp4")).master).toBe("B.mp4");
  });

  it("says what is missing where nothing has sound", () => {
    const sitting = { decisions: {} } as never;
    expect(clock.inputs({ sitting, recordings: [], results: {} })).toEqual({
      missing: "No recordings yet. Copy the cards in Cards.",
    });
  });

  it("stops when it is told to", async () => {
    const held = [
      heldRecording("A", "A.mov", [sound.lav], rate),
      heldRecording("B", "B.mp4", [sound.cameraB], rate),
    ];
    const stop = new AbortController();
    stop.abort(new Error("enough"));
    const context = listeningContext(arrayMedia(held), stop.signal);
    await expect(
      clock.measure({ recordings: held.map((h) => h.recording), master: null }, context),
    ).rejects.toThrow("enough");
  });
});
