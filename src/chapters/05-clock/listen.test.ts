import { expect, it } from "vitest";
import { loadFft } from "#science/signal/fft";
import { lcgNoise } from "#science/signal/lcg-noise";
import { arrayMedia, heldRecording } from "../../../test/helpers/array-media.ts";
import { listeningRateHz } from "./constants.ts";
import { workHere } from "./sound-work.ts";

it("gives the same sound whether it was kept or is read again, and silence outside", async () => {
  const sound = lcgNoise(20.5 * listeningRateHz).map((v, i) => v * (i < 5 * listeningRateHz ? 1e-3 : 0.5));
  const held = heldRecording("A", "A.wav", [sound], listeningRateHz);
  const media = arrayMedia([held]);
  const microphone = { channel: 1, role: null };
  const work = workHere(await loadFft(), async () => {});
  const hear = (keep: boolean) =>
    work.listen({ recording: held.recording, microphone, media, heard: () => {} }, keep);
  const [kept, reread] = [await hear(true), await hear(false)];
  expect(kept.seconds).toBe(20.5);
  expect(kept.onsets).toEqual(reread.onsets);
  for (const first of [-700, 4.9 * listeningRateHz, 7.99 * listeningRateHz, 20.4 * listeningRateHz]) {
    const [a, b] = [new Float32Array(6000), new Float32Array(6000)];
    await kept.sound.read(Math.round(first), a);
    await reread.sound.read(Math.round(first), b);
    b.forEach((v, i) => {
      expect(v).toBe(sound[Math.round(first) + i] ?? 0);
      // Two bytes a sample, scaled to each second's peak: 2^-16 of it at most.
      if (Math.abs(a[i]! - v) > 0.5 / 65_534) throw new Error(`sample ${i} is off by ${a[i]! - v}`);
    });
  }
});
