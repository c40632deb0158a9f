import { describe, expect, it } from "vitest";
import { loftPlan } from "#demo/loft-plan";
import type { ChapterResults } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import { ExplainedError } from "#errors/explained-error";
import type { RunOutcome } from "#jobs/run-sitting";
import { roomFigures } from "#room/room";
import { runExitCode, runText } from "./run-answer.ts";

/** The loft with its boom hung into the frame: a plan that must not be filmed so. */
const plan = {
  ...loftPlan,
  microphones: loftPlan.microphones.map((m) =>
    m.id === "boom" ? { ...m, at: [2.62, 3.1, 1.3] as [number, number, number] } : m,
  ),
};

const outcome = (findings: readonly Finding[], failed: RunOutcome["failed"] = {}): RunOutcome =>
  ({
    results: { room: roomFigures(plan), cards: { findings }, handover: { findings: [], files: [] } },
    failed,
    missing: {},
    recordings: [],
  }) as unknown as RunOutcome & { results: Partial<ChapterResults> };

const lost: Finding = {
  code: "cards.lost",
  weight: "stop",
  says: "A file is not whole.",
  remedy: "Copy it again.",
  evidence: { where: "A", figure: "1" },
};

describe("how gemel run ends on a sitting that was filmed", () => {
  it("with 0 where only the plan had a stop, which is still told, under its own heading", () => {
    expect(roomFigures(plan).findings.some(({ weight }) => weight === "stop")).toBe(true);
    const done = outcome([]);
    expect(runExitCode(done)).toBe(0);
    expect(runText(done)).toMatch(/\nOf the plan, for the next shoot:\n[\s\S]*[Bb]oom[\s\S]*Raise it by/);
  });
  it("with 1 where a file of the shoot had one, which is told before the plan's", () => {
    const done = outcome([lost]);
    expect(runExitCode(done)).toBe(1);
    const text = runText(done);
    expect(text.indexOf(lost.says)).toBeGreaterThan(0);
    expect(text.indexOf(lost.says)).toBeLessThan(text.indexOf("Of the plan"));
  });
  it("with 1 where there is no cut, and with 3 where a chapter failed by our own fault", () => {
    const { handover: _, ...results } = outcome([]).results;
    expect(runExitCode({ ...outcome([]), results })).toBe(1);
    const ours = new ExplainedError("INTERNAL", { happened: "", means: "", doNext: "" });
    expect(runExitCode(outcome([], { room: ours }))).toBe(3);
  });
});
