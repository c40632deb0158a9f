import { beforeAll, describe, expect, it } from "vitest";
import type { ClockResult } from "#documents/chapter-results";
import {
  arrayMedia,
  type HeldRecording,
  heldRecording,
  listeningContext,
} from "../../../test/helpers/array-media.ts";
import { simulatedInterview, wayToCamera } from "../../../test/helpers/interview.ts";
import * as room from "../../../test/helpers/simulated-room.ts";
import { clock } from "./clock.ts";

/*
 * The truth is the simulated room's own. The lav's two files do not overlap, so that one of them hangs on the other by
 * what a camera heard; half of the clips hold the interviewer, who sits near the cameras.
 */

const rate = room.roomRateHz;
/** Device, clock and clips: from second of the sitting, seconds. */
const devices = [
  {
    device: "A",
    ratePpm: 0,
    clips: [
      [0, 19.2],
      [19.5, 20.5],
    ],
  },
  {
    device: "B",
    ratePpm: 25,
    clips: [
      [5, 7],
      [12.5, 6],
      [25, 7.5],
      [33, 7],
    ],
  },
  {
    device: "C",
    ratePpm: -40,
    clips: [
      [6, 7],
      [13.5, 16],
      [30, 5],
      [35, 5],
    ],
  },
] as const;

describe("clock, on ten clips of three devices in any order", () => {
  let result: ClockResult;
  const truth = new Map<string, { start: number; ratePpm: number }>();
  beforeAll(async () => {
    const sound = await simulatedInterview(40, 51, { reverberationSeconds: 0.5 });
    const held: HeldRecording[] = devices.flatMap(({ device, ratePpm, clips }) =>
      clips.map(([start, seconds], i) => {
        const path = `${device}${i + 1}.mov`;
        const isLav = device === "A";
        truth.set(path, { start: start - (isLav ? 0 : wayToCamera), ratePpm });
        const heard = room.recorded(isLav ? sound.lav : sound.camera, start, ratePpm, seconds);
        return heldRecording(device, path, [heard], rate, isLav ? { roles: ["lav"] } : {});
      }),
    );
    // Any order: every third of the ten, round and round.
    const shuffled = held.map((_, i) => held[(3 * i) % held.length]!);
    result = await clock.measure(
      { recordings: shuffled.map((h) => h.recording), master: null },
      listeningContext(arrayMedia(held)),
    );
  });

  it("takes the lav's longer file for the master and places the other nine by sound", () => {
    expect(result.master).toBe("A2.mov");
    expect(result.recordings.map((r) => r.placedBy)).toEqual(Array.from({ length: 10 }, () => "sound"));
  });

  it("puts every clip where the sitter's voice is, to 0.05 ms and within what it says of itself", () => {
    const master = truth.get("A2.mov")!;
    for (const row of result.recordings) {
      const { start, ratePpm } = truth.get(row.path)!;
      const error = (t: number) =>
        row.offset! + t * (1 + row.ratePpm! * 1e-6) - (start - master.start + t * (1 + ratePpm * 1e-6));
      const worst = Math.max(Math.abs(error(0)), Math.abs(error(row.durationSeconds)));
      expect(worst, row.path).toBeLessThan(5e-5);
      if (row.path !== "A2.mov") expect(worst, row.path).toBeLessThan(4 * row.uncertainty!);
    }
  });

  it("is no surer of a clip than of the one that it hangs on", () => {
    const row = (path: string) => result.recordings.find((r) => r.path === path)!;
    expect(row("B1.mov").confidence).toBeLessThanOrEqual(row("A1.mov").confidence);
    expect(row("B1.mov").uncertainty!).toBeGreaterThanOrEqual(row("A1.mov").uncertainty! - 1e-5);
  });
});
