import { describe, expect, it } from "vitest";
import { type Candidate, chooseSegments } from "./segments.ts";

const mic = (faults: Candidate["faults"] = [], more: Partial<Candidate> = {}): Candidate => ({
  there: [{ start: 0, end: 60 }],
  faults,
  rangeDb: 40,
  ...more,
});
/** A voice that pauses for the first fifth of every second. */
const pauses = Float64Array.from({ length: 3000 }, (_, i) => (i % 50 < 10 ? -60 : 0));
const choose = (lav: Candidate | null, boom: Candidate | null) => chooseSegments(60, lav, boom, pauses);
const covers = (segments: readonly { start: number; end: number }[]): boolean =>
  segments[0]!.start === 0 &&
  segments.at(-1)!.end === 60 &&
  segments.every((s, i) => i === 0 || s.start === segments[i - 1]!.end);

describe("chooseSegments", () => {
  it("changes to the boom around a fault of the lav, in the pauses on either side", () => {
    const segments = choose(mic([{ start: 10.5, end: 12.4, kind: "rustle" }]), mic());
    expect(segments.map((s) => s.source)).toEqual(["lav", "boom", "lav"]);
    expect(covers(segments)).toBe(true);
    for (const at of [segments[1]!.start, segments[1]!.end]) expect(at % 1).toBeLessThan(0.2);
    expect(segments[1]!.start).toBeLessThan(10.5);
    expect(segments[1]!.end).toBeGreaterThan(12.4);
  });

  it("stays on the lav where the boom is at fault as well", () => {
    const both = [{ start: 10, end: 12, kind: "wind" as const }];
    expect(choose(mic(both), mic(both)).map((s) => s.source)).toEqual(["lav"]);
  });

  it("does not flit: two faults a second apart are one stay on the boom", () => {
    const segments = choose(
      mic([
        { start: 10, end: 11, kind: "rustle" },
        { start: 12.2, end: 13, kind: "clipping" },
      ]),
      mic(),
    );
    expect(segments.map((s) => s.source)).toEqual(["lav", "boom", "lav"]);
    expect(segments[1]!.why).toBe("cloth rubbed on the lav; the voice was too loud for the lav");
  });

  it("calls cloth that overloads the input cloth", () => {
    const segments = choose(
      mic([
        { start: 10, end: 12, kind: "rustle" },
        { start: 11, end: 11.2, kind: "clipping" },
      ]),
      mic(),
    );
    expect(segments[1]!.why).toBe("cloth rubbed on the lav");
  });

  it("fills what the lav did not record from the boom", () => {
    const segments = choose(mic([], { there: [{ start: 8, end: 60 }] }), mic());
    expect(segments.map((s) => [s.source, s.start])).toEqual([
      ["boom", 0],
      ["lav", 8],
    ]);
    expect(segments[0]!.why).toBe("the lav was not recording");
  });

  it("takes the boom throughout where the lav hums and the boom stands clearer", () => {
    const segments = choose(
      mic([{ start: 0, end: 60, kind: "hum" }], { rangeDb: 20 }),
      mic([], { rangeDb: 32 }),
    );
    expect(segments).toEqual([
      { start: 0, end: 60, source: "boom", why: "mains hum is on the lav throughout" },
    ]);
  });

  it("uses the only microphone there is", () => {
    expect(choose(null, mic()).map((s) => s.source)).toEqual(["boom"]);
    expect(choose(mic(), null).map((s) => s.source)).toEqual(["lav"]);
  });
});
