import { z } from "zod";
import { ExplainedError } from "#errors/explained-error";
import {
  type OtioChild,
  type OtioMarker,
  type OtioReference,
  type OtioTimeline,
  type OtioTrack,
  otioColours,
} from "./otio-document.ts";

const metadata = z.record(z.string(), z.unknown());
const time = z.looseObject({
  OTIO_SCHEMA: z.literal("RationalTime.1"),
  rate: z.number().positive(),
  value: z.number(),
});
const range = z.looseObject({
  OTIO_SCHEMA: z.literal("TimeRange.1"),
  start_time: time,
  duration: time.refine(({ value }) => value >= 0, "a duration may not be negative"),
});
const marker = z.looseObject({
  OTIO_SCHEMA: z.literal("Marker.2"),
  metadata,
  name: z.string(),
  color: z.enum(otioColours),
  comment: z.string().default(""),
  marked_range: range,
}) as unknown as z.ZodType<OtioMarker>;
const effect = z.looseObject({
  OTIO_SCHEMA: z.enum(["Effect.1", "TimeEffect.1", "LinearTimeWarp.1", "FreezeFrame.1"]),
  metadata,
  name: z.string().nullable(),
  effect_name: z.string().nullable(),
});
const reference = z.looseObject({
  OTIO_SCHEMA: z.enum([
    "ExternalReference.1",
    "MissingReference.1",
    "GeneratorReference.1",
    "ImageSequenceReference.1",
  ]),
  metadata,
  name: z.string().nullable().default(""),
  available_range: range.nullable(),
  target_url: z.string().optional(),
}) as unknown as z.ZodType<OtioReference>;
const item = {
  metadata,
  name: z.string(),
  source_range: range.nullable(),
  effects: z.array(effect),
  markers: z.array(marker),
  enabled: z.boolean().default(true),
};
const clip = z
  .looseObject({
    OTIO_SCHEMA: z.literal("Clip.2"),
    ...item,
    media_references: z.record(z.string(), reference),
    active_media_reference_key: z.string(),
  })
  .refine((c) => c.active_media_reference_key in c.media_references, {
    message: "names a media reference that is not there",
    path: ["active_media_reference_key"],
  });
const gap = z.looseObject({ OTIO_SCHEMA: z.literal("Gap.1"), ...item });
const transition = z.looseObject({
  OTIO_SCHEMA: z.literal("Transition.1"),
  metadata,
  name: z.string(),
  transition_type: z.string(),
  in_offset: time,
  out_offset: time,
});
const isTransition = (c: OtioChild): boolean => c.OTIO_SCHEMA === "Transition.1";
const child: z.ZodType<OtioChild> = z.lazy(
  () => z.discriminatedUnion("OTIO_SCHEMA", [clip, gap, transition, track, stack] as never) as never,
);
const track = z.looseObject({
  OTIO_SCHEMA: z.literal("Track.1"),
  ...item,
  kind: z.enum(["Video", "Audio"]),
  children: z
    .array(child)
    .refine(
      (children) => !children.some((c, i) => i > 0 && isTransition(c) && isTransition(children[i - 1]!)),
      "two transitions may not be adjacent",
    ),
});
const stack = z.looseObject({ OTIO_SCHEMA: z.literal("Stack.1"), ...item, children: z.array(child) });
const timeline = z.looseObject({
  OTIO_SCHEMA: z.literal("Timeline.1"),
  metadata,
  name: z.string(),
  global_start_time: time.nullable().default(null),
  tracks: stack,
});

/**
 * Reads an `.otio` timeline and checks it against the published schemas.
 *
 * Clip.1 and Marker.1 are brought up to Clip.2 and Marker.2 as the library does: `media_reference` becomes the
 * default of `media_references`, `range` becomes `marked_range`. Unknown keys survive.
 *
 * @throws ExplainedError `DOCUMENT_NOT_JSON`, or `DOCUMENT_INVALID` with the place in `facts.path`.
 *
 * Source: OpenTimelineIO 0.18.1, otio-serialized-schema-only-fields and typeRegistry.cpp.
 */
export function readOtio(text: string): OtioTimeline {
  let raw: unknown;
  try {
    raw = JSON.parse(text, upgrade);
  } catch (cause) {
    throw new ExplainedError(
      "DOCUMENT_NOT_JSON",
      {
        happened: "The timeline is not JSON.",
        means: "An .otio file is JSON text, and this one breaks off or holds something else.",
        doNext: "Export it again from the program that made it.",
      },
      {},
      { cause },
    );
  }
  const read = timeline.safeParse(raw);
  if (read.success) return read.data as unknown as OtioTimeline;
  const issue = read.error.issues[0]!;
  const path = issue.path.join(".");
  throw new ExplainedError(
    "DOCUMENT_INVALID",
    {
      happened: `The timeline breaks its schema at ${path || "its root"}: ${issue.message}.`,
      means: "Other programs may refuse it or read it wrongly.",
      doNext: "Export it again, in the form of release 0.15 or newer.",
    },
    { path },
  );
}

function upgrade(this: unknown, _key: string, value: unknown): unknown {
  if (typeof value !== "object" || value === null || !("OTIO_SCHEMA" in value)) return value;
  const old = value as Record<string, unknown>;
  if (old.OTIO_SCHEMA === "Clip.1") {
    const { media_reference, ...rest } = old;
    const missing = { OTIO_SCHEMA: "MissingReference.1", metadata: {}, name: "", available_range: null };
    return {
      ...rest,
      OTIO_SCHEMA: "Clip.2",
      media_references: { DEFAULT_MEDIA: media_reference ?? missing },
      active_media_reference_key: "DEFAULT_MEDIA",
    };
  }
  if (old.OTIO_SCHEMA === "Marker.1") {
    const { range: marked, ...rest } = old;
    return { ...rest, OTIO_SCHEMA: "Marker.2", marked_range: marked };
  }
  return value;
}

/** Where each item of a track lies, in frames of `rate` (the first item's); transitions take no room of their own. */
export function rangesInTrack(of: OtioTrack): { name: string; start: number; duration: number }[] {
  const laid: { name: string; start: number; duration: number }[] = [];
  let at = 0;
  let rate = 0;
  for (const placed of of.children) {
    if (placed.OTIO_SCHEMA === "Transition.1") continue;
    const range =
      placed.source_range ??
      (placed.OTIO_SCHEMA === "Clip.2"
        ? (placed.media_references[placed.active_media_reference_key]?.available_range ?? null)
        : null);
    if (!range) continue;
    rate ||= range.duration.rate;
    const duration = (range.duration.value / range.duration.rate) * rate;
    laid.push({ name: placed.name, start: at, duration });
    at += duration;
  }
  return laid;
}
