import { describe, expect, it } from "vitest";
import { readChain } from "./chain.ts";
import { readManifest } from "./read-manifest.ts";
import { readXml } from "./read-xml.ts";

// W3C, XML 1.0 (fifth edition): well-formedness, sections named beside each case.
describe("readXml", () => {
  it("reads text, references, CDATA, comments and both kinds of quotes (2.4, 2.5, 2.7, 4.1, 4.6)", () => {
    const root = readXml(
      `\ufeff<?xml version="1.0"?><!-- a > b --><a x='1 > "0"' y="&#65;&#x42;"><b/>t&amp;<![CDATA[<&]]></a>\n`,
    );
    expect(root).toEqual({
      name: "a",
      attributes: { x: '1 > "0"', y: "AB" },
      children: [{ name: "b", attributes: {}, children: [], text: "" }],
      text: "t&<&",
    });
  });

  it.each([
    [
      "an entity from a file (4.2.2): no document type is accepted",
      '<!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/hostname">]><a>&x;</a>',
    ],
    ["an unknown entity (4.1)", "<a>&x;</a>"],
    ["a prototype's name as an entity", "<a>&constructor;</a>"],
    ["a tag that closes another (3, WFC: Element Type Match)", "<a><b></a></b>"],
    ["an element that is never closed", "<a><b></b>"],
    ["two roots (2.1)", "<a/><b/>"],
    ["text outside the root (2.1)", "<a/>x"],
    ["an attribute given twice (3.1, WFC: Unique Att Spec)", '<a x="1" x="2"/>'],
    ["a value without quotes (3.1)", "<a x=1/>"],
    ["a bare ampersand (2.4)", "<a>mill & sea</a>"],
    ["a cut file", "<a><b x="],
    ["a cut comment", "<a><!-- "],
    ["nothing", ""],
    ["a character that is none (2.2)", "<a>&#xD800;</a>"],
    ["nesting without end", "<a>".repeat(5000)],
  ])("refuses %s", (_, text) => {
    expect(() => readXml(text)).toThrow(expect.objectContaining({ code: "MANIFEST_INVALID" }));
  });
});

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
