import { describe, expect, it } from "vitest";
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
