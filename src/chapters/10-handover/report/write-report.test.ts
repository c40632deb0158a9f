import { describe, expect, it } from "vitest";
import { loftPlan } from "#demo/loft-plan";
import type { MeasureContext } from "#documents/chapter";
import { roomFigures } from "#room/room";
import type { ReportGround } from "./report-ground.ts";
import { writeReport } from "./write-report.ts";

const edge = {
  reference: "xxh128:a",
  other: "xxh128:b",
  from: 0,
  windows: 3,
  used: 2,
  scatter: 2e-5,
  at: [5, 15, 25],
  delayMs: [0.1, 0.3, 7],
  residualMs: [0.02, -0.02, 6.5],
  say: [1, 1, 0],
};
const recording = (
  device: string,
  offset: number,
): NonNullable<ReportGround["clock"]>["recordings"][number] => ({
  path: `originals/${device}/${device}001.mov`,
  hash: `xxh128:${device.toLowerCase()}`,
  device,
  placedBy: "sound",
  offset,
  ratePpm: device === "A" ? 0 : 20,
  pictureOffset: offset + 0.0052,
  confidence: 1,
  uncertainty: 2e-5,
  durationSeconds: 60,
});
const grey = (index: number, v: number) => ({
  index,
  name: `grey ${index}`,
  before: 5,
  after: 0.5,
  leftOut: 0.7,
  aRgb: [v, v, v] as [number, number, number],
  beforeRgb: [v, v, v * 1.05] as [number, number, number],
  afterRgb: [v, v, v] as [number, number, number],
  aUv: [0.198, 0.468] as [number, number],
  beforeUv: [0.195, 0.46] as [number, number],
  afterUv: [0.198, 0.468] as [number, number],
});
const ground: ReportGround = {
  title: "The tide mill <loft>",
  madeOn: "2026-11-06",
  verdicts: {
    clock: "Camera B began 2.232 s after camera A.",
    watch: "Camera B lost focus for 7 s at 0:53.",
    voice: "The lav carried the voice.",
    colour: "Camera B now agrees with camera A to 0.9 units.",
    story: "One minute has become forty seconds.",
  },
  findings: {
    watch: [
      {
        code: "watch.soft",
        weight: "warn",
        says: "Camera B lost focus for 7 s at 0:53.",
        remedy: "Nothing to do.",
      },
    ],
  },
  room: null,
  clock: {
    master: "originals/A/A001.mov",
    recordings: [recording("A", 0), recording("B", 2.232)],
    edges: [edge],
    claps: [
      {
        at: 9.5,
        heardBy: [
          { hash: "xxh128:a", localTime: 9.5, frame: 237, still: "measured/clock/clap-a.jpg" },
          { hash: "xxh128:b", localTime: 7.268, frame: 181, still: "measured/clock/clap-b.jpg" },
        ],
      },
    ],
  },
  watch: [
    {
      path: "originals/B/B001.mov",
      hash: "xxh128:b",
      device: "B",
      ranges: [
        {
          start: 53,
          end: 60,
          kind: "soft",
          severity: 0.8,
          evidence: "Edges held 28 % of their usual fine detail.",
          still: "measured/watch/soft.jpg",
          stillAt: 56,
          before: { at: 52.9, path: "measured/watch/before.jpg" },
        },
      ],
    },
  ],
  voice: {
    segments: [{ start: 0, end: 60, source: "lav", why: "the lav is close and clean" }],
    faults: [{ start: 41, end: 43, path: "originals/A/A001.mov", channel: 1, kind: "rustle" }],
    roles: [{ path: "originals/A/A001.mov", hash: "xxh128:a", channel: 1, role: "lav" }],
    loudness: { integrated: -18.1, truePeak: -1.1, range: 9, target: -18 },
    delay: 0.0015,
    polarity: 1,
    envelopes: [
      { name: "lav", from: 0, perSecond: 1, peaks: Array.from({ length: 60 }, (_, i) => (i % 7) / 9) },
    ],
  },
  colour: {
    charts: [],
    match: {
      from: "B",
      to: "A",
      model: "3×3 in linear light",
      before: { mean: 3.8, max: 8.3 },
      after: { mean: 0.9, max: 2.4 },
      leftOut: { mean: 1.1, max: 2.4 },
      patches: [18, 19, 20, 21, 22, 23].map((index, i) => grey(index, 0.95 - 0.15 * i)),
    },
    stills: [{ name: "b-matched", path: "measured/colour/b-matched.jpg" }],
  },
  shots: [
    {
      start: 0,
      end: 8,
      camera: "A",
      why: "opens on A, the wider",
      sittingStart: 12,
      sittingEnd: 20,
      stills: { A: "measured/story/001-a.jpg", B: "measured/story/001-b.jpg" },
    },
  ],
};

async function written(of: ReportGround, cover: string | null = null) {
  const copied = new Map<string, string>();
  let page = "";
  const context: Partial<MeasureContext> = {
    signal: new AbortController().signal,
    copyMade: async (path, name) => {
      copied.set(path, name);
      return name;
    },
    writeText: async (name, text) => {
      page = text;
      return name;
    },
  };
  expect(await writeReport(of, cover, context as MeasureContext)).toBe("report.html");
  return { page, copied };
}

describe("the report", () => {
  it("opens with what is true, chapter by chapter, and names the sitting as it is called", async () => {
    const { page } = await written(ground);
    expect(page).toContain("<h1>The tide mill &lt;loft&gt;</h1>");
    const places = Object.values(ground.verdicts).map((verdict) => page.indexOf(verdict));
    expect(places.every((at) => at > 0)).toBe(true);
    expect(places).toEqual(places.toSorted((p, q) => p - q));
    expect(page).not.toMatch(/undefined|NaN|\[object/);
  });

  it("carries its pictures beside it: every one that it shows was copied, and none that it does not", async () => {
    const { page, copied } = await written(ground);
    const shown = [...page.matchAll(/<img src="([^"]+)"/g)].map(([, path]) => path);
    expect(new Set(shown)).toEqual(new Set(copied.values()));
    expect(copied.has("measured/story/001-b.jpg")).toBe(false);
    expect(copied.size).toBe(6);
    // Nothing in it asks the network.
    expect(page).not.toMatch(/https?:\/\/(?!www\.w3\.org)/);
  });

  it("shows the cut on its first sheet, before what is true chapter by chapter", async () => {
    const { page } = await written(ground, "first-cut.jpg");
    const at = page.indexOf('<img src="first-cut.jpg" alt="The cut as it opens">');
    expect(at).toBeGreaterThan(page.indexOf("<h1>"));
    expect(at).toBeLessThan(page.indexOf('class="contents"'));
  });

  it("draws the comparison, the voice, the patches, the plane and the greys", async () => {
    const { page } = await written(ground);
    const titles = [...page.matchAll(/<title>([^<]*)<\/title>/g)].map(([, text]) => text!);
    expect(titles.find((t) => t.startsWith("B001.mov on A001.mov: 2 of the 3 stretches"))).toBeDefined();
    expect(titles.find((t) => t.startsWith("Loudness of lav"))).toBeDefined();
    expect(titles.find((t) => t.startsWith("As recorded: the patches differ by 5.0"))).toBeDefined();
    expect(titles.find((t) => t.startsWith("Colours of the 6 patches"))).toBeDefined();
    expect(titles.find((t) => t.startsWith("The 6 greys of the chart"))).toBeDefined();
  });

  it("begins with the plan, what each camera sees and the figures to set it by", async () => {
    const figures = roomFigures(loftPlan);
    const frames = ["A", "B"].map((camera) => ({
      camera,
      path: `measured/room/${camera}.png`,
      isRendered: true,
    }));
    const drawings = { plan: "measured/room/plan.svg", frames };
    const { page, copied } = await written({
      ...ground,
      verdicts: { room: "Camera A frames a medium.", ...ground.verdicts },
      room: { cameras: figures.cameras, units: "metric", drawings },
    });
    expect([...copied.keys()].slice(0, 3)).toEqual([drawings.plan, frames[0]!.path, frames[1]!.path]);
    expect(page.indexOf('id="room"')).toBeLessThan(page.indexOf('id="clock"'));
    for (const path of [drawings.plan, frames[0]!.path])
      expect(page).toContain(`<img src="${copied.get(path)}"`);
    const a = figures.cameras[0]!;
    expect(page).toContain(`${a.focalMm} mm f/`);
    expect(page).not.toMatch(/undefined|NaN|\[object/);
  });

  it("is whole where little was measured", async () => {
    const { page, copied } = await written({
      ...ground,
      clock: null,
      watch: [],
      colour: null,
      shots: [],
      voice: { ...ground.voice, envelopes: [], segments: [], faults: [] },
    });
    expect(copied.size).toBe(0);
    expect(page.trimEnd().endsWith("</html>")).toBe(true);
    expect(page).not.toMatch(/undefined|NaN|Infinity|\[object/);
  });
});
