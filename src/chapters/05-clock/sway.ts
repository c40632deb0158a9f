import { type ClockLine, localTime, referenceTime } from "./line.ts";
import type { MeasuredWindow } from "./second-look.ts";
import type { SharedStretch } from "./transfer.ts";

/** A head's sway is evened out over this, seconds. */
const swaySeconds = 1.2;
/** What lies further off the line than a head sways is another peak, seconds. */
export const mostSwaySeconds = 0.0003;
/** Stretches that the way between two microphones is taken from, at most: two to four minutes of speech. */
const mostStretches = 128;

/**
 * The stretches in which the talker nearest to the near microphone is heard, evenly spread, with the sway of the
 * head in the map between both times: without it the higher half of the voice would average out.
 *
 * @param windows - As measured about the peak that was followed.
 * @param line - Of that peak.
 * @param nearness - 1 where the reference is the near one, -1 where the other is.
 */
export function stretchesAlong(
  windows: readonly MeasuredWindow[],
  line: ClockLine,
  nearness: 1 | -1,
): SharedStretch[] {
  const heardWell = windows.filter((w) => w.used && w.loud >= 0.5);
  const step = Math.max(1, Math.ceil(heardWell.length / mostStretches));
  const sway = swayOf(heardWell, line);
  const toReference = (at: number) => referenceTime(line, at) + sway(at);
  const toOther = (at: number) => localTime(line, at - sway(localTime(line, at)));
  return heardWell
    .filter((_, i) => i % step === 0)
    .map(({ at }) => (nearness > 0 ? { at: toReference(at), farAt: toOther } : { at, farAt: toReference }));
}

/**
 * How far the windows lie off a line, evened out.
 *
 * @returns seconds by which the reference is later than the line, at a local moment of the other.
 */
function swayOf(windows: readonly MeasuredWindow[], line: ClockLine): (at: number) => number {
  const off = windows.map((w) => w.referenceAt - referenceTime(line, w.at));
  return (at) => {
    let sum = 0;
    let all = 0;
    windows.forEach((w, i) => {
      if (Math.abs(w.at - at) > 4 * swaySeconds || Math.abs(off[i]!) > mostSwaySeconds) return;
      const share = w.weight * Math.exp(-0.5 * ((w.at - at) / swaySeconds) ** 2);
      sum += share * off[i]!;
      all += share;
    });
    return all > 0 ? sum / all : 0;
  };
}
