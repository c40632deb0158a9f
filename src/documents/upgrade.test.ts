import { describe, expect, it } from "vitest";
import { defaultDecisions } from "./sitting.ts";
import { sittingFromText } from "./upgrade.ts";

const good = {
  kind: "gemel.sitting",
  version: 1,
  title: "The tide-mill loft",
  createdAt: "2026-11-06T09:00:00Z",
  cards: [{ device: "A", kind: "camera", paths: ["/cards/A"] }],
  places: ["originals"],
  roles: [],
  decisions: defaultDecisions,
};

describe("sittingFromText", () => {
  it("keeps keys it does not know, at every depth it reads", () => {
    const read = sittingFromText(
      JSON.stringify({ ...good, weather: "fog", decisions: { ...defaultDecisions, mood: "calm" } }),
      "sitting.json",
    );
    expect(read).toMatchObject({ weather: "fog", decisions: { mood: "calm" } });
  });

  it("brings a document without a version up to date and adds the decisions it lacked", () => {
    const { version: _, places: __, roles: ___, decisions: ____, ...old } = good;
    expect(sittingFromText(JSON.stringify(old), "sitting.json")).toEqual(good);
  });

  it.each([
    ["DOCUMENT_NOT_JSON", '{"kind": "gemel.sit'],
    ["DOCUMENT_FROM_THE_FUTURE", JSON.stringify({ ...good, version: 99 })],
    ["DOCUMENT_INVALID", JSON.stringify({ ...good, cards: [{ device: "A" }] })],
    ["DOCUMENT_INVALID", "null"],
  ])("refuses with %s and says that nothing was changed", (code, text) => {
    expect(() => sittingFromText(text, "sitting.json")).toThrowError(
      expect.objectContaining({
        code,
        advice: expect.objectContaining({ means: expect.stringContaining("othing was changed") }),
      }),
    );
  });
});
