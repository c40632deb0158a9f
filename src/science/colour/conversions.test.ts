import Color from "colorjs.io";
import { describe, expect, it } from "vitest";
import { publishedJson } from "../../../test/helpers/published-colour.ts";
import { bradfordAdaptation } from "./bradford.ts";
import { chart24LabBefore2014, chart24LabFrom2014, chart24Names, chart24White } from "./chart24.ts";
import { colourDifferenceCie2000 } from "./ciede2000.ts";
import { correlatedColourTemperature } from "./colour-temperature.ts";
import { labToXyz, xyzToLab } from "./lab.ts";
import { applyMatrix3, invertMatrix3, type Matrix3, multiplyMatrix3, type Triple } from "./matrix3.ts";
import { bt709, bt2020, p3D65, rgbToXyzMatrix } from "./primaries.ts";
import { chromaticityToXyz, whiteD50, whiteD65, xyzToChromaticity } from "./white-points.ts";

function expectMatrix(actual: Matrix3, printed: readonly (readonly number[])[], digits: number): void {
  printed.forEach((row, r) => {
    row.forEach((value, c) => {
      expect(actual[r]![c]).toBeCloseTo(value, digits);
    });
  });
}

describe("bradfordAdaptation, against Lam 1985 as evaluated by colour-science/colour 0.4.6", () => {
  it("takes D65 to D50", () => {
    expectMatrix(
      bradfordAdaptation(chromaticityToXyz(whiteD65), chromaticityToXyz(whiteD50)),
      [
        [1.0479297925, 0.0229468706, -0.0501922663],
        [0.0296278088, 0.9904344268, -0.0170737991],
        [-0.0092430406, 0.0150551915, 0.7518742814],
      ],
      9,
    );
  });
  it("takes each white exactly to the other", () => {
    const [from, to] = [chromaticityToXyz(whiteD65), chromaticityToXyz(whiteD50)];
    applyMatrix3(bradfordAdaptation(from, to), from).forEach((value, c) => {
      expect(value).toBeCloseTo(to[c]!, 12);
    });
  });
});

describe("rgbToXyzMatrix, against the standards' primaries as evaluated by colour-science/colour 0.4.6", () => {
  it("is BT.709's", () => {
    expectMatrix(
      rgbToXyzMatrix(bt709),
      [
        [0.4123907993, 0.3575843394, 0.1804807884],
        [0.2126390059, 0.7151686788, 0.0721923154],
        [0.0193308187, 0.1191947798, 0.9505321522],
      ],
      10,
    );
  });
  it("is BT.709's inverse", () => {
    expectMatrix(
      invertMatrix3(rgbToXyzMatrix(bt709)),
      [
        [3.2409699419, -1.5373831776, -0.4986107603],
        [-0.9692436363, 1.8759675015, 0.0415550574],
        [0.0556300797, -0.2039769589, 1.0569715142],
      ],
      9,
    );
  });
  it("is BT.2020's and P3-D65's", () => {
    expectMatrix(
      rgbToXyzMatrix(bt2020),
      [
        [0.6369580483, 0.1446169036, 0.1688809752],
        [0.262700212, 0.6779980715, 0.0593017165],
        [0, 0.028072693, 1.0609850577],
      ],
      9,
    );
    expectMatrix(
      rgbToXyzMatrix(p3D65),
      [
        [0.4865709486, 0.2656676932, 0.1982172852],
        [0.2289745641, 0.6917385218, 0.0792869141],
        [0, 0.0451133819, 1.0439443689],
      ],
      9,
    );
  });
});

describe("correlatedColourTemperature, against McCamy 1992 as evaluated by colour-science/colour 0.4.6", () => {
  it.each([
    [0.3127, 0.329, 6505.08059131],
    [0.44757, 0.40745, 2857.28961266],
    [0.252520939, 0.252220884, 19501.6195],
    [0.34567, 0.3585, 5002.097],
  ])("reads (%d, %d) as %d K", (x, y, kelvin) => {
    expect(Math.abs(correlatedColourTemperature([x, y]) - kelvin)).toBeLessThan(1e-3);
  });
});

describe("the chart's values", () => {
  interface Chart {
    labels: string[];
    sets: Record<string, { lab_as_published_d50?: Triple[]; lin709: Triple[] }>;
  }
  const chart = publishedJson<Chart>("chart24.json");

  it("are the published ones, name by name and digit by digit", () => {
    expect(chart24LabFrom2014).toEqual(chart.sets.manufacturer_after_nov2014_d50!.lab_as_published_d50);
    expect(chart24LabBefore2014).toEqual(chart.sets.manufacturer_before_nov2014_d50!.lab_as_published_d50);
    chart.labels.forEach((label, i) => {
      expect(label.startsWith(chart24Names[i]!)).toBe(true);
    });
  });

  // Printed: 0.85 mean, 1.95 at most (white), two decimals.
  it("differ between the makes before and after November 2014 by 0.85 on average and 1.95 at most", () => {
    const differences = chart24LabFrom2014.map((lab, i) =>
      colourDifferenceCie2000(lab, chart24LabBefore2014[i]!),
    );
    expect(differences.reduce((sum, d) => sum + d, 0) / 24).toBeCloseTo(0.85, 2);
    expect(Math.max(...differences)).toBeCloseTo(1.95, 2);
  });

  it("come out in linear BT.709 as colour-science/colour 0.4.6 has them", () => {
    const toBt709 = multiplyMatrix3(
      invertMatrix3(rgbToXyzMatrix(bt709)),
      bradfordAdaptation(chart24White, chromaticityToXyz(whiteD65)),
    );
    chart24LabFrom2014.forEach((lab, i) => {
      const light = applyMatrix3(toBt709, labToXyz(lab, chart24White));
      light.forEach((value, c) => {
        expect(Math.abs(value - chart.sets.manufacturer_after_nov2014_d50!.lin709[i]![c]!)).toBeLessThan(
          5e-4,
        );
      });
    });
  });
});

describe("conversions, beside colorjs.io as a second opinion", () => {
  const colours: Triple[] = [
    [0.2, 0.4, 0.6],
    [0.9, 0.1, 0.05],
    [0.02, 0.02, 0.03],
    [0.5, 0.5, 0.5],
    [1, 1, 1],
  ];
  it.each(colours)("takes linear BT.709 %d %d %d to the same L*a*b* under D65", (r, g, b) => {
    const theirs = new Color("srgb-linear", [r, g, b]).to("lab-d65").coords;
    const ours = xyzToLab(applyMatrix3(rgbToXyzMatrix(bt709), [r, g, b]), chromaticityToXyz(whiteD65));
    ours.forEach((value, c) => {
      expect(Math.abs(value - (theirs[c] ?? 0))).toBeLessThan(2e-3);
    });
  });
  it.each(colours)("takes L*a*b* back to where %d %d %d came from", (r, g, b) => {
    const white = chromaticityToXyz(whiteD50);
    labToXyz(xyzToLab([r, g, b], white), white).forEach((value, c) => {
      expect(value).toBeCloseTo([r, g, b][c]!, 12);
    });
  });
  it("reads a difference as colorjs.io's CIEDE2000 does", () => {
    const one: Triple = [52, 30, -40];
    const two: Triple = [60, -12, 21];
    // Both in D50 L*a*b*, in which it compares.
    const theirs = new Color("lab", [...one]).deltaE2000(new Color("lab", [...two]));
    expect(colourDifferenceCie2000(one, two)).toBeCloseTo(theirs, 6);
  });
  it("answers the white itself for a white's chromaticity", () => {
    xyzToChromaticity(chromaticityToXyz(whiteD65)).forEach((value, c) => {
      expect(value).toBeCloseTo(whiteD65[c]!, 12);
    });
  });
});
