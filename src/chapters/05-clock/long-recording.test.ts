import { expect, it } from "vitest";
import { arrayMedia, heldRecording, listeningContext } from "../../../test/helpers/array-media.ts";
import * as room from "../../../test/helpers/simulated-room.ts";
import { clock } from "./clock.ts";

// The longest test of this chapter: twenty minutes against twenty minutes, in a simulated room.
it("finds a clock 80 parts in a million off within 0.1, and every moment of 20 minutes within 0.05 ms", async () => {
  const seconds = 1200;
  const box = { size: [6.1, 4.3, 2.8] as const, reverberationSeconds: 0.4 };
  const [sitter, lav, camera] = [
    [3.2, 2.4, 1.2],
    [3.2, 2.22, 1.05],
    [1.5, 1.1, 1.3],
  ] as const;
  const voice = room.speechLikeNoise(seconds, 5);
  const near = await room.convolved(voice, room.impulseResponse(box, sitter, lav, 0.15));
  const far = await room.convolved(voice, room.impulseResponse(box, sitter, camera, 0.25));
  const noisy = room.mixed(far, room.roomNoise(seconds, 9, 0.02));
  const held = [
    heldRecording("A", "A.wav", [near], room.roomRateHz, { roles: ["lav"] }),
    heldRecording("B", "B.wav", [room.recorded(noisy, 2.5, -80, seconds - 4)], room.roomRateHz),
  ];
  const media = arrayMedia(held);
  const result = await clock.measure(
    { recordings: held.map((h) => h.recording), master: null },
    listeningContext(media),
  );
  const row = result.recordings[1]!;
  const way = (room.distance(sitter, camera) - room.distance(sitter, lav)) / room.speedOfSound;
  expect(Math.abs(row.ratePpm! + 80)).toBeLessThan(0.1);
  const error = (t: number) => row.offset! + t * (1 + row.ratePpm! * 1e-6) - (2.5 - way + t * (1 - 80e-6));
  expect(Math.abs(error(0))).toBeLessThan(5e-5);
  expect(Math.abs(error(seconds - 4))).toBeLessThan(5e-5);
  expect(row.windows.length).toBeGreaterThan(100);
  expect(row.windows.length).toBeLessThanOrEqual(400);
  // Each recording is read from end to end once, and looked into three times to find its microphone.
  expect(media.reads.filter((wish) => wish.startSeconds === undefined)).toHaveLength(2);
  expect(media.reads).toHaveLength(8);
});
