import { beforeAll, describe, expect, it } from "vitest";
import type { ClockResult } from "#documents/chapter-results";
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
const measure = (held: readonly HeldRecording[]): Promise<ClockResult> =>
  clock.measure(
    { recordings: held.map((h) => h.recording), master: null },
    listeningContext(arrayMedia(held)),
  );

/** Where row `path` is off at worst, if camera B began at 2 s with a clock 30 ppm slow and lost nothing. */
function worstError(result: ClockResult, path: string, fromLocal: number): number {
  const row = result.recordings.find((r) => r.path === path)!;
  const truth = (t: number) => 2 - wayToCamera + (fromLocal + t) * (1 + 30e-6);
  const place = (t: number) => row.offset! + t * (1 + row.ratePpm! * 1e-6);
  return Math.max(...[0, row.durationSeconds].map((t) => Math.abs(place(t) - truth(t))));
}

describe("clock, on takes that a camera split", () => {
  let sound: Interview;
  let whole: Float32Array;
  beforeAll(async () => {
    // Nobody speaks in the last part.
    sound = await simulatedInterview(60, 71, { silences: [[41, 60]] });
    whole = room.recorded(sound.camera, 2, 30, 56);
  });
  const part = (from: number, end: number) => whole.slice(from * rate, end * rate);
  const b = (path: string, from: number, end: number, probe: object) =>
    heldRecording("B", path, [part(from, end)], rate, { probe });

  it("places the silent rest of a take to the sample by the files before it", async () => {
    const full = { bytes: 4_294_000_000 };
    const result = await measure([
      heldRecording("A", "A.mov", [sound.lav], rate, { roles: ["lav"] }),
      b("C0003.mp4", 42, 52, {}),
      b("C0001.mp4", 0, 20, full),
      b("C0002.mp4", 20, 42, full),
    ]);
    expect(result.recordings.map((r) => r.placedBy)).toEqual(["sound", "sound", "sound", "sound"]);
    for (const [path, from] of [
      ["C0001.mp4", 0],
      ["C0002.mp4", 20],
      ["C0003.mp4", 42],
    ] as const)
      expect(worstError(result, path, from)).toBeLessThan(1e-4);
    const rest = result.recordings[1]!;
    expect(rest.goesOnFrom).toEqual({ hash: "xxh128:C0002.mp4", gapSeconds: 0 });
    expect(rest.uncertainty).toBeGreaterThan(0.01);
    expect(result.findings.find((f) => f.code === "clock.goes-on")!.says).toBe(
      "Camera B's third file is placed as one take with camera B's second file; its own sound is not enough.",
    );
  });

  it("keeps a small hole between two files that their time references tell", async () => {
    const at = (seconds: number) => ({ timeReferenceSamples: Math.round((36_000 + seconds) * rate) });
    const result = await measure([
      heldRecording("A", "A.mov", [sound.lav], rate, { roles: ["lav"] }),
      b("C0001.mp4", 0, 42, at(0)),
      b("C0002.mp4", 42.04, 52, at(42.04)),
    ]);
    expect(worstError(result, "C0002.mp4", 42.04)).toBeLessThan(2e-4);
    expect(result.recordings[2]!.goesOnFrom!.gapSeconds).toBeCloseTo(0.04, 6);
    expect(result.findings.find((f) => f.code === "clock.goes-on")!.says).toContain(", 40 ms lost between;");
  });

  it("does not join what is not one take", async () => {
    const result = await measure([
      heldRecording("A", "A.mov", [sound.lav], rate, { roles: ["lav"] }),
      b("C0001.mp4", 0, 41, {}),
      b("C0002.mp4", 42, 52, {}),
    ]);
    expect(result.recordings[2]!.placedBy).toBe("none");
  });

  it("believes a file's own sound where it is not the rest of the take", async () => {
    const full = { bytes: 4_294_000_000 };
    const result = await measure([
      heldRecording("A", "A.mov", [sound.lav], rate, { roles: ["lav"] }),
      b("C0001.mp4", 0, 16, full),
      b("C0002.mp4", 22, 40, {}),
    ]);
    expect(worstError(result, "C0002.mp4", 22)).toBeLessThan(1e-4);
  });
});
