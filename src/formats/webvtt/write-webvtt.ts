/** One cue; seconds of program time. */
export interface Cue {
  readonly id?: string;
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/**
 * A WebVTT file of cues: for captions, or for chapters.
 *
 * @param cues - In order of start.
 * @throws TypeError where a cue ends before it starts, or starts before the one before it.
 *
 * Source: W3C WebVTT, sections 4.1 to 4.3 (file structure, cues, timestamps). [WEBVTT]
 */
export function writeWebVtt(cues: readonly Cue[]): string {
  const blocks = cues.map(({ id, start, end, text }, i) => {
    if (!(end > start) || start < (cues[i - 1]?.start ?? 0))
      throw new TypeError(`cue ${i + 1} is out of order`);
    // A cue's text may hold no blank line, and "-->" is kept for times; escaping ">" does away with it.
    const payload = text
      .replaceAll("&", "&amp;")
      .replaceAll("<", "&lt;")
      .replaceAll(">", "&gt;")
      .replace(/\s*(\r\n|\r|\n)\s*/g, "\n")
      .trim();
    const name = id === undefined ? "" : `${id.replaceAll("-->", "→").replace(/[\r\n]/g, " ")}\n`;
    return `${name}${webVttTime(start)} --> ${webVttTime(end)}\n${payload}\n`;
  });
  return `WEBVTT\n\n${blocks.join("\n")}`;
}

/** `hh:mm:ss.ttt`, hours of two digits or more. */
export function webVttTime(seconds: number): string {
  const thousandths = Math.round(seconds * 1000);
  const two = (n: number): string => String(n).padStart(2, "0");
  const whole = Math.floor(thousandths / 1000);
  return `${two(Math.floor(whole / 3600))}:${two(Math.floor(whole / 60) % 60)}:${two(whole % 60)}.${String(thousandths % 1000).padStart(3, "0")}`;
}

/**
 * Seconds of a WebVTT timestamp; `null` where it is none.
 *
 * @example
 * 00:00.000 is a timestamp; 0:00.000, 00:60.000 and 00:00:00,000 are not.
 *
 * Source: W3C WebVTT, "collect a WebVTT timestamp". [WEBVTT]
 */
export function readWebVttTime(text: string): number | null {
  const fields = /^(?:(\d{2,}):)?([0-5]\d):([0-5]\d)\.(\d{3})$/.exec(text);
  if (!fields) return null;
  const [, hours = "0", minutes, seconds, thousandths] = fields;
  return Number(hours) * 3600 + Number(minutes) * 60 + Number(seconds) + Number(thousandths) / 1000;
}
