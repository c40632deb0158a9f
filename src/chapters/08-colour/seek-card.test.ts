import { describe, expect, it } from "vitest";
import type { MeasureContext } from "#documents/chapter";
import type { Recording } from "#documents/recording";
import { seekNeutralCard } from "./seek-card.ts";

const [width, height] = [320, 180];
const grey = [0.46, 0.44, 0.4] as const;

/** A striped room in which a card lies between two local times, a little turned. */
function cameraShowing(from: number, to: number): { context: MeasureContext; recording: Recording } {
  const draw = <T extends Uint8Array | Uint16Array>(at: number, out: T, full: number): T => {
    for (let y = 0; y < height; y++) {
      for (let x = 0; x < width; x++) {
        const [u, v] = [x - 190 + 0.1 * (y - 90), y - 90 - 0.1 * (x - 190)];
        const onCard = at >= from && at < to && Math.abs(u) < 38 && Math.abs(v) < 27;
        const stripe = 0.2 + 0.1 * Math.sin(x / 2.5) * Math.cos(y / 3.5);
        for (let c = 0; c < 3; c++)
          out[(y * width + x) * 3 + c] = Math.round(full * (onCard ? grey[c]! : stripe));
      }
    }
    return out;
  };
  const recording = {
    path: "A001.mov",
    probe: { durationSeconds: 12, picture: { width, height, frameRate: { num: 25, den: 1 } } },
  } as unknown as Recording;
  const media = {
    async *keyPictures() {
      for (let at = 0; at < 12; at++)
        yield { atSeconds: at, width, height, rgb: draw(at, new Uint8Array(width * height * 3), 255) };
    },
    async *framesAt(_: Recording, times: readonly number[]) {
      for (const at of times)
        yield { atSeconds: at, width, height, rgb: draw(at, new Uint16Array(width * height * 3), 65_535) };
    },
  };
  return { context: { media, signal: { throwIfAborted() {} } } as unknown as MeasureContext, recording };
}

describe("the grey side, where no chart was filmed", () => {
  it("is a large even area that comes and goes; its code values are read from exact frames", async () => {
    const { context, recording } = cameraShowing(3, 7);
    const card = (await seekNeutralCard({ device: "A", recordings: [recording] }, context))!;
    expect(card.at).toBeGreaterThanOrEqual(3);
    expect(card.at).toBeLessThan(7);
    card.code.forEach((v, c) => {
      expect(v).toBeCloseTo(grey[c]!, 3);
    });
    expect(Math.abs(card.centre[0] - 190.5)).toBeLessThan(2);
    expect(card.side).toBeGreaterThan(50);
  });

  it.each([
    ["there is none", 20, 21],
    ["it never leaves: a panel on the wall", 0, 12],
    ["it is seen once, in passing", 5, 6],
  ])("is not found where %s", async (_, from, to) => {
    const { context, recording } = cameraShowing(from, to);
    expect(await seekNeutralCard({ device: "A", recordings: [recording] }, context)).toBeNull();
  });
});
