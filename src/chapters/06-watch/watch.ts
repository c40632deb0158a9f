import type { Chapter, MeasureContext, Missing, SittingView } from "#documents/chapter";
import type { WatchResult } from "#documents/chapter-results";
import type { SmallPicture } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import type { PictureSaid } from "#documents/said";
import { changeBetween, type Look, lookAt } from "./look-at.ts";
import { Judge, rangesFrom, type Seen, type WatchRange } from "./ranges-from.ts";
import { refined } from "./refine.ts";
import { withSaidPictures } from "./said-pictures.ts";
import { takeProofs } from "./take-proofs.ts";
import { findingsOf, verdictOf } from "./words.ts";

export interface WatchInputs {
  readonly recordings: readonly Recording[];
  /** What a person judged otherwise; not there where nobody did. */
  readonly said?: readonly PictureSaid[];
}

/** Raise it when the same recording would be seen otherwise. */
const seenVersion = 1;
const maxWidth = 480;
/** Key frames farther apart than this leave too much unseen: then one picture a second is decoded. */
const mostKeySpacingSeconds = 2.5;
/** Neighbouring ranges of one kind closer than this are one. */
const joinSeconds = 1;

/** What each camera did while nobody looked. */
export const watch: Chapter<"watch", WatchInputs> = {
  name: "watch",
  version: 2,
  question: "What did the cameras do unwatched?",
  after: [],
  inputs({ sitting, recordings }: SittingView): WatchInputs | Missing {
    const cameras = recordings.filter((r) => r.probe.picture !== null);
    if (cameras.length === 0) return { missing: "No recording with a picture yet. Copy the cards in Cards." };
    const said = (sitting.pictures ?? [])
      .filter(({ hash }) => cameras.some((camera) => camera.hash === hash))
      .map(({ hash, from, to, says }) => ({ hash, from, to, says }));
    return said.length > 0 ? { recordings: cameras, said } : { recordings: cameras };
  },
  async measure({ recordings, said = [] }, context) {
    const watched: WatchResult["recordings"] = [];
    for (const [i, recording] of recordings.entries()) {
      const progress = (done: number): void =>
        context.progress((i + done) / recordings.length, `watching ${recording.path}`);
      watched.push(await watchOne(recording, said, context, progress, i));
    }
    return { recordings: watched, findings: findingsOf(watched) };
  },
  verdict: verdictOf,
  findings: (result) => result.findings,
};

async function watchOne(
  recording: Recording,
  said: readonly PictureSaid[],
  context: MeasureContext,
  progress: (done: number) => void,
  index: number,
): Promise<WatchResult["recordings"][number]> {
  const { hash, probe, readableSeconds } = recording;
  const see = () => seeOne(recording, context, progress);
  // What a person says of a picture is no reason to look through all of it again.
  const { ranges, looks } = await (context.remember?.(
    "watched",
    [seenVersion, hash, probe.picture, readableSeconds ?? null],
    see,
  ) ?? see());
  const own = said.filter((one) => one.hash === hash);
  const judged = withSaidPictures(ranges, own);
  progress(0.9);
  const proofs = await takeProofs(recording, index, judged, context);
  progress(1);
  return {
    path: recording.path,
    hash,
    device: recording.device,
    ranges: proofs.ranges,
    ...(proofs.overruled.length > 0 ? { overruled: proofs.overruled } : {}),
    looks,
  };
}

/** All that was seen in one recording. */
interface SeenRecording {
  readonly ranges: readonly WatchRange[];
  readonly looks: WatchResult["recordings"][number]["looks"];
}

async function seeOne(
  recording: Recording,
  context: MeasureContext,
  progress: (done: number) => void,
): Promise<SeenRecording> {
  const { media, signal } = context;
  const picture = recording.probe.picture!;
  const claimed = picture.startSeconds + picture.durationSeconds;
  const end = Math.min(claimed, recording.readableSeconds ?? claimed);
  const seen = async (pictures: AsyncIterable<SmallPicture>): Promise<Seen[]> => {
    const list: Seen[] = [];
    let before: Look | null = null;
    for await (const small of pictures) {
      const look = lookAt(small);
      const { thumb: _, ...figures } = look;
      list.push({ ...figures, change: before && changeBetween(before, look) });
      before = look;
      progress(Math.min(0.8, (0.8 * look.at) / Math.max(1, end)));
      signal.throwIfAborted();
    }
    return list;
  };
  let looks = await seen(media.keyPictures(recording, { maxWidth }));
  if (end > 2 * mostKeySpacingSeconds && end / Math.max(1, looks.length) > mostKeySpacingSeconds) {
    looks = await seen(
      media.pictures(recording, { maxWidth, startSeconds: 0, endSeconds: end, perSecond: 1 }),
    );
  }
  const judge = new Judge(looks);
  const ranges: WatchRange[] = [];
  for (const range of rangesFrom(looks, end, judge)) {
    const closer = await refined(range, looks, judge, (startSeconds, endSeconds, perSecond) =>
      media.pictures(recording, { maxWidth, startSeconds, endSeconds, perSecond }),
    );
    if (closer) ranges.push(closer);
    signal.throwIfAborted();
  }
  if (claimed - end > 0.5) ranges.push(stopped(end, claimed));
  return {
    ranges: joinedByKind(ranges),
    looks: looks.map((look) => ({
      at: rounded(look.at),
      sharpness: look.brightest < 0.08 ? 0 : rounded(2 ** judge.judge(look).sharpness),
      lightness: rounded(look.lightness),
    })),
  };
}

const rounded = (value: number): number => Math.round(value * 1000) / 1000;

function stopped(start: number, end: number): WatchRange {
  const evidence = `The file promises ${end.toFixed(1)} s and can be read for ${start.toFixed(1)} s.`;
  return { start, end, kind: "stopped", severity: 1, evidence, worstAt: start };
}

function joinedByKind(ranges: readonly WatchRange[]): WatchRange[] {
  const out: WatchRange[] = [];
  for (const range of [...ranges].sort((a, b) => a.start - b.start)) {
    const i = out.findLastIndex((r) => r.kind === range.kind);
    const last = out[i];
    if (!last || range.start - last.end > joinSeconds) {
      out.push(range);
      continue;
    }
    const worse = range.severity > last.severity ? range : last;
    out[i] = { ...worse, start: last.start, end: Math.max(last.end, range.end) };
  }
  return out;
}

export { lookAt, rangesFrom };
