import { describe, expect, it } from "vitest";
import type { Plan } from "#documents/plan";
import { type Proposals, proposalsSchema } from "#documents/room-proposals";
import { stagedRoom } from "../../../test/helpers/staged-room.ts";
import { contradictionsOf } from "./contradictions.ts";
import { judgeStaging, proposeStagings } from "./propose.ts";
import { differencesOf } from "./propose-differ.ts";
import { roomFigures } from "./room.ts";

const few = 6000;

/** Nothing that the plan's own, exact figures call a breach of a hard rule. */
function expectSound(plan: Plan, pinned: readonly string[] = []): void {
  const figures = roomFigures(plan);
  expect(contradictionsOf(plan)).toEqual([]);
  expect(figures.geometry.lineCrossed).toBe(false);
  expect(figures.geometry.walkway!.metres).toBeGreaterThanOrEqual(0.7);
  for (const camera of figures.cameras) {
    if (pinned.includes(camera.id)) continue;
    expect(camera.seen.filter((t) => t.unwanted && t.kind !== "furniture")).toEqual([]);
    expect(camera.seesSitter).toBe(true);
    for (const { metres } of camera.clears) expect(metres).toBeGreaterThan(0.04);
    expect(camera.sitterMetres / camera.shot.wishedMetres).toBeGreaterThan(1 / 1.15);
    expect(camera.sitterMetres / camera.shot.wishedMetres).toBeLessThan(1.15);
  }
  const codes = figures.findings.filter((f) => f.weight === "stop").map((f) => f.code);
  expect(codes).toEqual([]);
}

describe("proposing stagings", () => {
  const plan = stagedRoom();
  const asked: string = JSON.stringify(plan);
  const shares: number[] = [];
  const found: Proposals = proposeStagings(plan, {
    seed: 4,
    evaluations: few,
    progress: (share) => shares.push(share),
  });

  it("answers plain JSON of the published shape and leaves the plan alone", () => {
    expect(proposalsSchema.parse(JSON.parse(JSON.stringify(found)))).toEqual(found);
    expect(JSON.stringify(plan)).toBe(asked);
    expect(found.complete).toBe(true);
    // It ends early where all that it follows has settled.
    expect(found.evaluations).toBeGreaterThan(few / 2);
    expect(found.evaluations).toBeLessThan(few * 1.125);
    expect(shares.at(-1)).toBe(1);
    for (let k = 1; k < shares.length; k++) expect(shares[k]).toBeGreaterThanOrEqual(shares[k - 1]!);
  });
  it("gives three that truly differ, the best first, and says how", () => {
    expect(found.proposals).toHaveLength(3);
    const [a, b, c] = found.proposals as [
      Proposals["proposals"][0],
      Proposals["proposals"][0],
      Proposals["proposals"][0],
    ];
    expect(a.total).toBeGreaterThanOrEqual(b.total);
    expect(b.total).toBeGreaterThanOrEqual(c.total);
    for (const [p, q] of [
      [a, b],
      [a, c],
      [b, c],
    ] as const)
      expect(differencesOf(p.plan, q.plan)).not.toEqual([]);
    expect(a.differs).toBe("");
    expect(b.differs).toMatch(/^Unlike the first: .*\.$/);
    for (const { why, moved, title } of found.proposals) {
      expect(why.length).toBeGreaterThanOrEqual(3);
      expect(moved.map((m) => m.id)).toEqual(expect.arrayContaining(["sitter", "A", "B", "key", "boom"]));
      expect(title).toMatch(/^Facing /);
    }
  });
  it("breaks no hard rule by the plan's own figures, and scores as it says", () => {
    for (const proposal of found.proposals) {
      expectSound(proposal.plan);
      const { total, rules, broken } = judgeStaging(proposal.plan);
      expect(broken).toEqual([]);
      expect(total).toBe(proposal.total);
      expect(rules).toEqual(proposal.rules);
    }
  });
  it("gives the same for the same seed", () => {
    const short = { seed: 12, evaluations: 1500 };
    expect(proposeStagings(plan, short)).toEqual(proposeStagings(plan, short));
    expect(proposeStagings(plan, { ...short, seed: 13 }).proposals).not.toEqual(
      proposeStagings(plan, short).proposals,
    );
  });
  it("leaves everything pinned where it is", () => {
    const pinned = stagedRoom();
    pinned.wishes.pinned = ["sitter", "A", "key", "boom"];
    const { proposals } = proposeStagings(pinned, { seed: 1, evaluations: few });
    expect(proposals.length).toBeGreaterThan(0);
    for (const { plan: staged, moved } of proposals) {
      expect(staged.sitter).toEqual(pinned.sitter);
      expect(staged.cameras[0]).toEqual(pinned.cameras[0]);
      expect(staged.lights[0]).toEqual(pinned.lights[0]);
      expect(staged.microphones).toEqual(pinned.microphones);
      expect(moved.map((m) => m.id)).not.toContain("sitter");
      expectSound(staged, ["A"]);
    }
    const all = stagedRoom();
    all.wishes.pinned = ["sitter", "interviewer", "A", "B", "key", "fill", "hair", "boom"];
    const only = proposeStagings(all, { seed: 1 });
    expect(only.proposals.map((p) => p.plan)).toEqual([all]);
    expect(only.proposals[0]!.total).toBe(only.now.total);
  });
  it("moves the chair with its sitter, and keeps a wished side and shown things", () => {
    const wished = stagedRoom();
    wished.room.furniture.push({
      ...wished.room.furniture[0]!,
      id: "chair",
      name: "the chair",
      at: [5.3, 3.1],
      size: [0.6, 0.6, 0.9],
      heading: 285,
    });
    wished.wishes.looks = "left";
    wished.wishes.show = ["case"];
    const { proposals } = proposeStagings(wished, { seed: 2, evaluations: 2 * few });
    for (const { plan: staged, rules } of proposals) {
      const chair = staged.room.furniture.find((f) => f.id === "chair")!;
      expect(Math.hypot(chair.at[0] - staged.sitter.at[0], chair.at[1] - staged.sitter.at[1])).toBeCloseTo(
        0.1,
        1,
      );
      expect(rules.find((r) => r.code === "looks")!.score).toBe(1);
      const { cameras } = roomFigures(staged);
      for (const camera of cameras) expect(camera.eyeline.sideways).toBeGreaterThan(0);
      const seen = cameras.some((c) => c.seen.some((t) => t.id === "case"));
      expect(rules.find((r) => r.code === "show")!.score > 0).toBe(seen);
    }
    expect(proposals[0]!.rules.find((r) => r.code === "show")!.score).toBe(1);
  });
  it("says which rule stands in the way where none can be kept", () => {
    const tiny = stagedRoom();
    tiny.room.outline = [
      [0, 0],
      [1.9, 0],
      [1.9, 1.9],
      [0, 1.9],
    ];
    tiny.room.openings = [];
    tiny.room.furniture = [];
    const { proposals, inTheWay } = proposeStagings(tiny, { seed: 1, evaluations: 3000 });
    expect(proposals).toEqual([]);
    expect(inTheWay.length).toBeGreaterThan(0);
    for (const { name, says, remedy } of inTheWay)
      for (const text of [name, says, remedy]) expect(text).not.toBe("");
  });
  it("stops when it is called off, with the best so far", () => {
    const signal = { aborted: false };
    const { complete, evaluations } = proposeStagings(plan, {
      seed: 1,
      signal,
      progress: (share) => {
        if (share > 0.02) signal.aborted = true;
      },
    });
    expect(complete).toBe(false);
    expect(evaluations).toBeLessThan(20_000);
  });
});
