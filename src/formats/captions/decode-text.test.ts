import { describe, expect, it } from "vitest";
import { decodeText } from "./decode-text.ts";

const bytes = (...list: number[]): Uint8Array => Uint8Array.from(list);

describe("the text of a caption file", () => {
  // RFC 3629, section 7 (octets from memory): "A<NOT IDENTICAL TO><ALPHA>." and the Japanese word "nihongo", with their octets as printed.
  it("is UTF-8 where it is valid, with or without a mark", () => {
    const first = bytes(0x41, 0xe2, 0x89, 0xa2, 0xce, 0x91, 0x2e);
    expect(decodeText(first)).toBe("A≢Α.");
    expect(decodeText(bytes(0xef, 0xbb, 0xbf, ...first))).toBe("A≢Α.");
    expect(decodeText(bytes(0xe6, 0x97, 0xa5, 0xe6, 0x9c, 0xac, 0xe8, 0xaa, 0x9e))).toBe("日本語");
    // The same section: the character U+233B4 after a byte order mark.
    expect(decodeText(bytes(0xef, 0xbb, 0xbf, 0xf0, 0xa3, 0x8e, 0xb4))).toBe("\u{233B4}");
  });

  // RFC 2781, section 4.2 (octets from memory): "*=Ra" with <*> standing for U+12345, with its octets as printed.
  it("is UTF-16 after either of its marks", () => {
    expect(decodeText(bytes(0xfe, 0xff, 0xd8, 0x08, 0xdf, 0x45, 0, 0x3d, 0, 0x52, 0, 0x61))).toBe(
      "\u{12345}=Ra",
    );
    expect(decodeText(bytes(0xff, 0xfe, 0x08, 0xd8, 0x45, 0xdf, 0x3d, 0, 0x52, 0, 0x61, 0))).toBe(
      "\u{12345}=Ra",
    );
  });

  it("is Windows-1252 where it is no UTF-8", () => {
    expect(decodeText(bytes(0x93, 0x4d, 0xfc, 0x68, 0x6c, 0x65, 0x94, 0x20, 0x80))).toBe("“Mühle” €");
    // An overlong form and a lone surrogate are no UTF-8 (RFC 3629, section 3).
    expect(decodeText(bytes(0xc0, 0x80))).toBe("À€");
    expect(decodeText(bytes(0xed, 0xa0, 0x80))).toHaveLength(3);
  });
});
