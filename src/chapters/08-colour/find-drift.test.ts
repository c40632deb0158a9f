import { describe, expect, it } from "vitest";
import type { MeasureContext } from "#documents/chapter";
import { readCdl } from "#formats/cdl/read-cdl";
import { applyCdl } from "#science/colour/cdl";
import { curveOfTransferTag } from "#science/colour/h273-transfer";
import type { Triple } from "#science/colour/matrix3";
import { cameraB, recordingOf } from "../../../test/helpers/drawn-cameras.ts";
import { findDrift } from "./find-drift.ts";

const curve = curveOfTransferTag(1)!;
const recording = recordingOf(cameraB);
const texts = new Map<string, string>();
const context = {
  writeText: async (name: string, text: string) => {
    texts.set(name, text);
    return name;
  },
} as unknown as MeasureContext;

/** A still shot of 144 tones, a look every eight seconds for eight minutes, whose blue falls by so many stops. */
function through(blueStops: number) {
  const looks = Array.from({ length: 60 }, (_, k) => ({
    at: 8 * k,
    codes: Array.from({ length: 144 }, (_p, p) => 0.08 + (0.35 * ((p * 37) % 144)) / 144).flatMap((light) => [
      curve.toCode(light),
      curve.toCode(light),
      curve.toCode(light * 2 ** ((-blueStops * k) / 59)),
    ]),
  }));
  return [{ recording, looks, showings: [] }];
}

describe("findDrift", () => {
  it("tells a drift of white with its place in the sitting, and writes a slow correction that takes it off", async () => {
    const placed = { [recording.hash]: { offset: 100, ratePpm: 0 } };
    const { drift, findings } = await findDrift(
      "B",
      through(0.3),
      [{ from: null, to: null }],
      placed,
      curve,
      context,
    );
    expect(drift).toHaveLength(1);
    expect(drift[0]!.from).toBe(100);
    expect(Math.abs(drift[0]!.blueStops - 0.3)).toBeLessThan(0.03);
    expect(findings[0]).toMatchObject({ code: "colour.white-drift", weight: "warn" });
    expect(findings[0]!.says).toContain("between 1:40 and 9:32");
    const steps = readCdl(texts.get(drift[0]!.file!)!);
    expect(steps).toHaveLength(8);
    // At the end a grey has lost 0.15 stop of blue against the middle; the last step gives it back.
    const seen: Triple = [curve.toCode(0.18), curve.toCode(0.18), curve.toCode(0.18 * 2 ** -0.14)];
    const mended = applyCdl(steps.at(-1)!.cdl, seen);
    expect(Math.abs(mended[2] - mended[1])).toBeLessThan(0.006);
    expect(Math.abs(seen[2] - seen[1])).toBeGreaterThan(0.015);
  });

  it("says nothing of light that stays, and follows each setup by itself", async () => {
    const still = await findDrift("B", through(0.02), [{ from: null, to: null }], {}, curve, context);
    expect(still).toEqual({ drift: [], findings: [] });
    const parted = await findDrift(
      "B",
      through(0.3),
      [
        { from: null, to: 240 },
        { from: 240, to: null },
      ],
      {},
      curve,
      context,
    );
    expect(parted.drift.map(({ from }) => from)).toEqual([0, 240]);
    for (const { blueStops } of parted.drift) expect(blueStops).toBeLessThan(0.17);
  });
});
