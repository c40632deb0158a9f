import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import * as av from "node-av/constants";
import { Frame } from "node-av/lib";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { formatCube } from "#formats/cube/cube";
import { matchCameras } from "#science/colour/camera-match";
import { makeLut3d, sampleLut3d } from "#science/colour/lut3d";
import type { Triple } from "#science/colour/matrix3";
import { linearToAcescct, linearToBt709 } from "#science/colour/transfer-functions";
import { sensorChart } from "../../../test/helpers/published-colour.ts";
import { pictureChain } from "./filter-graph.ts";
import { must } from "./library.ts";

/*
 * FFmpeg's lut3d reads a .cube file that we wrote, and takes 16-bit colours through it: an outside reader of our
 * files, with its own reading of the order of rows and its own tetrahedra.
 */
let folder = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "gemel-lut-"));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

const width = 64;
const height = 32;

/** Evenly spread colours, and the corners of the cube. */
const colours: readonly Triple[] = Array.from({ length: width * height }, (_, i) => {
  if (i < 8) return [i & 1, (i >> 1) & 1, i >> 2] as unknown as Triple;
  const spread = (base: number): number => {
    let [result, part] = [0, 1 / base];
    for (let k = i; k > 0; k = Math.floor(k / base)) {
      result += part * (k % base);
      part /= base;
    }
    return Math.round(65_535 * result) / 65_535;
  };
  return [spread(2), spread(3), spread(5)];
});

/** Planes of gbrp16le: green, blue, red. */
const planeOf = [2, 0, 1];

async function throughFfmpeg(file: string): Promise<Triple[]> {
  const chain = await pictureChain(
    { width, height, pixelFormat: av.AV_PIX_FMT_GBRP16LE, matrix: 0, range: 2 },
    [
      ["lut3d", { file, interp: "tetrahedral" }],
      ["format", { pix_fmts: "gbrp16le" }],
    ],
  );
  const frame = new Frame();
  frame.alloc();
  frame.format = av.AV_PIX_FMT_GBRP16LE;
  frame.width = width;
  frame.height = height;
  frame.colorSpace = av.AVCOL_SPC_RGB;
  frame.colorRange = av.AVCOL_RANGE_JPEG;
  must(frame.getBuffer(0), "picture buffer");
  frame.pts = 0n;
  for (const [i, colour] of colours.entries()) {
    for (let c = 0; c < 3; c++) {
      const plane = frame.data![planeOf[c]!]!;
      plane.writeUInt16LE(
        Math.round(65_535 * colour[c]!),
        Math.floor(i / width) * frame.linesize[planeOf[c]!]! + 2 * (i % width),
      );
    }
  }
  const out = new Frame();
  out.alloc();
  try {
    must(await chain.input!.buffersrcAddFrame(frame), "send a picture");
    must(await chain.input!.buffersrcAddFrame(null), "end the pictures");
    must(await chain.sink.buffersinkGetFrame(out), "take a picture");
    return colours.map(
      (_, i) =>
        [0, 1, 2].map(
          (c) =>
            out.data![planeOf[c]!]!.readUInt16LE(
              Math.floor(i / width) * out.linesize[planeOf[c]!]! + 2 * (i % width),
            ) / 65_535,
        ) as unknown as Triple,
    );
  } finally {
    frame.free();
    out.free();
    chain.graph.free();
  }
}

describe("a .cube file of ours, read by FFmpeg's lut3d", () => {
  const match = matchCameras(
    {
      codes: sensorChart(1, "D65").map((light) => light.map(linearToAcescct) as unknown as Triple),
      transfer: 2,
    },
    {
      codes: sensorChart(2, "D65", [0.7, 0.75, 0.9]).map(
        (light) => light.map(linearToBt709) as unknown as Triple,
      ),
      transfer: 1,
    },
  );

  it.each([33, 65])("of %d points takes every colour where we take it, to 1/1023", async (size) => {
    const lut = makeLut3d(size, match.transform);
    const file = join(folder, `camera b, to a's ${size}.cube`);
    await writeFile(
      file,
      formatCube(lut, { title: "Camera B to camera A", comments: ["full-range code values"] }),
    );
    const theirs = await throughFfmpeg(file);
    let worst = 0;
    for (const [i, colour] of colours.entries()) {
      sampleLut3d(lut, colour).forEach((value, c) => {
        const held = Math.min(1, Math.max(0, value));
        worst = Math.max(worst, Math.abs(theirs[i]![c]! - held));
      });
    }
    expect(worst).toBeLessThan(1 / 1023);
  });
});
