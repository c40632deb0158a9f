import { describe, expect, it } from "vitest";
import { curveOfTransferTag } from "#science/colour/h273-transfer";
import type { Triple } from "#science/colour/matrix3";
import { sensorChart } from "../../../test/helpers/published-colour.ts";
import { matchByCard, type WeakSide } from "./match-without-chart.ts";

const bt709 = curveOfTransferTag(1)!;
const hlg = curveOfTransferTag(18)!;
const [one, two] = [sensorChart(1, "D65"), sensorChart(2, "D65", [0.5, 0.7, 0.95])];
const coded = (light: Triple, curve = bt709): Triple => light.map(curve.toCode) as unknown as Triple;
const side = (device: string, code: Triple, isCard: boolean, curve = bt709): WeakSide => ({
  device,
  curve,
  isAssumed: false,
  neutral: { code, isCard },
});

describe("matchByCard, from a grey side that both measured sensors saw", () => {
  // The chart's neutral 6.5 and neutral 3.5, by published spectra, stand for the card and for what it was not fitted to.
  const match = matchByCard(side("A", coded(one[20]!, hlg), true, hlg), side("B", coded(two[20]!), true))!;

  it("takes the card exactly to camera A's, and other greys within a hundredth", () => {
    match.transform(coded(two[20]!)).forEach((v, c) => {
      expect(v).toBeCloseTo(coded(one[20]!, hlg)[c]!, 6);
    });
    match.transform(coded(two[22]!)).forEach((v, c) => {
      expect(Math.abs(v - coded(one[22]!, hlg)[c]!)).toBeLessThan(0.01);
    });
  });

  it("says that it is weaker, by how much, and which curves it used", () => {
    expect(match.by).toBe("card");
    expect(match.before).toBeGreaterThan(5);
    expect(match.uncertainty).toBeGreaterThan(3);
    expect(match.weaker).toContain("grey or white side alone");
    expect(match.model).toContain("camera A's curve HLG by its tag");
  });

  it("leaves the exposure alone where one of the two is a chart's white, which is lighter than a card", () => {
    const mixed = matchByCard(side("A", coded(one[18]!), false), side("B", coded(two[20]!), true))!;
    const out = mixed.transform(coded(two[20]!)).map(bt709.toLight);
    expect(out[1]).toBeCloseTo(two[20]![1], 6);
    expect(out[0]! / out[1]!).toBeCloseTo(one[18]![0] / one[18]![1], 2);
    expect(mixed.weaker).toContain("The exposure was left as recorded");
  });

  it("answers null where a camera saw no card", () => {
    expect(
      matchByCard({ device: "A", curve: bt709, isAssumed: false }, side("B", coded(two[20]!), true)),
    ).toBeNull();
  });
});
