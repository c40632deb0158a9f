import { mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import type { Recording } from "#documents/recording";
import { keepTranscript, readTranscriptFile } from "./transcripts.ts";

let sitting = "";
beforeEach(async () => {
  sitting = await mkdtemp(join(tmpdir(), "gemel-transcripts-"));
});
afterEach(() => rm(sitting, { recursive: true, force: true }));

const recording = (path: string): Recording => ({ hash: `xxh128:${path}`, path }) as Recording;
const recordings = [recording("originals/A/A001.mov"), recording("originals/B/B001.mp4")];
const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const vtt = "WEBVTT\n\n00:01.000 --> 00:02.000\nEbb.\n";

describe("a transcript that is brought in", () => {
  it("is kept by its content, and goes with the recording that is called like it", async () => {
    const taken = await keepTranscript(sitting, "b001.en.vtt", bytes(vtt), recordings);
    expect(taken).toMatchObject({
      name: "b001.en.vtt",
      lines: 1,
      leftOut: 0,
      recording: "xxh128:originals/B/B001.mp4",
    });
    expect(taken.file).toMatch(/^transcripts\/[0-9a-f]{24}\.vtt$/);
    expect(await readFile(join(sitting, taken.file), "utf8")).toBe(vtt);
    const again = await keepTranscript(sitting, "talk.vtt", bytes(vtt), recordings);
    expect(again).toMatchObject({ file: taken.file, recording: null });
    expect(await readdir(join(sitting, "transcripts"))).toHaveLength(1);
  });

  it("is kept as UTF-8, whatever it came in", async () => {
    const latin = Uint8Array.from([
      ...bytes("1\r\n00:00:01,000 --> 00:00:02,000\r\nM"),
      0xfc,
      ...bytes("hle\r\n"),
    ]);
    const { file } = await keepTranscript(sitting, "a.srt", latin, []);
    expect(file).toMatch(/\.srt$/);
    expect(await readFile(join(sitting, file), "utf8")).toContain("Mühle");
  });

  it.each([
    ["a letter", bytes("Dear miller,\n\nthe wheel stands still.\n")],
    ["an empty file", new Uint8Array(0)],
    ["a picture", Uint8Array.from({ length: 4000 }, (_, i) => (i * 7919) % 256)],
    ["a WebVTT file without words", bytes("WEBVTT\n\n00:01.000 --> 00:02.000\n\n")],
    ["a WebVTT file that was cut off in its first times", bytes("WEBVTT\n\n00:01.000 --> 00:0")],
  ])("is refused with advice where it is %s, and nothing is left", async (_, content) => {
    await expect(keepTranscript(sitting, "talk.vtt", content, [])).rejects.toMatchObject({
      code: "TRANSCRIPT_INVALID",
      advice: { means: expect.stringContaining("nothing was changed") },
    });
    expect(await readdir(sitting)).toEqual([]);
  });

  it("is read by a path, and only a transcript is", async () => {
    const path = join(sitting, "talk.vtt");
    await writeFile(path, vtt);
    expect((await readTranscriptFile(path)).name).toBe("talk.vtt");
    await expect(readTranscriptFile("talk.vtt")).rejects.toMatchObject({ code: "USAGE" });
    await expect(readTranscriptFile(join(sitting, "none.vtt"))).rejects.toMatchObject({
      code: "FILE_MISSING",
    });
    await expect(readTranscriptFile("/etc/passwd")).rejects.toMatchObject({ code: "TRANSCRIPT_INVALID" });
    await writeFile(path, new Uint8Array(8_000_001));
    await expect(readTranscriptFile(path)).rejects.toMatchObject({ code: "TRANSCRIPT_INVALID" });
  });
});
