import type { Rate } from "#science/timecode/timecode-rate";

/*
 * OpenTimelineIO's serialised schemas that a cut needs, as of releases 0.15 to 0.18: Clip.2 and Marker.2.
 * Source: OpenTimelineIO, docs/tutorials/otio-serialized-schema-only-fields.md and the baselines of its tests.
 */

export interface OtioTime {
  readonly OTIO_SCHEMA: "RationalTime.1";
  /** Frames a second: the exact fraction as a double. */
  readonly rate: number;
  /** Count of frames; need not be whole. */
  readonly value: number;
}
export interface OtioRange {
  readonly OTIO_SCHEMA: "TimeRange.1";
  readonly start_time: OtioTime;
  readonly duration: OtioTime;
}
export type OtioMetadata = Readonly<Record<string, unknown>>;
/** The colours that Marker.2 names. */
export const otioColours = [
  "PINK",
  "RED",
  "ORANGE",
  "YELLOW",
  "GREEN",
  "CYAN",
  "BLUE",
  "MAGENTA",
  "PURPLE",
  "BLACK",
  "WHITE",
] as const;
export type OtioColour = (typeof otioColours)[number];
export interface OtioMarker {
  readonly OTIO_SCHEMA: "Marker.2";
  readonly metadata: OtioMetadata;
  readonly name: string;
  readonly color: OtioColour;
  readonly comment: string;
  readonly marked_range: OtioRange;
}
export interface OtioEffect {
  readonly OTIO_SCHEMA: string;
  readonly metadata: OtioMetadata;
  readonly name: string | null;
  readonly effect_name: string | null;
}
export interface OtioReference {
  readonly OTIO_SCHEMA:
    | "ExternalReference.1"
    | "MissingReference.1"
    | "GeneratorReference.1"
    | "ImageSequenceReference.1";
  readonly metadata: OtioMetadata;
  readonly name: string | null;
  readonly available_range: OtioRange | null;
  readonly target_url?: string | undefined;
}
interface Item {
  readonly metadata: OtioMetadata;
  readonly name: string;
  readonly source_range: OtioRange | null;
  readonly effects: readonly OtioEffect[];
  readonly markers: readonly OtioMarker[];
  readonly enabled: boolean;
}
export interface OtioClip extends Item {
  readonly OTIO_SCHEMA: "Clip.2";
  readonly media_references: Readonly<Record<string, OtioReference>>;
  readonly active_media_reference_key: string;
}
export interface OtioGap extends Item {
  readonly OTIO_SCHEMA: "Gap.1";
}
export interface OtioTransition {
  readonly OTIO_SCHEMA: "Transition.1";
  readonly metadata: OtioMetadata;
  readonly name: string;
  readonly transition_type: string;
  readonly in_offset: OtioTime;
  readonly out_offset: OtioTime;
}
export interface OtioTrack extends Item {
  readonly OTIO_SCHEMA: "Track.1";
  readonly kind: "Video" | "Audio";
  readonly children: readonly OtioChild[];
}
export interface OtioStack extends Item {
  readonly OTIO_SCHEMA: "Stack.1";
  readonly children: readonly OtioChild[];
}
export type OtioChild = OtioClip | OtioGap | OtioTransition | OtioTrack | OtioStack;
export interface OtioTimeline {
  readonly OTIO_SCHEMA: "Timeline.1";
  readonly metadata: OtioMetadata;
  readonly name: string;
  readonly global_start_time: OtioTime | null;
  readonly tracks: OtioStack;
}

/** A count of frames at an exact rate. */
export function otioTime(value: number, rate: Rate): OtioTime {
  return { OTIO_SCHEMA: "RationalTime.1", rate: rate.num / rate.den, value };
}

/** [start, start + duration), both in frames at one rate. */
export function otioRange(start: number, duration: number, rate: Rate): OtioRange {
  return {
    OTIO_SCHEMA: "TimeRange.1",
    duration: otioTime(duration, rate),
    start_time: otioTime(start, rate),
  };
}

/** A marker over a range of the item that holds it. */
export function otioMarker(
  name: string,
  color: OtioColour,
  range: OtioRange,
  more: { comment?: string; metadata?: OtioMetadata } = {},
): OtioMarker {
  return {
    OTIO_SCHEMA: "Marker.2",
    metadata: more.metadata ?? {},
    name,
    color,
    comment: more.comment ?? "",
    marked_range: range,
  };
}

interface ItemWish {
  readonly metadata?: OtioMetadata;
  readonly markers?: readonly OtioMarker[];
  readonly enabled?: boolean;
}
const item = (name: string, range: OtioRange | null, wish: ItemWish): Item => ({
  metadata: wish.metadata ?? {},
  name,
  source_range: range,
  effects: [],
  markers: wish.markers ?? [],
  enabled: wish.enabled ?? true,
});

/** A clip of one file: `range` and `available` count frames from the file's own start label. */
export function otioClip(
  name: string,
  range: OtioRange,
  media: { name: string; url: string; available: OtioRange; metadata?: OtioMetadata },
  wish: ItemWish = {},
): OtioClip {
  return {
    OTIO_SCHEMA: "Clip.2",
    ...item(name, range, wish),
    media_references: {
      DEFAULT_MEDIA: {
        OTIO_SCHEMA: "ExternalReference.1",
        metadata: media.metadata ?? {},
        name: media.name,
        available_range: media.available,
        target_url: media.url,
      },
    },
    active_media_reference_key: "DEFAULT_MEDIA",
  };
}

/** Nothing, for a while. */
export function otioGap(duration: number, rate: Rate): OtioGap {
  return { OTIO_SCHEMA: "Gap.1", ...item("", otioRange(0, duration, rate), {}) };
}

/** A track of items, one after another. */
export function otioTrack(
  name: string,
  kind: "Video" | "Audio",
  children: readonly OtioChild[],
  wish: ItemWish = {},
): OtioTrack {
  return { OTIO_SCHEMA: "Track.1", ...item(name, null, wish), kind, children };
}

/** A timeline of tracks, the bottom one first. */
export function otioTimeline(
  name: string,
  start: OtioTime,
  tracks: readonly OtioTrack[],
  wish: { metadata?: OtioMetadata; markers?: readonly OtioMarker[] } = {},
): OtioTimeline {
  return {
    OTIO_SCHEMA: "Timeline.1",
    metadata: wish.metadata ?? {},
    name,
    global_start_time: start,
    tracks: {
      OTIO_SCHEMA: "Stack.1",
      ...item("tracks", null, { markers: wish.markers ?? [] }),
      children: tracks,
    },
  };
}
