import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { makeLut3d } from "#science/colour/lut3d";
import type { Triple } from "#science/colour/matrix3";
import { applyClf } from "./apply-clf.ts";
import type { ClfNode } from "./clf-node.ts";
import { readClf } from "./read-clf.ts";
import { writeClf } from "./write-clf.ts";

const folder = new URL("../../../test/published/clf/", import.meta.url);
const read = (name: string): string => readFileSync(new URL(name, folder), "utf8");
const expected = JSON.parse(read("expected.json")) as {
  inputs: Triple[];
  outputs: Record<string, Triple[] | null>;
};

describe("the Common LUT Format, against what OpenColorIO 2.1.2 gives for its own sample files", () => {
  it.each(Object.keys(expected.outputs))("gives the same for %s", (name) => {
    const file = readClf(read(name));
    // Newer than that release; by its text an identity.
    const wanted =
      expected.outputs[name] ?? expected.inputs.map((v) => v.map((x) => Math.min(1, Math.max(0, x))));
    expected.inputs.forEach((colour, i) => {
      applyClf(file, colour).forEach((value, c) => {
        const printed = wanted[i]![c]!;
        // 5e-5 as stored, 1e-4 where logarithms or powers are taken; of large values that part.
        expect(Math.abs(value - printed)).toBeLessThanOrEqual(1e-4 * Math.max(1, Math.abs(printed)));
      });
    });
  });

  it.each(readdirSync(new URL("illegal/", folder)))("refuses %s and says why", (name) => {
    expect(() => readClf(read(`illegal/${name}`))).toThrowError(
      expect.objectContaining({ code: "LUT_INVALID" }),
    );
  });
});

describe("writeClf", () => {
  const about = {
    name: "B to A",
    descriptions: ["<full range>"],
    inputDescriptor: "B",
    outputDescriptor: "A",
  };
  const colours: Triple[] = [...expected.inputs, [0.37, 0.61, 0.08]];
  const lut = makeLut3d(5, ([r, g, b]) => [r * 0.9 + 0.1 * b, g ** 1.2, 0.5 * b + 0.3 * r]);
  const log = {
    base: 10,
    logSideSlope: 0.25,
    logSideOffset: 0.4,
    linSideSlope: 5,
    linSideOffset: 0.05,
    linSideBreak: 0.01,
  };
  const cdl = {
    slope: [1.1, 0.9, 1],
    offset: [0.01, -0.02, 0],
    power: [1.2, 1, 0.8],
    saturation: 1.1,
  } as const;
  const power = { exponent: 2.2, offset: 0.1 };
  const nodes: ClfNode[] = [
    {
      kind: "Matrix",
      matrix: [
        [0.9, 0.1, 0],
        [0.05, 0.9, 0.05],
        [0, -0.1, 1.1],
      ],
      offset: [0.01, 0, -0.02],
    },
    {
      kind: "Matrix",
      matrix: [
        [0.9, 0.1, 0],
        [0.05, 0.9, 0.05],
        [0, -0.1, 1.1],
      ],
      offset: [0, 0, 0],
    },
    {
      kind: "LUT1D",
      size: 3,
      halfDomain: false,
      table: Float32Array.of(0, 0.1, 0.2, 0.5, 0.4, 0.6, 1, 0.9, 1.1),
    },
    { kind: "LUT3D", lut, interpolation: "tetrahedral" },
    { kind: "LUT3D", lut, interpolation: "trilinear" },
    { kind: "Range", scale: 1.5, offset: 0.1, low: 0.1, high: 1.1 },
    { kind: "Range", scale: 0.5, offset: 0.1, low: null, high: null },
    { kind: "Range", scale: 1, offset: 0, low: 0, high: null },
    { kind: "Log", isToLog: true, channels: [log, log, { ...log, base: 2 }] },
    { kind: "Log", isToLog: false, channels: [log, log, log] },
    { kind: "Exponent", style: "monCurveFwd", channels: [power, power, { exponent: 1.5, offset: 0.2 }] },
    { kind: "Exponent", style: "basicMirrorRev", channels: [power, power, power] },
    { kind: "ASC_CDL", cdl, isReverse: false, clamp: true },
    { kind: "ASC_CDL", cdl, isReverse: true, clamp: false },
  ];
  it.each(nodes.map((node) => [node.kind, node] as const))(
    "writes a %s that reads back as itself",
    (_, node) => {
      const file = readClf(writeClf(about, [node]));
      expect(file).toMatchObject({ ...about, nodes: [{ kind: node.kind }] });
      for (const colour of colours) {
        const wanted = applyClf({ nodes: [node] }, colour);
        applyClf(file, colour).forEach((value, c) => {
          expect(Math.abs(value - wanted[c]!)).toBeLessThan(2e-6 * Math.max(1, Math.abs(wanted[c]!)));
        });
      }
    },
  );
  it("names the same content by the same id and another by another", () => {
    const id = (n: number) => readClf(writeClf(about, [nodes[n]!])).id;
    expect(id(0)).toBe(id(0));
    expect(id(0)).not.toBe(id(1));
    expect(id(0)).toMatch(/^urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-a[0-9a-f]{3}-[0-9a-f]{12}$/);
  });
});
