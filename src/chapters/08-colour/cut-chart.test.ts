import { describe, expect, it } from "vitest";
import { cameraA, cameraB, type FakeCamera, run } from "../../../test/helpers/drawn-cameras.ts";
import { tellCut } from "./tell-cut.ts";

const moved = (camera: FakeCamera, x: number, y: number): FakeCamera => ({
  ...camera,
  corners: camera.corners!.map(([u, v]) => [u + x, v + y]) as unknown as NonNullable<FakeCamera["corners"]>,
});

describe("colour, where the chart leaves the picture", () => {
  it("matches by the patches in it, says which side it leaves by, and asks for it whole", async () => {
    // Camera B's chart stands on its head: the row from dark skin to bluish green is at the foot of the picture.
    const { result } = await run([cameraA, moved(cameraB, 0, 85)]);
    const told = result.findings.find(({ code }) => code === "colour.chart-cut")!;
    expect(told).toMatchObject({ weight: "warn", evidence: { figure: "18 of 24 patches" } });
    expect(told.says).toMatch(
      /^The chart leaves camera B's picture at the bottom at 0:0\d: 6 patches of 24 are not in it\.$/,
    );
    expect(told.remedy).toContain("Film it again whole");
    const match = result.match!;
    const inSight = match.patches.slice(6).map(({ after }) => after);
    expect(inSight.reduce((sum, v) => sum + v, 0) / inSight.length).toBeLessThanOrEqual(2.2);
    result.charts[1]!.corners.forEach(([x, y], k) => {
      const [u, v] = cameraB.corners![k]!;
      expect(Math.hypot(x - u, y - v - 85)).toBeLessThan(3.5);
    });
  });

  it("refuses what shows too little of it, with the reason and the remedy", async () => {
    // Two columns of eight patches, white and the grey beside it among them.
    const { result } = await run([moved(cameraA, -198, 0), cameraB]);
    expect(result.match).toBeNull();
    const told = result.findings[0]!;
    expect(told).toMatchObject({ code: "colour.chart-cut", weight: "stop" });
    expect(told.says).toContain("on the left");
    expect(told.says).toContain("8 patches of 24 are not in it, 2 of the six greys among them");
    expect(told.remedy).toContain("Film it again whole");
  });
});

describe("tellCut", () => {
  const told = (outside: readonly number[]) =>
    tellCut("A", "0:07", {
      reading: {
        outside,
        corners: [
          [-20, 50],
          [300, 60],
          [310, 290],
          [-10, 260],
        ],
      },
      sighting: { recording: { probe: { picture: { width: 480, height: 270, rotationDegrees: 0 } } } },
    } as unknown as Parameters<typeof tellCut>[2]);

  it("names every side, the one that it leaves farthest by first", () => {
    expect(told([18]).says).toBe(
      "The chart leaves camera A's picture on the left and at the bottom at 0:07: one patch of 24 is not in it.",
    );
  });

  it("refuses without two of the greys, or without more than a row", () => {
    expect(told([0, 1, 2, 3, 4, 5]).isRefused).toBe(false);
    expect(told([18]).isRefused).toBe(false);
    expect(told([18, 19]).isRefused).toBe(true);
    expect(told([0, 1, 2, 3, 4, 5, 6]).isRefused).toBe(true);
  });
});
