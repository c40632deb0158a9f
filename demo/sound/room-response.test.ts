import { describe, expect, it } from "vitest";
import { imageSources, roomResponse, type Shoebox, speedOfSound } from "./room-response.ts";

const box: Shoebox = { min: [0, 0, 0], max: [5, 3, 4], reflection: [0.9, 0.8, 0.7], trebleHz: 20_000 };

describe("imageSources, after Allen & Berkley 1979, figure 1 and equation 9", () => {
  const source = [2, 1, 1.5] as const;
  const ear = [4, 1, 1.5] as const;
  const images = [...imageSources(box, source, ear, 6.5)];
  const at = (x: number, y: number, z: number) =>
    images.find((i) => Math.hypot(i.at[0] - x, i.at[1] - y, i.at[2] - z) < 1e-9);

  it("keeps the source itself, with no reflection and all its strength", () => {
    expect(at(2, 1, 1.5)).toMatchObject({ reflections: 0, strength: 1 });
  });
  // by hand: a wall at x = 0 mirrors 2 to -2, one at x = 5 mirrors it to 8; the floor mirrors 1 to -1
  it("mirrors the source in each wall, once, with that wall's share", () => {
    expect(at(-2, 1, 1.5)).toMatchObject({ reflections: 1, strength: 0.9 });
    expect(at(8, 1, 1.5)).toMatchObject({ reflections: 1, strength: 0.9 });
    expect(at(2, -1, 1.5)).toMatchObject({ reflections: 1, strength: 0.8 });
    expect(at(2, 1, -1.5)).toMatchObject({ reflections: 1, strength: 0.7 });
  });
  it("mirrors a mirror image: corner images carry both walls' shares", () => {
    const corner = at(8, -1, 1.5);
    expect(corner?.reflections).toBe(2);
    expect(corner?.strength).toBeCloseTo(0.72, 12);
  });
  it("leaves out what is beyond reach", () => {
    for (const i of images)
      expect(Math.hypot(i.at[0] - 4, i.at[1] - 1, i.at[2] - 1.5)).toBeLessThanOrEqual(6.5);
  });
});

describe("roomResponse", () => {
  const rate = 48_000;
  const response = roomResponse(box, [2, 1, 1.5], { at: [4, 1, 1.5] }, rate, 0.4);
  const strongestBetween = (from: number, to: number): number => {
    let best = from;
    for (let n = from; n < to; n++) if (Math.abs(response[n]!) > Math.abs(response[best]!)) best = n;
    return best;
  };

  it("hears the direct sound two metres later, at half strength", () => {
    // 2 m / 343.2 m/s x 48 000 = 279.72 samples
    expect(Math.abs(strongestBetween(0, 330) - (2 / speedOfSound) * rate)).toBeLessThan(0.6);
    let sum = 0;
    for (let n = 270; n < 290; n++) sum += response[n]!;
    expect(sum).toBeGreaterThan(0.45);
    expect(sum).toBeLessThan(0.56);
  });
  it("hears the floor's echo where the geometry puts it", () => {
    // the floor mirrors the source to y = -1: sqrt(2² + 2²) = 2.828 m, 395.6 samples
    expect(Math.abs(strongestBetween(360, 410) - (Math.sqrt(8) / speedOfSound) * rate)).toBeLessThan(1);
  });
  it("dies away", () => {
    const energy = (from: number, to: number): number => {
      let sum = 0;
      for (let n = from; n < to; n++) sum += response[n]! ** 2;
      return sum;
    };
    expect(energy(16_800, 19_200)).toBeLessThan(1e-3 * energy(0, 2_400));
  });
});
