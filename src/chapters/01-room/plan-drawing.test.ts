import { describe, expect, it } from "vitest";
import { planSchema } from "#documents/plan";
import { stagedRoom } from "../../../test/helpers/staged-room.ts";
import { drawPlan } from "./plan-drawing.ts";
import { breadthOf } from "./plan-labels.ts";
import { roomFigures } from "./room.ts";

const plan = planSchema.parse({
  kind: "gemel.plan",
  version: 1,
  room: {
    outline: [
      [0, 0],
      [6, 0],
      [6, 4],
      [0, 4],
    ],
    height: 2.7,
    bearing: 90,
    openings: [{ id: "w", kind: "window", wall: 0, from: 1, width: 1.5, sill: 0.9, height: 1.2 }],
    furniture: [{ id: "bin", name: "bin <old>", at: [5, 3], size: [1, 0.5, 0.8] }],
  },
  sitter: { at: [4, 2], heading: 270, name: "the miller" },
  interviewer: { at: [1.8, 2.6], heading: 100 },
  kit: {
    bodies: [{ id: "b", name: "Large", sensor: [36, 20.25], pixels: [3840, 2160] }],
    lenses: [{ id: "z", name: "Prime", focal: [50, 50], stop: 2.8 }],
  },
  cameras: [{ id: "A", body: "b", lens: "z", at: [1.8, 1.6] }],
});

describe("the plan's drawing", () => {
  it("is to scale: every thing stands where its metres say, and the way back leads there", () => {
    const { page, things } = drawPlan(plan, { size: { width: 700 } });
    const sitter = things.find(({ id }) => id === "sitter")!;
    const camera = things.find(({ id }) => id === "A")!;
    expect((sitter.x - camera.x) / page.scale).toBeCloseTo(4 - 1.8, 9);
    expect((camera.y - sitter.y) / page.scale).toBeCloseTo(2 - 1.6, 9);
    const [x, y] = page.toRoom(sitter.x, sitter.y);
    expect(x).toBeCloseTo(4, 9);
    expect(y).toBeCloseTo(2, 9);
  });

  it("at 1:50 a metre of room is 20 mm of paper", () => {
    const { page, svg } = drawPlan(plan, { size: { ratio: 50 } });
    expect((page.scale / 96) * 25.4).toBeCloseTo(20, 9);
    const [, wide] = /width="([\d.]+)mm"/.exec(svg)!;
    expect(Number(wide)).toBeCloseTo((page.width / 96) * 25.4, 1);
    expect(svg).toContain("1:50");
  });

  it("names the walls' lengths, cut at the window, in the wished units", () => {
    const { svg } = drawPlan(plan, { size: { width: 700 } });
    for (const length of ["1.00 m", "1.50 m", "3.50 m", "4.00 m"]) expect(svg).toContain(`>${length}<`);
    expect(drawPlan(plan, { size: { width: 700 }, units: "feet" }).svg).toContain(">3&#39; 3&#34;<");
  });

  it("says the eyeline's angle and the distance from lens to eyes", () => {
    const { svg } = drawPlan(plan, { size: { width: 700 } });
    // By hand: from (4, 2) the lens lies at (-2.2, -0.4), the interviewer at (-2.2, 0.6): 10.3 + 15.3 degrees from the
    // head's axis, some more from the eyes, which lie 8.5 cm in front of it.
    const [, degrees] = />(\d+)°</.exec(svg)!;
    expect(Number(degrees)).toBeGreaterThanOrEqual(25);
    expect(Number(degrees)).toBeLessThanOrEqual(28);
    expect(svg).toMatch(/>2\.1\d m</);
  });

  it("is well-formed whatever a thing is called, and turns north by the room's bearing", () => {
    const { svg } = drawPlan(plan, { size: { width: 700 } });
    expect(svg).not.toContain("<old>");
    expect(svg).toContain("rotate(-90)");
    const opened = [...svg.matchAll(/<([a-z]+)[^>]*[^/]>/g)].length;
    const closed = [...svg.matchAll(/<\/[a-z]+>/g)].length;
    expect(opened).toBe(closed);
  });

  it("keeps every label inside the drawing", () => {
    const { svg, page } = drawPlan(plan, { size: { width: 320 } });
    for (const [, x, y] of svg.matchAll(/<text class="label" x="([\d.-]+)" y="([\d.-]+)"/g)) {
      expect(Number(x)).toBeGreaterThan(0);
      expect(Number(x)).toBeLessThan(page.width);
      expect(Number(y)).toBeGreaterThan(0);
      expect(Number(y)).toBeLessThan(page.height);
    }
  });

  it("has no words across other words on a telephone, and puts them in the same places every time", () => {
    const wish = { size: { width: 342, tallest: 760 }, luxAtFace: { key: 300, back: 120 } };
    const { svg } = drawPlan(stagedRoom(), wish);
    expect(drawPlan(stagedRoom(), wish).svg).toBe(svg);
    const texts = [
      ...svg.matchAll(
        /<text class="((?:label|name|axis)[^"]*)" x="([\d.-]+)" y="([\d.-]+)"([^>]*)>([^<]+)</g,
      ),
    ].map(([, classes, x, y, more, text]) => {
      const breadth = breadthOf(text!, classes!);
      const back = more!.includes("middle") ? breadth / 2 : more!.includes("end") ? breadth : 0;
      return { text, left: Number(x) - back, right: Number(x) - back + breadth, y: Number(y) };
    });
    expect(texts.length).toBeGreaterThan(12);
    const across = texts.flatMap((a, i) =>
      texts
        .slice(i + 1)
        .filter((b) => Math.abs(a.y - b.y) < 13 && a.left < b.right - 0.5 && b.left < a.right - 0.5)
        .map((b) => `${a.text} on ${b.text}`),
    );
    expect(across).toEqual([]);
  });

  it("shows the cables on paper as the plan's figures have them, and on a screen those that it is given", () => {
    const staged = stagedRoom();
    const ways = roomFigures(staged).geometry.cables.map(({ path }) => path);
    const cables = (svg: string) => [...svg.matchAll(/<path class="cable"[^>]*>/g)].map(([tag]) => tag);
    expect(ways.length).toBeGreaterThan(0);
    const onPaper = cables(drawPlan(staged, { size: { ratio: 50 } }).svg);
    expect(onPaper).toEqual(cables(drawPlan(staged, { size: { ratio: 50 }, cables: ways }).svg));
    expect(onPaper).toHaveLength(ways.length);
    const colours = {
      paper: "#fff",
      ink: "#000",
      quiet: "#000",
      line: "#000",
      rule: "#000",
      a: "#000",
      b: "#000",
    };
    expect(cables(drawPlan(staged, { size: { width: 700 }, colours }).svg)).toEqual([]);
  });
});
