import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { OtioTrack } from "./otio-document.ts";
import {
  otioClip,
  otioGap,
  otioMarker,
  otioRange,
  otioTime,
  otioTimeline,
  otioTrack,
} from "./otio-document.ts";
import { rangesInTrack, readOtio } from "./read-otio.ts";
import { writeOtio } from "./write-otio.ts";

const published = (name: string): string =>
  readFileSync(new URL(`../../../test/published/otio/${name}`, import.meta.url), "utf8");
const laid = (track: unknown): [number, number][] =>
  rangesInTrack(track as OtioTrack).map(({ start, duration }) => [start, duration]);

describe("timelines, against OpenTimelineIO's samples and the library's readings of them", () => {
  it.each([
    "simple_cut.otio",
    "transition.otio",
    "multiple_track.otio",
    "nested_example.otio",
    "minimal_two_camera_v0.18.otio",
  ])("reads %s, and what it writes reads back the same", (name) => {
    const timeline = readOtio(published(name));
    expect(readOtio(writeOtio(timeline))).toEqual(timeline);
  });

  // Read with libopentimelineio 0.17.0: 0+3, 3+6, 9+4, 13+6, 19 frames in all.
  it("lays the clips of simple_cut.otio where the library does", () => {
    const track = readOtio(published("simple_cut.otio")).tracks.children[0];
    expect(laid(track)).toEqual([
      [0, 3],
      [3, 6],
      [9, 4],
      [13, 6],
    ]);
  });

  // Read with libopentimelineio 0.17.0: duration 700 at 25; A 0+250, B 250+300, A 575+125, boom 0+700.
  it("lays the clips of the two-camera sample where the library does", () => {
    const [picture, boom] = readOtio(published("minimal_two_camera_v0.18.otio")).tracks.children;
    expect(laid(picture)).toEqual([
      [0, 250],
      [250, 300],
      [550, 25],
      [575, 125],
    ]);
    expect(laid(boom)).toEqual([[0, 700]]);
  });
});

const rate = { num: 24000, den: 1001 };
const small = otioTimeline("mill", otioTime(86_400, rate), [
  otioTrack("picture", "Video", [
    otioClip(
      "A001",
      otioRange(10, 48, rate),
      { name: "A001", url: "a.mov", available: otioRange(0, 100, rate) },
      {
        markers: [otioMarker("a pause", "YELLOW", otioRange(10, 0, rate))],
      },
    ),
    otioGap(24, rate),
  ]),
]);

/** Every key of every object, by its schema. */
function keysBySchema(value: unknown, found: Record<string, Set<string>> = {}): Record<string, Set<string>> {
  if (Array.isArray(value)) for (const part of value) keysBySchema(part, found);
  else if (typeof value === "object" && value !== null) {
    const schema = (value as { OTIO_SCHEMA?: string }).OTIO_SCHEMA;
    if (schema) found[schema] = new Set([...(found[schema] ?? []), ...Object.keys(value)]);
    for (const part of Object.values(value)) keysBySchema(part, found);
  }
  return found;
}

describe("what is written", () => {
  // baselines_v0.18.1: the fields of each schema as its own tests serialise them; `color` is of 0.18 and may be left out.
  it.each([
    ["Timeline.1", "empty_timeline.json"],
    ["Stack.1", "empty_stack.json"],
    ["Track.1", "empty_track.json"],
    ["Clip.2", "empty_clip.json"],
    ["Gap.1", "empty_gap.json"],
    ["Marker.2", "empty_marker.json"],
    ["ExternalReference.1", "empty_external_reference.json"],
    ["TimeRange.1", "empty_timerange.json"],
    ["RationalTime.1", "empty_rationaltime.json"],
  ])("has for %s the fields of the published baseline", (schema, file) => {
    const baseline = Object.keys(JSON.parse(published(`baselines_v0.18.1/${file}`)));
    const optional = new Set(["color", "available_image_bounds"]);
    const ours = keysBySchema(JSON.parse(writeOtio(small)))[schema]!;
    const isMarker = schema === "Marker.2";
    for (const key of baseline) if (isMarker || !optional.has(key)) expect(ours).toContain(key);
    for (const key of ours) expect(baseline).toContain(key);
  });

  it("writes rates and counts as doubles, exact fractions included", () => {
    const text = writeOtio(small);
    expect(text).toContain('"value": 86400.0');
    expect(text).toContain(`"rate": ${24000 / 1001}`);
    expect(text).not.toMatch(/"(rate|value)": \d+,?$/m);
  });

  it("refuses a number that JSON cannot hold", () => {
    expect(() => writeOtio(otioTimeline("x", otioTime(Number.NaN, rate), []))).toThrow(TypeError);
  });
});

describe("what is refused", () => {
  /** The small timeline with one value, at a path of keys, changed. */
  function broken(path: string, value: unknown): string {
    const timeline = JSON.parse(writeOtio(small)) as Record<string, unknown>;
    const keys = path.split(".");
    let at = timeline;
    for (const key of keys.slice(0, -1)) at = at[key] as Record<string, unknown>;
    at[keys.at(-1)!] = value;
    return JSON.stringify(timeline);
  }
  const clip = "tracks.children.0.children.0";
  it.each([
    ["a negative duration", `${clip}.source_range.duration.value`, -1],
    ["a rate of nothing", "global_start_time.rate", 0],
    ["an unknown kind of track", "tracks.children.0.kind", "Smell"],
    ["a clip whose reference is not there", `${clip}.active_media_reference_key`, "OTHER"],
    ["a colour that Marker.2 does not know", `${clip}.markers.0.color`, "MAUVE"],
    ["a timeline of another schema", "OTIO_SCHEMA", "Timeline.9"],
  ])("%s", (_, path, value) => {
    expect(() => readOtio(broken(path, value))).toThrow(
      expect.objectContaining({ code: "DOCUMENT_INVALID" }),
    );
  });
  it("text that is not JSON", () => {
    expect(() => readOtio("TITLE: x")).toThrow(expect.objectContaining({ code: "DOCUMENT_NOT_JSON" }));
  });
});
