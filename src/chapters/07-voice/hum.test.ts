import { expect, it } from "vitest";
import { loadFft } from "#science/signal/fft";
import { lcgNoise } from "#science/signal/lcg-noise";
import { voiceLike } from "../../../test/helpers/voice-like.ts";
import { HumListener } from "./hum.ts";

const rate = 48_000;

const voice = voiceLike(8);

async function heard(humHz: number, amplitude: number) {
  const listener = new HumListener(await loadFft());
  const noise = lcgNoise(8 * rate, 21);

  listener.push(
    voice.map((v, n) => {
      let hum = 0;
      for (let k = 1; k <= 6; k++) hum += Math.sin((2 * Math.PI * humHz * k * n) / rate + k) / k;
      return v + 0.0005 * noise[n]! + amplitude * hum;
    }),
  );
  return listener.read();
}

it.each([50, 60] as const)("hears %i Hz mains under a voice, and how loud it is", async (mains) => {
  const hum = await heard(mains, 0.002);
  expect(hum?.mainsHz).toBe(mains);
  // Power of partials 1/k of amplitude 0.002: −57.0 dB for the first, +1.7 dB for all six (sum of 1/k²).
  expect(hum!.levelDb).toBeGreaterThan(-58);
  expect(hum!.levelDb).toBeLessThan(-54);
});

it("hears none where there is none", async () => {
  expect(await heard(50, 0)).toBeNull();
});
