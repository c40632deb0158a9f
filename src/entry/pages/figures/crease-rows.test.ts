import { describe, expect, it } from "vitest";
import { creaseRows } from "./crease-rows.ts";

const part = { start: 10, end: 20, why: "a question and a false start" };

describe("what lies in a crease", () => {
  it("is each thing said, with a little air that stays inside the crease", () => {
    const rows = creaseRows(
      [part],
      [
        { start: 4, end: 9.9, who: "sitter" },
        { start: 11, end: 12, who: "interviewer" },
        { start: 12.4, end: 13, who: "interviewer" },
        { start: 14, end: 15, who: "sitter" },
        { start: 20.1, end: 24, who: "sitter" },
      ],
    );
    expect(rows.map(({ from, to, who }) => [from, to, who])).toEqual([
      [10.88, 13.2, "interviewer"],
      [13.88, 15.2, "sitter"],
    ]);
  });

  it("is the stretch itself where nobody speaks", () => {
    expect(creaseRows([part], [])).toEqual([{ from: 10, to: 20, who: null, why: part.why }]);
  });

  it("comes whole where the rest would be too short to be worth a join", () => {
    const [row] = creaseRows([part], [{ start: 10.3, end: 19.6, who: "sitter" }]);
    expect([row!.from, row!.to]).toEqual([10, 20]);
  });

  it("never gives two rows the same moment", () => {
    const rows = creaseRows(
      [part],
      [
        { start: 11, end: 12, who: "interviewer" },
        { start: 12.1, end: 13, who: "sitter" },
      ],
    );
    expect(rows[0]!.to).toBeLessThanOrEqual(rows[1]!.from);
  });
});
