import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { framesCovered, onFrameGrid, wherePictured } from "./frame-grid.ts";
import * as costs from "./shot-costs.ts";
import { mustAvoid } from "./shot-costs.ts";
import { type StoryShot, solveStory } from "./solve-story.ts";
import type { KeptStretch, PictureSource } from "./story-material.ts";

const rate25 = { num: 25, den: 1 };
const stretch = (start: number, end: number, more: Partial<KeptStretch> = {}): KeptStretch => ({
  start,
  end,
  joinWhy: start === 0 ? "" : "a pause of 2.0 s",
  opensAnswer: false,
  breaks: [],
  ...more,
});
const camera = (name: string, bad: PictureSource["bad"] = [], from = 0, to = 1000): PictureSource => ({
  camera: name,
  from,
  to,
  bad,
});
const soft = (start: number, end: number) => ({ start, end, kind: "soft", severity: 0.8 });
function cut(kept: KeptStretch[], sources: PictureSource[], rate = rate25): StoryShot[] {
  const { kept: stretches } = wherePictured(onFrameGrid(kept, rate, 0), sources, rate);
  return solveStory({ rate, stretches, sources, wideCamera: "A" });
}
const order = (shots: readonly StoryShot[], sources: readonly PictureSource[]): string =>
  shots.map(({ source, scale }) => sources[source]!.camera + (scale === 1 ? "" : "+")).join(" ");

describe("the choice of angles", () => {
  it("opens on A and changes the angle at every join", () => {
    const sources = [camera("A"), camera("B")];
    const kept = [stretch(0, 8), stretch(10, 17), stretch(20, 28), stretch(30, 37)];
    expect(order(cut(kept, sources), sources)).toBe("A B A B");
  });

  it("breaks a long stretch at its breaks, not in the middle of a word", () => {
    const sources = [camera("A"), camera("B")];
    const kept = [
      stretch(0, 40, {
        breaks: [
          { at: 12, seconds: 0.6 },
          { at: 27, seconds: 0.5 },
        ],
      }),
    ];
    const shots = cut(kept, sources);
    expect(shots.slice(1).map(({ sittingStart }) => sittingStart)).toEqual([12, 27]);
  });

  it("leaves B before it turns soft and does not come back while it is", () => {
    const sources = [camera("A"), camera("B", [soft(14, 22)])];
    const kept = [stretch(0, 8), stretch(10, 30, { breaks: [{ at: 13.5, seconds: 0.4 }] })];
    const shots = cut(kept, sources);
    expect(shots.every(({ bad }) => bad.length === 0)).toBe(true);
    const during = shots.filter(({ sittingStart, sittingEnd }) => sittingStart < 22 && sittingEnd > 14);
    expect(during.every(({ source }) => source === 0)).toBe(true);
  });

  it("changes the size where a join cannot change the angle", () => {
    const sources = [camera("A"), camera("B", [soft(5, 20)])];
    expect(order(cut([stretch(0, 8), stretch(10, 17)], sources), sources)).toMatch(/A A\+$|B A A\+$/);
  });

  it("with one camera, every join changes size and comes back", () => {
    const sources = [camera("A")];
    const kept = [stretch(0, 8), stretch(10, 17), stretch(20, 28)];
    expect(order(cut(kept, sources), sources)).toBe("A A+ A");
  });

  it("shows the less bad picture where both are bad, and says so", () => {
    const sources = [
      camera("A", [{ start: 0, end: 50, kind: "black", severity: 1 }]),
      camera("B", [{ start: 0, end: 50, kind: "soft", severity: 0.3 }]),
    ];
    const shots = cut([stretch(0, 10)], sources);
    expect(order(shots, sources)).toBe("B");
    expect(shots[0]!.bad[0]!.kind).toBe("soft");
  });

  it("takes each part of a camera that was stopped and started again from its own file", () => {
    const sources = [camera("A"), camera("B", [], 0, 12.31), camera("B", [], 14.02, 1000)];
    const shots = cut([stretch(0, 8), stretch(10, 18), stretch(20, 28), stretch(30, 36)], sources);
    for (const shot of shots) {
      expect(shot.sittingStart).toBeGreaterThanOrEqual(sources[shot.source]!.from - 1e-6);
      expect(shot.sittingEnd).toBeLessThanOrEqual(sources[shot.source]!.to + 1e-6);
    }
  });

  it("goes on in the next file of the same camera where a recording was cut into parts", () => {
    const sources = [camera("A", [], 0, 10), camera("A", [], 10, 1000)];
    expect(cut([stretch(0, 20)], sources).map(({ source, scale }) => [source, scale])).toEqual([
      [0, 1],
      [1, 1],
    ]);
  });

  it("leaves out what no camera saw and says which moments", () => {
    const framed = onFrameGrid([stretch(0, 10)], rate25, 0);
    const { kept, lost } = wherePictured(framed, [camera("A", [], 0, 4), camera("A", [], 6, 1000)], rate25);
    expect(kept.map(({ start, end }) => [start, end])).toEqual([
      [0, 4],
      [6, 10],
    ]);
    expect(lost).toEqual([{ start: 4, end: 6 }]);
  });

  it("gives the viewer B for emphasis when an answer has gone on", () => {
    const sources = [camera("A"), camera("B")];
    const breaks = [8, 16, 24, 32].map((at) => ({ at, seconds: 0.5 }));
    const cutOfOne = cut([stretch(0, 36, { breaks, opensAnswer: true })], sources);
    expect(cutOfOne.some(({ source, sittingStart }) => source === 1 && sittingStart >= 8)).toBe(true);
  });
});

describe("the solver, against trying every choice", () => {
  /** The cost of a cut by the published prices, for stretches whose only moments of change are their ends. */
  function priceOf(
    path: readonly { source: number; scaled: boolean }[],
    kept: KeptStretch[],
    sources: PictureSource[],
  ): number {
    let price = 0;
    let answerStart = 0;
    for (const [k, { source, scaled }] of path.entries()) {
      const { start, end, opensAnswer } = kept[k]!;
      if (opensAnswer) answerStart = start;
      const wide = sources[source]!.camera === "A";
      const before = path[k - 1];
      if (!before) price += scaled ? Number.POSITIVE_INFINITY : wide ? 0 : costs.openOnTight;
      else {
        const same = sources[before.source]!.camera === sources[source]!.camera;
        if (same ? before.scaled === scaled : scaled) return Number.POSITIVE_INFINITY;
        price += (opensAnswer && !wide ? costs.answerOnTight : 0) + (same ? costs.sizeChange : 0);
      }
      price += costs.lengthCost(end - start, wide ? costs.usualShot.wide : costs.usualShot.tight);
      if (!wide && start - answerStart > costs.emphasisAfterSeconds) price += costs.emphasis;
      for (const bad of sources[source]!.bad) {
        const seconds = Math.min(end, bad.end) - Math.max(start, bad.start);
        if (seconds > 0) price += costs.badCost(seconds, bad.severity);
      }
    }
    return price;
  }
  const parts = fc.array(
    fc.record({
      frames: fc.integer({ min: 10, max: 120 }),
      gap: fc.integer({ min: 20, max: 100 }),
      opensAnswer: fc.boolean(),
    }),
    { minLength: 1, maxLength: 5 },
  );
  const wholeBad = fc.array(
    fc.record({ camera: fc.nat(1), part: fc.nat(4), severity: fc.constantFrom(0.3, 0.6, 0.9) }),
    { maxLength: 4 },
  );
  test.prop([parts, wholeBad], { numRuns: 80 })("finds a cut as good as the best of all", (lengths, bads) => {
    let at = 0;
    const kept = lengths.map(({ frames, gap, opensAnswer }) => {
      const start = at / 25;
      at += frames + gap;
      return stretch(start, start + frames / 25, { opensAnswer });
    });
    // Ranges to avoid cover whole stretches, so that the ends are the only moments of change.
    const badOf = (index: number) =>
      bads
        .filter((range) => range.camera === index && range.part < kept.length)
        .map(({ part, severity }) => ({
          start: kept[part]!.start - 0.2,
          end: kept[part]!.end + 0.2,
          kind: "soft",
          severity,
        }));
    const sources = [camera("A", badOf(0)), camera("B", badOf(1))];
    const shots = cut(kept, sources);
    expect(shots).toHaveLength(kept.length);
    let least = Number.POSITIVE_INFINITY;
    for (let code = 0; code < 4 ** kept.length; code++) {
      const path = kept.map((_, k) => ({
        source: (code >> (2 * k)) & 1,
        scaled: ((code >> (2 * k + 1)) & 1) === 1,
      }));
      least = Math.min(least, priceOf(path, kept, sources));
    }
    const ours = shots.map(({ source, scale }) => ({ source, scaled: scale !== 1 }));
    expect(priceOf(ours, kept, sources)).toBeCloseTo(least, 6);
  });
});

const rates = [rate25, { num: 24000, den: 1001 }, { num: 30000, den: 1001 }, { num: 50, den: 1 }];
const sittings = fc.record({
  rate: fc.constantFrom(...rates),
  lengths: fc.array(
    fc.record({
      speech: fc.double({ min: 0.3, max: 40, noNaN: true }),
      gap: fc.double({ min: 0.2, max: 20, noNaN: true }),
      breakAt: fc.array(fc.double({ min: 0.05, max: 0.95, noNaN: true }), { maxLength: 5 }),
      opensAnswer: fc.boolean(),
    }),
    { minLength: 1, maxLength: 8 },
  ),
  bad: fc.array(
    fc.record({
      camera: fc.constantFrom(0, 1),
      at: fc.double({ min: 0, max: 300, noNaN: true }),
      seconds: fc.double({ min: 0.1, max: 40, noNaN: true }),
      kind: fc.constantFrom("soft", "moved", "black", "frozen", "bright", "white-drift"),
      severity: fc.double({ min: 0, max: 1, noNaN: true }),
    }),
    { maxLength: 6 },
  ),
  split: fc.double({ min: 5, max: 200, noNaN: true }),
  pause: fc.double({ min: 0, max: 30, noNaN: true }),
});

/** A whole sitting from random parts: A runs throughout, B is stopped once and started again. */
function sittingOf(parts: typeof sittings extends fc.Arbitrary<infer T> ? T : never) {
  let at = 0;
  const kept = parts.lengths.map(({ speech, gap, breakAt, opensAnswer }, i) => {
    const start = at;
    at += speech + gap;
    const breaks = breakAt.map((x) => ({ at: start + x * speech, seconds: x }));
    return stretch(start, start + speech, { breaks, opensAnswer: opensAnswer || i === 0 });
  });
  const ranges = (index: number) =>
    parts.bad
      .filter((range) => range.camera === index)
      .map(({ at: start, seconds, kind, severity }) => ({ start, end: start + seconds, kind, severity }));
  const sources = [
    camera("A", ranges(0), -1, at + 5),
    camera("B", ranges(1), 2.003, parts.split),
    camera("B", ranges(1), parts.split + parts.pause, at + 5),
  ];
  const framed = onFrameGrid(kept, parts.rate, 0);
  const { kept: stretches, lost } = wherePictured(framed, sources, parts.rate);
  const shots = solveStory({ rate: parts.rate, stretches, sources, wideCamera: "A" });
  return { kept, stretches, lost, sources, shots, frame: parts.rate.den / parts.rate.num };
}

describe("every cut, whatever the sitting", () => {
  test.prop([sittings], { numRuns: 150 })("fills program time without gap or overlap", (parts) => {
    const { shots, stretches } = sittingOf(parts);
    expect(shots[0]!.startFrame).toBe(0);
    for (const [i, shot] of shots.entries()) {
      expect(shot.endFrame).toBeGreaterThan(shot.startFrame);
      if (i > 0) expect(shot.startFrame).toBe(shots[i - 1]!.endFrame);
    }
    expect(shots.at(-1)!.endFrame).toBe(stretches.reduce((sum, { frames }) => sum + frames, 0));
  });

  test.prop([sittings], { numRuns: 150 })("never joins a camera to itself at the same size", (parts) => {
    const { shots, sources } = sittingOf(parts);
    for (const [i, shot] of shots.entries()) {
      const before = shots[i - 1];
      if (!before || before.stretch === shot.stretch) continue;
      const same = sources[before.source]!.camera === sources[shot.source]!.camera;
      expect(same && before.scale === shot.scale).toBe(false);
    }
  });

  test.prop([sittings], { numRuns: 150 })(
    "never shows a range to avoid while the other camera is good",
    (parts) => {
      const { shots, sources, stretches, frame } = sittingOf(parts);
      const bad = (source: PictureSource, start: number, end: number): boolean =>
        source.bad.some((r) => mustAvoid(r) && Math.min(end, r.end) - Math.max(start, r.start) > 1e-6);
      for (const shot of shots) {
        for (let f = shot.startFrame; f < shot.endFrame; f++) {
          const start = shot.sittingStart + (f - shot.startFrame) * frame;
          if (!bad(sources[shot.source]!, start, start + frame)) continue;
          const inStretch = Math.round((start - stretches[shot.stretch]!.start) / frame);
          const good = sources.some((source) => {
            const covered = framesCovered(source, stretches[shot.stretch]!, parts.rate);
            return (
              covered.first <= inStretch && inStretch < covered.end && !bad(source, start, start + frame)
            );
          });
          expect(good).toBe(false);
        }
      }
    },
  );

  test.prop([sittings], { numRuns: 150 })("keeps every moment of kept speech that a camera saw", (parts) => {
    const { kept, shots, lost } = sittingOf(parts);
    for (const { start, end } of kept) {
      const inShots = shots.reduce(
        (sum, s) => sum + Math.max(0, Math.min(end, s.sittingEnd) - Math.max(start, s.sittingStart)),
        0,
      );
      const gone = lost.reduce(
        (sum, l) => sum + Math.max(0, Math.min(end, l.end) - Math.max(start, l.start)),
        0,
      );
      expect(inShots + gone).toBeGreaterThan(end - start - 1e-6);
    }
  });

  test.prop([sittings], { numRuns: 150 })(
    "stays inside each recording, and sitting time keeps step with program time",
    (parts) => {
      const { shots, sources, frame } = sittingOf(parts);
      for (const shot of shots) {
        const source = sources[shot.source]!;
        expect(shot.sittingStart).toBeGreaterThanOrEqual(source.from - 1e-5);
        expect(shot.sittingEnd).toBeLessThanOrEqual(source.to + 1e-5);
        expect(shot.sittingEnd - shot.sittingStart).toBeCloseTo((shot.endFrame - shot.startFrame) * frame, 6);
      }
    },
  );
});
