import { readdir, readFile, writeFile } from "node:fs/promises";
import { describe, expect, it } from "vitest";
import { flatPlanes, scratchFolder, smallPicture, writeMovie } from "../../../test/helpers/made-media.ts";
import { readPicture } from "../../../test/helpers/read-picture.ts";
import { openMovieWriter } from "./movie-writer.ts";
import { writePictureFile, writeStill } from "./picture-file.ts";

const scratch = scratchFolder("picture-file");

function gradient(width: number, height: number): Uint8Array {
  const rgb = new Uint8Array(3 * width * height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++)
      rgb.set([(255 * x) / width, (255 * y) / height, 128], 3 * (y * width + x));
  }
  return rgb;
}

/** A LUT of size 2: black and white exchanged, or R given to B. */
const cube = (map: (rgb: readonly number[]) => readonly number[]): string => {
  const rows = ["LUT_3D_SIZE 2"];
  for (const b of [0, 1]) for (const g of [0, 1]) for (const r of [0, 1]) rows.push(map([r, g, b]).join(" "));
  return `${rows.join("\n")}\n`;
};

describe("writePictureFile", () => {
  it("PNG comes back bit for bit; JPEG close, at an odd size", async () => {
    const rgb = gradient(61, 37);
    await writePictureFile(scratch("p.png"), { width: 61, height: 37, rgb });
    const png = await readPicture(scratch("p.png"));
    expect([png.width, png.height]).toEqual([61, 37]);
    expect(png.rgb).toEqual(rgb);
    await writePictureFile(scratch("p.jpg"), { width: 61, height: 37, rgb });
    const jpeg = await readPicture(scratch("p.jpg"));
    let sum = 0;
    for (let i = 0; i < rgb.length; i++) sum += Math.abs(jpeg.rgb[i]! - rgb[i]!);
    expect(sum / rgb.length).toBeLessThan(1.5);
    expect((await readFile(scratch("p.jpg"))).subarray(0, 3)).toEqual(Buffer.from([0xff, 0xd8, 0xff]));
  });

  it("a lower quality makes a smaller file", async () => {
    const rgb = gradient(160, 90).map((value, i) => (value + ((i * 7919) % 23)) & 255);
    await writePictureFile(scratch("fine.jpg"), { width: 160, height: 90, rgb }, { quality: 95 });
    await writePictureFile(scratch("coarse.jpg"), { width: 160, height: 90, rgb }, { quality: 40 });
    const [fine, coarse] = [await readFile(scratch("fine.jpg")), await readFile(scratch("coarse.jpg"))];
    expect(coarse.length).toBeLessThan(fine.length / 1.5);
  });
});

describe("writeStill", () => {
  it("takes the exact frame, upright, fitted, through the LUTs in order", async () => {
    const movie = scratch("turned.mp4");
    const video = { ...smallPicture, width: 160, height: 96, crf: 0, rotationDegrees: 90 };
    const writer = await openMovieWriter(movie, { video });
    for (let n = 0; n < 40; n++)
      await writer.picture(flatPlanes(video, n === 27 ? 81 : 40, 100, n === 27 ? 210 : 128));
    await writer.close();
    const plain = await writeStill(scratch("plain.png"), movie, 27.5 / 25, { maxWidth: 48 });
    expect(plain.atSeconds).toBeCloseTo(27 / 25, 6);
    const before = await readPicture(scratch("plain.png"));
    expect([before.width, before.height]).toEqual([48, 80]);

    await writeFile(
      scratch("negative.cube"),
      cube((rgb) => rgb.map((v) => 1 - v)),
    );
    await writeFile(
      scratch("swap.cube"),
      cube(([r, g, b]) => [b!, g!, r! / 2]),
    );
    await writeStill(scratch("looked.png"), movie, 27.5 / 25, {
      maxWidth: 48,
      luts: [scratch("negative.cube"), scratch("swap.cube")],
    });
    const after = await readPicture(scratch("looked.png"));
    const [r, g, b] = before.rgb;
    const expected = [255 - b!, 255 - g!, (255 - r!) / 2];
    for (let c = 0; c < 3; c++) expect(Math.abs(after.rgb[c]! - expected[c]!)).toBeLessThanOrEqual(1);
  });

  it("a LUT that cannot be read is named and nothing is written", async () => {
    const movie = scratch("plain.mp4");
    await writeMovie(movie, { video: smallPicture }, 1, {});
    await writeFile(scratch("broken.cube"), "LUT_3D_SIZE two\n");
    await expect(
      writeStill(scratch("never.jpg"), movie, 0, { maxWidth: 64, luts: [scratch("broken.cube")] }),
    ).rejects.toMatchObject({
      code: "LUT_INVALID",
      advice: { happened: expect.stringContaining("broken.cube") },
    });
    expect((await readdir(scratch("."))).filter((name) => name.startsWith("never"))).toEqual([]);
  });
});
