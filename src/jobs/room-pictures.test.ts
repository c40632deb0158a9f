import { mkdtemp, readdir, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { roomPictureSchema } from "#documents/said";
import { keepRoomPicture } from "./room-pictures.ts";

let sitting: string;
beforeEach(async () => {
  sitting = await mkdtemp(join(tmpdir(), "gemel-pictures-"));
});
afterEach(() => rm(sitting, { recursive: true, force: true }));

// The smallest PNG: one black pixel; IDAT and the checksums as any writer makes them.
const onePixel = Buffer.from(
  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNgAAAAAgABSK+kcQAAAABJRU5ErkJggg==",
  "base64",
);

describe("pictures of the plan that a page sends", () => {
  it("are kept whole by their content: the same one twice is one file, and can be said", async () => {
    const { file } = await keepRoomPicture(sitting, onePixel);
    expect(await keepRoomPicture(sitting, onePixel)).toEqual({ file });
    expect(await readFile(join(sitting, file))).toEqual(onePixel);
    expect(await readdir(join(sitting, "pictures"))).toHaveLength(1);
    expect(roomPictureSchema.safeParse({ camera: "A", file, plan: "0" }).success).toBe(true);
    expect(roomPictureSchema.safeParse({ camera: "A", file: "../x.png", plan: "0" }).success).toBe(false);
  });

  it.each([
    ["a text", Buffer.from("<svg onload=alert(1)>".padEnd(80))],
    ["a picture that broke off", onePixel.subarray(0, onePixel.length - 5)],
    ["a picture that claims to be enormous", Buffer.from(onePixel).fill(0x7f, 16, 20)],
    ["nothing", Buffer.alloc(0)],
  ])("%s is refused, and nothing is kept", async (_, bytes) => {
    await expect(keepRoomPicture(sitting, bytes)).rejects.toMatchObject({ code: "PICTURE_INVALID" });
    expect(await readdir(sitting)).toEqual([]);
  });
});
