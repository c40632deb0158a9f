import { expect, it } from "vitest";
import { lcgNoise } from "#science/signal/lcg-noise";
import { arrayMedia, heldRecording, listeningContext } from "../../../test/helpers/array-media.ts";
import * as room from "../../../test/helpers/simulated-room.ts";
import { clock } from "./clock.ts";

it("finds the one clap in a sitting, in both files, to two milliseconds", async () => {
  const [seconds, clapAt, start] = [30, 12.345, 2];
  const box = { size: [6.1, 4.3, 2.8] as const, reverberationSeconds: 0.4 };
  const [sitter, lav, camera] = [
    [3.2, 2.4, 1.2],
    [3.2, 2.22, 1.05],
    [1.5, 1.1, 1.3],
  ] as const;
  const sound = room.speechLikeNoise(seconds, 31);
  const first = Math.round(clapAt * room.roomRateHz);
  // Quiet for half a second on either side, and two hands between.
  sound.fill(0, first - 8000, first + 8000);
  lcgNoise(400, 3).forEach((v, i) => {
    sound[first + i] = v * Math.exp(-i / 60);
  });
  const near = await room.convolved(sound, room.impulseResponse(box, sitter, lav));
  const far = await room.convolved(sound, room.impulseResponse(box, sitter, camera));
  const quiet = (x: Float32Array, seed: number) => room.mixed(x, room.roomNoise(seconds, seed, 1e-4));
  const held = [
    heldRecording("A", "A.mov", [quiet(near, 1)], room.roomRateHz, { roles: ["lav"] }),
    heldRecording("B", "B.mp4", [room.recorded(quiet(far, 2), start, 30, 25)], room.roomRateHz),
  ];
  const inputs = { recordings: held.map((h) => h.recording), master: null };
  const { claps } = await clock.measure(inputs, listeningContext(arrayMedia(held)));
  expect(claps).toHaveLength(1);
  expect(Math.abs(claps[0]!.at - clapAt - room.distance(sitter, lav) / room.speedOfSound)).toBeLessThan(2e-3);
  const inB = claps[0]!.heardBy.find((h) => h.hash === "xxh128:B.mp4")!;
  expect(
    Math.abs(inB.localTime - (clapAt - start) - room.distance(sitter, camera) / room.speedOfSound),
  ).toBeLessThan(2e-3);
});
