import {
  AV_OPT_SEARCH_CHILDREN,
  AV_OPT_TYPE_DOUBLE,
  AVERROR_EOF,
  AVERROR_INVALIDDATA,
} from "node-av/constants";
import { Frame } from "node-av/lib";
import { sourceChain } from "./filter-graph.ts";
import { must } from "./library.ts";
import { explainMissing, explainOpening, explainReading } from "./media-errors.ts";
import { openMedia } from "./opened-media.ts";
import { TimeLimit } from "./time-limit.ts";

/** Programme loudness, loudest true peak and loudness range of one whole file. */
export interface Loudness {
  /** LUFS; -70, the absolute gate, where nothing is louder. */
  readonly integrated: number;
  /** dBTP. */
  readonly truePeak: number;
  /** LU. */
  readonly range: number;
}

/** What is reported where a peak is no sound at all. dBTP. */
const silentPeak = -120;
const mostBadPackets = 10_000;

/**
 * Measures a file by FFmpeg's `ebur128`: ITU-R BS.1770 loudness with EBU Tech 3341 gating, true peak at 192 kHz,
 * EBU Tech 3342 range. A mono file is one channel, not two.
 *
 * @throws ExplainedError as {@link openMedia}, and `MEDIA_NO_SOUND`.
 */
export async function measureLoudness(path: string): Promise<Loudness> {
  const media = await openMedia(path);
  const streamIndex = media.sound[0]?.index;
  const seconds = Number(media.container.duration) / 1e6;
  const { bytes } = media;
  await media.close();
  if (streamIndex === undefined) throw explainMissing(path, "sound");
  const limit = new TimeLimit(path, { bytes, seconds: Math.max(0, seconds) });
  const { graph, sink, steps } = await sourceChain(
    [
      ["amovie", { filename: `file:${path}`, stream_index: streamIndex }],
      ["ebur128", { peak: "true", framelog: "quiet" }],
    ],
    "abuffersink",
  ).catch(async (cause: unknown) => {
    throw await explainOpening(path, cause);
  });
  const frame = new Frame();
  try {
    for (let bad = 0; ; ) {
      frame.alloc();
      const code = await limit.guard(sink.buffersinkGetFrame(frame));
      if (code === AVERROR_EOF) break;
      if (code === AVERROR_INVALIDDATA && ++bad <= mostBadPackets) continue;
      must(code, "measure loudness");
      frame.unref();
    }
    const meter = steps[1]!;
    const figure = (name: string): number =>
      Number(meter.getOption(name, AV_OPT_TYPE_DOUBLE, AV_OPT_SEARCH_CHILDREN) ?? Number.NaN);
    const truePeak = figure("true_peak");
    return {
      integrated: figure("integrated"),
      truePeak: Number.isFinite(truePeak) ? Math.max(truePeak, silentPeak) : silentPeak,
      range: figure("range"),
    };
  } catch (cause) {
    throw explainReading(path, cause);
  } finally {
    if (!limit.isStuck) {
      frame.free();
      graph.free();
    }
  }
}
