import type { MediaReader } from "#documents/media-reader";
import type { Recording } from "#documents/recording";
import { LtcDecoder } from "#formats/ltc/ltc-decoder";
import { type LtcRun, LtcTally } from "#formats/ltc/ltc-tally";
import { framesPerDay } from "#science/timecode/timecode-label";
import type { Rate } from "#science/timecode/timecode-rate";
import type { TimeOfDay } from "./time-of-day.ts";

/** Linear timecode heard in a channel. */
export interface TimecodeHeard {
  readonly channel: number;
  readonly rate: Rate;
  readonly dropFrame: boolean;
  /** By its longest stretch. */
  readonly time: TimeOfDay;
  /** Local seconds at which the labels jump: another stretch begins. */
  readonly jumps: readonly { readonly at: number; readonly label: string }[];
  /** The timecode's source against the recording's own clock, parts in a million; above 0 it runs fast. */
  readonly ppm: number;
  /** Words read. */
  readonly words: number;
}

/**
 * Reads the timecode of a channel from end to end, at the channel's own rate.
 *
 * @returns null where no labels follow one another.
 */
export async function hearTimecode(
  recording: Recording,
  channel: number,
  media: MediaReader,
  signal: AbortSignal,
): Promise<TimecodeHeard | null> {
  const sampleRateHz = recording.probe.sound!.sampleRateHz;
  const tally = new LtcTally(sampleRateHz);
  const decoder = new LtcDecoder(sampleRateHz, (word) => tally.add(word));
  for await (const block of media.sound(recording, { sampleRateHz, channels: [channel] })) {
    signal.throwIfAborted();
    decoder.append(block.channels[0]!);
  }
  decoder.finish();
  const reading = tally.finish();
  if (!reading) return null;
  const { rate, dropFrame } = reading;
  // A device records what runs forwards; a stretch that runs backwards is no clock.
  const forward = reading.runs.filter((run) => run.samplesPerFrame > 0);
  if (forward.length === 0) return null;
  const longest = forward.reduce((most, run) => (run.words > most.words ? run : most));
  const perFrame = rate.den / rate.num;
  // Seconds of label in one second of the recording's own.
  const speed = (perFrame * sampleRateHz) / longest.samplesPerFrame;
  const labelAtStart = (run: LtcRun) => run.firstFrame * perFrame - (run.atFirst / sampleRateHz) * speed;
  const ordered = [...forward].sort((a, b) => a.from - b.from);
  return {
    channel,
    rate,
    dropFrame,
    words: reading.words,
    ppm: (speed - 1) * 1e6,
    time: {
      seconds: labelAtStart(longest),
      label: longest.label,
      grain: perFrame,
      daySeconds: framesPerDay(rate, dropFrame) * perFrame,
      speed,
      source: "heard",
      // The words' scatter about their line, and never better than a tenth of a sample.
      doubt: Math.max(0.1, longest.scatter / Math.sqrt(longest.words)) / sampleRateHz,
    },
    jumps: ordered.flatMap((run, i) =>
      i > 0 && Math.abs(labelAtStart(run) - labelAtStart(ordered[i - 1]!)) > perFrame
        ? [{ at: run.from / sampleRateHz, label: run.label }]
        : [],
    ),
  };
}
