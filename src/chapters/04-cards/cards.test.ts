import { describe, expect, it } from "vitest";
import { findingSchema } from "#documents/finding";
import { type CardsFacts, cardsFindings, cardsVerdict } from "./cards.ts";
import { isJunkName } from "./junk-names.ts";

const advice = { happened: "It happened.", means: "It means.", doNext: "Do it." };
const none: CardsFacts = {
  failures: [],
  placesGivenUp: [],
  unreadable: [],
  notFiles: [],
  changedCopies: [],
  vanishedCopies: [],
  histories: [],
  sharedDrive: [],
  onCardDrive: [],
};
const file = { path: "A/a.mov", bytes: 1, hash: "xxh128:00" };
const copy = (place: string, verified: number, failed = 0) => ({ place, verified, failed, manifest: null });

// Common practice (three-two-one rule of keeping copies): one copy is not enough to erase the original.
describe("cardsVerdict", () => {
  it.each([
    [[], "Two files are read where they lie and nothing is copied; keep the cards as they are."],
    [
      [copy("originals", 2)],
      "All two files are copied and verified, but one copy besides the card is not enough to erase it: give a second place.",
    ],
    [[copy("originals", 2), copy("Shuttle", 2)], "Both copies are verified; the cards may be erased."],
    [[copy("1", 2), copy("2", 2), copy("3", 2)], "All three copies are verified; the cards may be erased."],
    [
      [copy("originals", 2), copy("Shuttle", 1, 1)],
      "The copy in Shuttle lacks 1 of 2 files; do not erase the cards yet.",
    ],
  ])("%j", (copies, says) => {
    expect(cardsVerdict({ files: [file, file], copies, findings: [] })).toBe(says);
  });

  it("never lets the cards be erased while a file of theirs could not be read", () => {
    const findings = cardsFindings({ ...none, unreadable: [{ file: "a.mov", advice }] });
    expect(cardsVerdict({ files: [file], copies: [copy("1", 1), copy("2", 1)], findings })).toBe(
      "One file could not be read from the cards; do not erase them.",
    );
  });

  it("says what is still wanting where both copies share a drive", () => {
    const findings = cardsFindings({ ...none, sharedDrive: ["1", "2"] });
    expect(cardsVerdict({ files: [file], copies: [copy("1", 1), copy("2", 1)], findings })).toBe(
      "Both copies are verified; the cards may be erased once two copies lie on drives of their own.",
    );
  });

  it("keeps a card from being erased while a link on it leads elsewhere", () => {
    const findings = cardsFindings({ ...none, notFiles: ["/card/x"] });
    expect(cardsVerdict({ files: [file], copies: [copy("1", 1), copy("2", 1)], findings })).toContain(
      "do not erase",
    );
  });
});

describe("cardsFindings", () => {
  it("is empty where nothing is wrong", () => {
    expect(cardsFindings(none)).toEqual([]);
  });

  it("puts every kind in whole sentences, the ones to deal with first", () => {
    const findings = cardsFindings({
      failures: [{ file: "a.mov", place: "P", code: "COPY_CHECKSUM_MISMATCH", advice }],
      placesGivenUp: [{ place: "P", verified: 1, total: 3, advice }],
      unreadable: [{ file: "b.mov", advice }],
      notFiles: ["/card/1", "/card/2", "/card/3", "/card/4"],
      changedCopies: [{ file: "c.mov", place: "P", asideAs: "c.mov.changed" }],
      vanishedCopies: [
        { file: "d.mov", place: "P" },
        { file: "e.mov", place: "P" },
      ],
      histories: [
        { place: "P", code: "MANIFEST_CHANGED", advice },
        { place: "Q", code: "DISK_FULL", advice },
      ],
      sharedDrive: ["P", "Q"],
      onCardDrive: ["P"],
    });
    expect(findings.map(({ code }) => code)).toEqual([
      "cards.place-given-up",
      "cards.copy-differs",
      "cards.file-unreadable",
      "cards.not-files",
      "cards.copy-changed",
      "cards.copy-vanished",
      "cards.history-changed",
      "cards.history-not-written",
      "cards.one-drive",
      "cards.on-card-drive",
    ]);
    for (const finding of findings) {
      expect(findingSchema.parse(finding)).toEqual(finding);
      expect(finding.says).toMatch(/^\p{Lu}?.*\.$/u);
      expect(finding.remedy).toMatch(/\.$/);
    }
    const weights = findings.map(({ weight }) => ["stop", "warn", "note"].indexOf(weight));
    expect(weights.slice(0, 3)).toEqual([0, 0, 0]);
  });
});

it("what desktop systems leave on a card is junk, what was filmed is not", () => {
  expect(
    [".DS_Store", "._C0001.MP4", "System Volume Information", "Thumbs.db", ".Trashes"].every(isJunkName),
  ).toBe(true);
  expect(["C0001.MP4", "DCIM", ".hidden-take.wav", "ascmhl", "thumbs.mov"].some(isJunkName)).toBe(false);
});
