import type { MeasureContext } from "#documents/chapter";
import type { ClockResult } from "#documents/chapter-results";
import type { Recording } from "#documents/recording";
import { chainLinks } from "./chains.ts";
import type { ClapHeard } from "./clap-shape.ts";
import { type Clap, type ClapCheck, checkByClaps, type PlacedClaps, sharedClaps } from "./claps.ts";
import { speedOfSound } from "./constants.ts";
import { type PlacementNote, placeOtherwise } from "./fallback.ts";
import { localTime } from "./line.ts";
import type { Listened } from "./listened.ts";
import { type MicrophoneDistance, pictureOffset } from "./picture.ts";
import { type PictureBySlate, pictureBySlate } from "./picture-by-slate.ts";
import { timeOfDay } from "./time-of-day.ts";
import type { TimecodeHeard } from "./timecode-heard.ts";

type Row = ClockResult["recordings"][number];

/** What the work beside the sound's placement starts from; one entry a recording. */
export interface SoundPlacement {
  readonly recordings: readonly Recording[];
  readonly master: number;
  readonly rows: readonly Row[];
  readonly heard: readonly (Listened | null)[];
  readonly distances: readonly MicrophoneDistance[];
  readonly timecodes: readonly (TimecodeHeard | null)[];
  readonly clapsHeard: readonly (readonly ClapHeard[])[];
}

/** All that was placed, and what is to be told of how. */
export interface WholePlacement {
  readonly rows: Row[];
  readonly notes: readonly PlacementNote[];
  readonly claps: ClockResult["claps"];
  /** The same claps without frames, and the recordings that have their place and can be heard, the master first. */
  readonly heardClaps: readonly Clap[];
  readonly placed: readonly PlacedClaps[];
  readonly checks: readonly ClapCheck[];
  readonly seen: ReadonlyMap<string, PictureBySlate>;
}

/** Claps, chains, labels and dates; then the picture's place, by a slate where one was seen. */
export async function placeBesideSound(
  { recordings, master, rows, heard, distances, timecodes, clapsHeard }: SoundPlacement,
  context: MeasureContext,
): Promise<WholePlacement> {
  const times = recordings.map((recording, i) => timecodes[i]?.time ?? timeOfDay(recording));
  const links = chainLinks(recordings, times);
  const way = (i: number) => (distances[i]!.metres - distances[master]!.metres) / speedOfSound;
  const { rows: all, notes } = placeOtherwise(rows, {
    recordings,
    heard,
    master,
    times,
    links,
    claps: clapsHeard,
  });
  const placed = all
    .flatMap((row, i): (PlacedClaps & { index: number })[] =>
      row.offset === null || !heard[i] || row.placedBy === "deviceClock"
        ? []
        : [
            {
              index: i,
              hash: row.hash,
              listened: heard[i],
              line: { offset: row.offset, ratePpm: row.ratePpm! },
              claps: clapsHeard[i]!,
            },
          ],
    )
    .sort((a, b) => Number(b.index === master) - Number(a.index === master));
  const claps = sharedClaps(placed);
  const checks = checkByClaps(
    claps,
    placed.filter(({ index }) => all[index]!.placedBy === "sound"),
  );
  const seen = new Map<string, PictureBySlate>();
  const whole: Row[] = [];
  for (const [i, row] of all.entries()) {
    const recording = recordings[i]!;
    const timecode = timecodes[i];
    const chained = notes.some((n) => n.index === i && n.kind === "chained");
    const link = chained ? links.find((l) => l.after === i) : undefined;
    const more: Pick<Row, "goesOnFrom" | "timecode"> = {
      ...(link && {
        goesOnFrom: { hash: all[link.before]!.hash, gapSeconds: Number(link.gapSeconds.toFixed(6)) },
      }),
      ...(timecode && {
        timecode: {
          channel: timecode.channel,
          startSeconds: timecode.time.seconds,
          frameRate: { num: timecode.rate.num, den: timecode.rate.den },
          dropFrame: timecode.dropFrame,
          ppm: timecode.ppm,
        },
      }),
    };
    if (row.offset === null || !recording.probe.picture) {
      whole.push({ ...row, ...more });
      continue;
    }
    const isByLabel = row.placedBy === "timecode" || row.placedBy === "deviceClock";
    const { metres, by } = distances[i]!;
    const slate = isByLabel ? null : await pictureBySlate(recording, claps, metres, context.media);
    if (slate) seen.set(row.hash, slate);
    const byDistance = isByLabel
      ? row.offset
      : pictureOffset(recording, metres, distances[master]!.metres, row.offset)!;
    whole.push({
      ...row,
      ...more,
      pictureOffset: slate?.moves ? row.offset + way(i) - slate.late : byDistance,
      picture: {
        by: isByLabel ? "label" : slate?.moves ? "slate" : by,
        metres: isByLabel ? null : metres,
        ...(slate && {
          slate: {
            heardAt: Number(slate.heardAt.toFixed(5)),
            seenAt: Number(slate.seenAt.toFixed(5)),
            late: Number(slate.late.toFixed(5)),
            frameSeconds: Number(slate.frameSeconds.toFixed(5)),
          },
        }),
      },
    });
  }
  return { rows: whole, notes, claps: claps.map(withFrames), heardClaps: claps, placed, checks, seen };

  /** The frame that is on screen in each recording as the clap happens. */
  function withFrames({ at, heardBy }: Clap): ClockResult["claps"][number] {
    return {
      at,
      heardBy: heardBy.map(({ hash, localTime: heardAt }) => {
        const i = whole.findIndex((row) => row.hash === hash);
        const { picture } = recordings[i]!.probe;
        const { pictureOffset: offset, ratePpm } = whole[i]!;
        if (!picture || offset === null || picture.isVariableRate) return { hash, localTime: heardAt };
        const seenAt = localTime(
          { offset, ratePpm: ratePpm! },
          at - distances[master]!.metres / speedOfSound,
        );
        const frame = Math.floor(
          (seenAt - picture.startSeconds) * (picture.frameRate.num / picture.frameRate.den),
        );
        return { hash, localTime: heardAt, ...(frame >= 0 && { frame }) };
      }),
    };
  }
}
