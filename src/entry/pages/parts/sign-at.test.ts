import { describe, expect, it } from "vitest";
import type { Finding } from "#documents/finding";
import { weightAt } from "./sign-at.ts";

const finding = (
  weight: Finding["weight"],
  where: string | undefined,
  from: number,
  to: number,
): Finding => ({
  code: "x.y",
  weight,
  says: "",
  remedy: "",
  evidence: { ...(where === undefined ? {} : { where }), from, to },
});

describe("the mark at a stretch of a figure", () => {
  const findings = [
    finding("note", "B1.mp4", 27, 34),
    finding("warn", "B1.mp4", 30, 31),
    finding("stop", "B2.mp4", 30, 31),
  ];
  it("is that of the worst finding about it", () => {
    expect(weightAt(findings, { from: 27, to: 34 }, ["B1.mp4", "B"])).toBe("warn");
    expect(weightAt(findings, { from: 32, to: 34 }, ["B1.mp4", "B"])).toBe("note");
  });
  it("is none where no finding is about it", () => {
    expect(weightAt(findings, { from: 50, to: 60 }, ["B1.mp4"])).toBeNull();
    expect(
      weightAt([{ code: "x", weight: "stop", says: "", remedy: "" }], { from: 0, to: 1 }, ["A"]),
    ).toBeNull();
  });
  it("takes a finding without a place as one about all", () => {
    expect(weightAt([finding("note", undefined, 5, 6)], { from: 5.5, to: 7 }, ["A"])).toBe("note");
  });
});
