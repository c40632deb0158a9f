import { ExplainedError } from "#errors/explained-error";
import { type Rate, timecodeCount } from "./timecode-rate.ts";

/**
 * The frame that a label names, counted from 00:00:00:00.
 *
 * @param label - `hh:mm:ss:ff`; `;`, `.` or `,` before the frames is read too. Hours 00 to 23.
 * @param rate - Exact rate, 30000/1001 and not 29.97.
 * @param dropFrame - Whether the recorder skipped labels; the separator does not decide.
 * @returns 0 up to the frames of a day less one.
 * @throws ExplainedError `TIMECODE_NOT_A_FRAME`: no frame has this label; `facts.nearest` is one that exists.
 * @throws ExplainedError `TIMECODE_RATE_UNSUPPORTED`: see {@link timecodeCount}.
 *
 * Source: SMPTE ST 12-1 (2014), drop-frame compensated counting. [ST12-1]
 *
 * @example
 * 00:01:00;02 is frame 1800 at 29.97 drop-frame.
 */
export function frameFromTimecode(label: string, rate: Rate, dropFrame: boolean): number {
  const { labelsPerSecond, droppedPerMinute } = timecodeCount(rate, dropFrame);
  const fields = /^(\d{2}):(\d{2}):(\d{2})[:;.,](\d{2})$/.exec(label.trim());
  if (!fields)
    throw notAFrame(
      label,
      `"${label}" is not written as a timecode.`,
      "A label is four pairs of digits: hours, minutes, seconds, frames.",
      "00:00:00:00",
    );
  const [hours, minutes, seconds, frames] = fields.slice(1).map(Number) as [number, number, number, number];
  const most = [23, 59, 59, labelsPerSecond - 1];
  if ([hours, minutes, seconds, frames].some((field, i) => field > most[i]!)) {
    const nearest = written(
      [hours, minutes, seconds, frames].map((field, i) => Math.min(field, most[i]!)),
      dropFrame,
    );
    throw notAFrame(
      label,
      `${label} does not exist at ${labelsPerSecond} frames a second.`,
      `The fields go to ${most.join(", ")}.`,
      nearest,
    );
  }
  const minutesInAll = 60 * hours + minutes;
  const number = (60 * minutesInAll + seconds) * labelsPerSecond + frames;
  if (!dropFrame) return number;
  if (seconds === 0 && minutes % 10 !== 0 && frames < droppedPerMinute) {
    const skipped = droppedPerMinute === 2 ? ";00 and ;01" : ";00 to ;03";
    throw notAFrame(
      label,
      `${label} does not exist in drop-frame counting.`,
      `Drop-frame skips ${skipped} at each minute except every tenth, so no picture has this number.`,
      written([hours, minutes, seconds, droppedPerMinute], dropFrame),
    );
  }
  return number - droppedPerMinute * (minutesInAll - Math.floor(minutesInAll / 10));
}

/**
 * The label of a frame counted from 00:00:00:00.
 *
 * @param frame - A whole number; it wraps at 24 hours, also below 0.
 * @returns `hh:mm:ss:ff`, or `hh:mm:ss;ff` in drop-frame counting.
 * @throws ExplainedError `TIMECODE_RATE_UNSUPPORTED`: see {@link timecodeCount}.
 *
 * Source: SMPTE ST 12-1 (2014). [ST12-1]
 */
export function timecodeFromFrame(frame: number, rate: Rate, dropFrame: boolean): string {
  if (!Number.isInteger(frame)) throw new TypeError(`frame ${frame} is not a whole number`);
  const { labelsPerSecond, droppedPerMinute } = timecodeCount(rate, dropFrame);
  const dropped = dropFrame ? droppedPerMinute : 0;
  const perTenMinutes = 600 * labelsPerSecond - 9 * dropped;
  const perDay = 144 * perTenMinutes;
  const n = ((frame % perDay) + perDay) % perDay;
  const tens = Math.floor(n / perTenMinutes);
  const rest = n % perTenMinutes;
  // The first minute of ten keeps all its labels; each of the nine others is shorter by the dropped ones.
  const perShortMinute = 60 * labelsPerSecond - dropped;
  const shortMinutes = Math.max(0, Math.floor((rest - dropped) / perShortMinute));
  const number = n + 9 * dropped * tens + dropped * shortMinutes;
  const seconds = Math.floor(number / labelsPerSecond);
  return written(
    [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60, seconds % 60, number % labelsPerSecond],
    dropFrame,
  );
}

/** Frames in 24 hours of labels: 2 589 408 at 29.97 drop-frame. */
export function framesPerDay(rate: Rate, dropFrame: boolean): number {
  const { labelsPerSecond, droppedPerMinute } = timecodeCount(rate, dropFrame);
  return 86_400 * labelsPerSecond - (dropFrame ? droppedPerMinute * 54 * 24 : 0);
}

function written(fields: readonly number[], dropFrame: boolean): string {
  const [hours, minutes, seconds, frames] = fields.map((field) => String(field).padStart(2, "0"));
  return `${hours}:${minutes}:${seconds}${dropFrame ? ";" : ":"}${frames}`;
}

function notAFrame(label: string, happened: string, means: string, nearest: string): ExplainedError {
  const doNext = `The nearest that does is ${nearest}. Check how the recorder counted.`;
  return new ExplainedError("TIMECODE_NOT_A_FRAME", { happened, means, doNext }, { label, nearest });
}
