import { describe, expect, it } from "vitest";
import type { Finding } from "#documents/finding";
import type { SittingPage } from "#documents/page";
import { sitting } from "../fixture/sitting.ts";
import { chapterVerdict, findingSays, sittingStretch } from "./finding-words.ts";

const page: SittingPage = sitting();
const second = page.recordings.findLast((r) => r.device === "B")!;
const clock = page.chapters.find((c) => c.name === "clock")!.result as Extract<
  SittingPage["chapters"][number]["result"],
  { master: string }
>;
const placed = clock.recordings.find((r) => r.hash === second.hash)!;
const soft: Finding = {
  code: "watch.soft",
  weight: "warn",
  says: "Camera B lost focus for 6 s at 0:04.",
  remedy: "Nothing to do.",
  evidence: { where: second.path, from: 4.2, to: 10.2 },
};

describe("a finding about one recording", () => {
  it("is told in sitting time where the recording is placed", () => {
    const offset = placed.pictureOffset ?? placed.offset!;
    const from = offset + 4.2 * (1 + (placed.ratePpm ?? 0) * 1e-6);
    expect(sittingStretch(soft, page)!.from).toBeCloseTo(from, 6);
    const minute = `${Math.floor(from / 60)}:${String(Math.round(from % 60)).padStart(2, "0")}`;
    expect(findingSays(soft, page)).toBe(`Camera B lost focus for 6 s at ${minute}.`);
    const verdict = chapterVerdict(
      {
        ...page.chapters.find((c) => c.name === "watch")!,
        verdict: "Camera A held. Camera B lost focus for 6 s at 0:04; the rest of it can be used.",
        findings: [soft],
      },
      page,
    );
    expect(verdict).toBe(
      `Camera A held. Camera B lost focus for 6 s at ${minute}; the rest of it can be used.`,
    );
  });

  it("keeps the file's own time where it is not placed", () => {
    const bare: SittingPage = { ...page, chapters: page.chapters.filter((c) => c.name !== "clock") };
    expect(findingSays(soft, bare)).toBe(soft.says);
    expect(sittingStretch(soft, bare)).toBeNull();
  });
});

describe("a finding that opens with a path", () => {
  const says = (text: string) => findingSays({ ...soft, says: text, evidence: {} }, page);
  it("says that it is one", () => {
    expect(says("originals/b/b001.mp4 can be read up to 0:32.")).toBe(
      "The file b001.mp4 can be read up to 0:32.",
    );
    expect(says("one copy is missing.")).toBe("One copy is missing.");
  });
});
