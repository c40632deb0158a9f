import { cpSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { Ajv2020 } from "ajv/dist/2020.js";
import { beforeAll, describe, expect, it } from "vitest";
import type { DemoTruth } from "#demo/demo-truth";
import type { ChapterName, ChapterResults } from "#documents/chapter-results";
import { measureLoudness } from "#outside/media/loudness";
import { probeRecording } from "#outside/media/probe";
import { finishedSitting, wholeDemo } from "../helpers/demo.ts";
import { worstError } from "../helpers/placement-error.ts";
import { filesBelow, ownFolder, runGemel } from "../helpers/run-gemel.ts";

/*
 * The main job on the demo sitting, against the demo's own truth. The truth is invented: these checks hold the whole
 * together; each chapter is checked against published values beside its own files.
 */

let sitting: string;
let truth: DemoTruth;
let results: ChapterResults;

const resultOf = async <Name extends ChapterName>(name: Name): Promise<ChapterResults[Name]> => {
  const [file, more] = (await filesBelow(sitting)).filter(
    (path) => path.startsWith(`measured/${name}/`) && path.endsWith("/result.json"),
  );
  expect(more).toBeUndefined();
  return JSON.parse(readFileSync(join(sitting, file!), "utf8")).result;
};

beforeAll(async () => {
  sitting = await finishedSitting();
  truth = JSON.parse(readFileSync(join(await wholeDemo(), "truth.json"), "utf8"));
  const names = ["clock", "watch", "voice", "colour", "story", "handover"] as const;
  results = Object.fromEntries(
    await Promise.all(names.map(async (name) => [name, await resultOf(name)])),
  ) as unknown as ChapterResults;
});

const overlap = (a: { start: number; end: number }, b: { start: number; end: number }): number =>
  Math.max(0, Math.min(a.end, b.end) - Math.max(a.start, b.start));

/** What of a stretch of sitting time is in the cut, seconds. */
const keptOf = (stretch: { start: number; end: number }): number =>
  results.story.events.reduce(
    (sum, event) => sum + overlap({ start: event.sittingStart, end: event.sittingEnd }, stretch),
    0,
  );

describe("every result", () => {
  it.each(["clock", "watch", "voice", "colour", "story", "handover"] as const)(
    "%s is what its published JSON Schema (draft 2020-12) says",
    (name) => {
      const schema = JSON.parse(
        readFileSync(new URL(`../../docs/schemas/${name}.json`, import.meta.url), "utf8"),
      );
      const validate = new Ajv2020({ strict: false }).compile(schema);
      expect(validate(results[name]), JSON.stringify(validate.errors)).toBe(true);
    },
  );

  it("is printed by --json as one document, with its verdict, and nothing else on standard output", async () => {
    const folder = ownFolder();
    cpSync(sitting, join(folder, "sitting"), { recursive: true, preserveTimestamps: true });
    const ran = await runGemel(["story", "sitting", "--json"], folder);
    expect(ran.code, ran.err).toBe(0);
    expect(JSON.parse(ran.out)).toMatchObject({
      events: results.story.events,
      verdict: expect.stringContaining("have become"),
    });
  });
});

describe("Clock", () => {
  it("places every recording within a millisecond at every moment", () => {
    for (const file of truth.files) {
      const placed = results.clock.recordings.find(({ path }) =>
        path.endsWith(file.path.split("/").at(-1)!),
      )!;
      expect(worstError(placed, file), file.path).toBeLessThan(0.001);
    }
  });
});

describe("Watch", () => {
  it("finds the stretch in which camera B lost focus, and calls nothing else soft", () => {
    const soft = results.watch.recordings.flatMap(({ path, ranges }) =>
      ranges.filter(({ kind }) => kind === "soft").map((range) => ({ path, ...range })),
    );
    expect(soft).toHaveLength(1);
    expect(soft[0]!.path.endsWith(truth.soft!.path.split("/").at(-1)!)).toBe(true);
    // Focus goes and comes back by degrees: half a second at either end is a matter of taste.
    expect(Math.abs(soft[0]!.start - truth.soft!.local.start)).toBeLessThan(1.5);
    expect(Math.abs(soft[0]!.end - truth.soft!.local.end)).toBeLessThan(1.5);
  });
});

describe("Voice", () => {
  it("tells the microphones apart, and by how much the boom lags the lav", () => {
    const roleOf = (file: string, channel: number) =>
      results.voice.roles.find((role) => role.path.endsWith(file) && role.channel === channel)?.role;
    expect([roleOf("A001.mov", 1), roleOf("A001.mov", 2), roleOf("B001.mp4", 1)]).toEqual([
      "lav",
      "boom",
      "scratch",
    ]);
    expect(results.voice.delay).toBeCloseTo(truth.boomDelay, 4);
    expect(results.voice.polarity).toBe(1);
  });

  it("uses the boom where cloth rubs on the lav", () => {
    const boom = results.voice.segments.filter(({ source }) => source === "boom");
    expect(boom.reduce((sum, segment) => sum + overlap(segment, truth.rustle), 0)).toBeGreaterThan(
      0.9 * (truth.rustle.end - truth.rustle.start),
    );
  });
});

describe("Colour", () => {
  it("finds the chart in both cameras, each corner within a tenth of a patch", () => {
    for (const shown of truth.charts) {
      const chart = results.colour.charts.find(({ camera }) => camera === shown.camera)!;
      expect(chart.at).toBeGreaterThanOrEqual(shown.shownLocal.start);
      expect(chart.at).toBeLessThanOrEqual(shown.shownLocal.end);
      const near = [...shown.corners].sort(
        (a, b) => Math.abs(a.atLocal - chart.at) - Math.abs(b.atLocal - chart.at),
      )[0]!;
      const width = Math.hypot(
        near.corners[1]![0] - near.corners[0]![0],
        near.corners[1]![1] - near.corners[0]![1],
      );
      near.corners.forEach(([x, y], i) => {
        const [foundX, foundY] = chart.corners[i]!;
        expect(Math.hypot(foundX - x, foundY - y), `${shown.camera} corner ${i}`).toBeLessThan(
          0.1 * (width / 6),
        );
      });
    }
  });

  it("makes B agree with A to a mean of 2 CIEDE2000 at most, also on patches left out of the fit", () => {
    const { before, after, leftOut } = results.colour.match!;
    expect(before.mean).toBeGreaterThan(3);
    expect(after.mean).toBeLessThanOrEqual(2);
    expect(leftOut.mean).toBeLessThanOrEqual(2);
  });
});

describe("Story", () => {
  it("drops the false start and the long pause, and keeps what the sitter says", () => {
    for (const stretch of truth.falseStarts) expect(keptOf(stretch)).toBeLessThan(0.15);
    for (const pause of truth.longPauses) expect(keptOf(pause)).toBeLessThan(1.2);
    for (const said of truth.speech.filter(
      ({ who, start }) => who === "sitter" && !truth.falseStarts.some((f) => Math.abs(f.start - start) < 0.3),
    ))
      expect(keptOf(said), said.text).toBeGreaterThan(0.95 * (said.end - said.start));
  });

  it("leaves the questions out", () => {
    for (const said of truth.speech.filter(({ who }) => who === "interviewer"))
      expect(keptOf(said), said.text).toBeLessThan(0.15);
  });

  it("changes the angle at every join, and shows nothing from the soft stretch", () => {
    const { events } = results.story;
    expect(events.length).toBeGreaterThan(3);
    events.slice(1).forEach((event, i) => {
      const before = events[i]!;
      expect(event.start).toBeCloseTo(before.end, 9);
      expect(event.camera, `join at ${event.start} s`).not.toBe(before.camera);
    });
    for (const event of events)
      if (event.path.endsWith(truth.soft!.path.split("/").at(-1)!))
        expect(overlap({ start: event.sourceStart, end: event.sourceEnd }, truth.soft!.local)).toBeLessThan(
          0.1,
        );
  });
});

describe("Handover", () => {
  it("delivers within half a loudness unit of the target, true peak under the ceiling, as FFmpeg's ebur128 reads it", async () => {
    const { integrated, truePeak } = await measureLoudness(join(sitting, results.handover.firstCut!.path));
    expect(Math.abs(integrated - -18)).toBeLessThan(0.5);
    expect(truePeak).toBeLessThanOrEqual(-0.9);
  });

  it("renders the cut that Story chose, frame for frame", async () => {
    const probe = await probeRecording(join(sitting, results.handover.firstCut!.path));
    const program = results.story.events.at(-1)!.end;
    expect(probe.picture).toMatchObject({
      width: truth.width,
      height: truth.height,
      frames: Math.round(program * 25),
    });
    expect(probe.sound!.durationSeconds).toBeGreaterThan(program - 0.05);
  });

  it("leaves files that open, every one as large as it says", () => {
    const kinds = results.handover.files.map(({ path }) => path.split(".").at(-1));
    for (const kind of ["otio", "edl", "cube", "wav", "mp4"]) expect(kinds).toContain(kind);
    for (const { path, bytes } of results.handover.files)
      expect(statSync(join(sitting, path)).size, path).toBe(bytes);
  });
});

it("leaves only what a sitting consists of", async () => {
  const files = await filesBelow(sitting);
  expect(files.filter((path) => !/^(sitting\.json|originals\/|measured\/|handover\/)/.test(path))).toEqual(
    [],
  );
  expect(files.filter((path) => /\.part$|\.work-|\.bad$/.test(path))).toEqual([]);
});
