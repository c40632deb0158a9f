import { describe, expect, it } from "vitest";
import type { SmallPicture } from "#documents/media-reader";
import { lcgNoise } from "#science/signal/lcg-noise";
import { seenIn } from "./seen-clap.ts";

const [width, height] = [160, 90];

/** 25 pictures a second from 10 s on: a grey room with grain, and what `paint` makes of each pixel. */
function pictures(count: number, paint: (frame: number, x: number, y: number) => number): SmallPicture[] {
  return Array.from({ length: count }, (_, k) => {
    const grain = lcgNoise(width * height, k + 1);
    const rgb = new Uint8Array(3 * width * height);
    for (let y = 0; y < height; y++)
      for (let x = 0; x < width; x++) {
        const v = 60 + ((x * 7 + y * 3) % 40) + 3 * grain[y * width + x]! + paint(k, x, y);
        rgb.fill(Math.max(0, Math.min(255, v)), 3 * (y * width + x), 3 * (y * width + x) + 3);
      }
    return { atSeconds: 10 + k / 25, width, height, rgb };
  });
}
const within = (x: number, y: number, cx: number, cy: number, r: number) =>
  Math.abs(x - cx) < r && Math.abs(y - cy) < r;

describe("seenIn", () => {
  it("finds a telephone that flashes for three frames, to the frame", () => {
    const flash = pictures(25, (k, x, y) => (k >= 12 && k < 15 && within(x, y, 110, 50, 14) ? 120 : 0));
    expect(seenIn(flash, 10.5)).toMatchObject({ at: 10.48, kind: "flash" });
  });

  it("finds a light on the whole picture for one frame", () => {
    expect(
      seenIn(
        pictures(25, (k) => (k === 9 ? 70 : 0)),
        10.5,
      ),
    ).toMatchObject({ at: 10.36, kind: "flash" });
  });

  it("finds the frame in which a stick falls shut and stands still, and does not take it for a flash", () => {
    // A bright bar comes down by 10 lines a frame, and lies from frame 13 on.
    const shut = pictures(25, (k, x, y) =>
      Math.abs(x - 80) < 30 && Math.abs(y - Math.min(60, 60 - 10 * (13 - k))) < 6 ? 130 : 0,
    );
    expect(seenIn(shut, 10.5)).toMatchObject({ at: 10.52, kind: "shut" });
  });

  it("sees nothing in a still room, in a lamp that is switched on, or in a hand that goes by", () => {
    expect(
      seenIn(
        pictures(25, () => 0),
        10.5,
      ),
    ).toBeNull();
    expect(
      seenIn(
        pictures(25, (k) => (k >= 12 ? 60 : 0)),
        10.5,
      ),
    ).toBeNull();
    const hand = pictures(25, (k, x, y) => (within(x, y, 6 * k, 45, 12) ? 90 : 0));
    expect(seenIn(hand, 10.5)).toBeNull();
  });

  it("says nothing of fewer than six pictures", () =>
    expect(
      seenIn(
        pictures(5, () => 0),
        10,
      ),
    ).toBeNull());
});
