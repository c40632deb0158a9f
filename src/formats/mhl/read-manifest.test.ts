import { describe, expect, it } from "vitest";
import { readChain } from "./chain.ts";
import { readManifest } from "./read-manifest.ts";

// ASC MHL Specification v1.0 (2022): paths, version, chain numbering.
describe("a manifest or chain that cannot be relied on", () => {
  const manifest = (hashes: string, version = "2.0"): string =>
    `<hashlist version="${version}" xmlns="urn:ASC:MHL:v2.0"><creatorinfo><creationdate>2026-06-01T10:00:00Z</creationdate>` +
    `<hostname>h</hostname><tool version="1">t</tool></creatorinfo><processinfo><process>transfer</process></processinfo>` +
    `<hashes>${hashes}</hashes></hashlist>`;

  it.each([
    ["another version", manifest("", "1.1")],
    ["a path out of the folder", manifest("<hash><path>../x</path></hash>")],
    ["an absolute path", manifest("<hash><path>/x</path></hash>")],
    ["one path twice", manifest("<hash><path>x</path></hash><hash><path>x</path></hash>")],
    ["an unknown action", manifest('<hash><path>x</path><md5 action="guessed">aa</md5></hash>')],
    ["no path", manifest("<hash><md5>aa</md5></hash>")],
    ["another document", "<html/>"],
  ])("is refused: %s", (_, text) => {
    expect(() => readManifest(text)).toThrow(expect.objectContaining({ code: "MANIFEST_INVALID" }));
  });

  it.each([
    [
      "a gap in the numbers",
      '<ascmhldirectory><hashlist sequencenr="2"><path>a</path><c4>c4</c4></hashlist></ascmhldirectory>',
    ],
    [
      "no identifier",
      '<ascmhldirectory><hashlist sequencenr="1"><path>a</path></hashlist></ascmhldirectory>',
    ],
    [
      "a path out of the folder",
      '<ascmhldirectory><hashlist sequencenr="1"><path>../a</path><c4>c4</c4></hashlist></ascmhldirectory>',
    ],
  ])("is refused: a chain with %s", (_, text) => {
    expect(() => readChain(text)).toThrow(expect.objectContaining({ code: "MANIFEST_INVALID" }));
  });
});
