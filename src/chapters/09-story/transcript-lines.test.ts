import { describe, expect, it } from "vitest";
import { transcriptLines } from "./transcript-lines.ts";

const files: Record<string, string> = {
  "transcripts/a.vtt": "WEBVTT\n\n00:01.000 --> 00:02.500\n<v The miller>Ebb.",
  "transcripts/b.srt": "1\n00:00:00,500 --> 00:00:01,000\nFlood.\n",
};
const read = async (file: string): Promise<string> => {
  if (!(file in files)) throw new Error("ENOENT");
  return files[file]!;
};
const placed = [{ hash: "b", offset: 34.9, ratePpm: 100, pictureOffset: 34.8 }];

describe("the lines of transcripts", () => {
  it("lie on sitting time, by the sound of the recording that they count", async () => {
    const transcripts = [
      { file: "transcripts/b.srt", name: "b001.srt", recording: "b" },
      { file: "transcripts/a.vtt", name: "talk.vtt", recording: null },
    ];
    expect(await transcriptLines({ transcripts, placed }, read)).toEqual({
      lines: [
        { start: 1, end: 2.5, text: "Ebb.", who: "The miller" },
        { start: 35.4, end: 35.9, text: "Flood." },
      ],
      findings: [],
    });
  });

  it.each([
    ["its recording has no place", { file: "transcripts/b.srt", name: "c001.srt", recording: "c" }],
    ["its file is gone", { file: "transcripts/c.srt", name: "c001.srt", recording: null }],
    ["its file is no transcript any more", { file: "letter", name: "c001.srt", recording: null }],
  ])("are told of and left out where %s", async (_, one) => {
    files["letter"] = "A letter.";
    const { lines, findings } = await transcriptLines({ transcripts: [one], placed }, read);
    expect(lines).toEqual([]);
    expect(findings).toMatchObject([{ code: "story.transcript-left-out", weight: "warn" }]);
    expect(findings[0]!.says).toMatch(/^The transcript c001\.srt /);
  });
});
