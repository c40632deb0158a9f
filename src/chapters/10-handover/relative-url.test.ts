import { describe, expect, it } from "vitest";
import { relativeUrl } from "./relative-url.ts";

describe("how one file of a sitting names another", () => {
  it.each([
    ["handover/cut.otio", "originals/A/mill 01.mov", "../originals/A/mill%2001.mov"],
    ["measured/handover/cut.otio", "measured/handover/sound/mix.wav", "sound/mix.wav"],
    ["measured/handover/cut.otio", "measured/voice/lav.wav", "../voice/lav.wav"],
    ["cut.otio", "originals/a.mov", "originals/a.mov"],
    ["handover/cut.otio", "/media/card one/a.mov", "file:///media/card%20one/a.mov"],
    ["handover/cut.otio", "D:\\mill\\a.mov", "file:///D:/mill/a.mov"],
    ["handover/cut.otio", "../elsewhere/a.mov", "../../elsewhere/a.mov"],
    ["handover/cut.otio", "originals/100%.mov", "../originals/100%25.mov"],
  ])("%s names %s as %s", (from, to, url) => expect(relativeUrl(from, to)).toBe(url));

  // RFC 3986, section 5.2: a relative reference resolved against its base gives the target.
  it("resolves back to the file, by the rules of RFC 3986", () => {
    const base = new URL("file:///sitting/measured/handover/cut.otio");
    const url = new URL(relativeUrl("measured/handover/cut.otio", "originals/A/mühle #1.mov"), base);
    expect(decodeURIComponent(url.pathname)).toBe("/sitting/originals/A/mühle #1.mov");
  });
});
