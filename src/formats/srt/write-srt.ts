import type { Cue } from "../webvtt/write-webvtt.ts";
import { webVttTime } from "../webvtt/write-webvtt.ts";

/**
 * An SRT file of cues, as programs read it (common practice: there is no standard): numbered from 1, a comma before the
 * thousandths, CRLF.
 *
 * @param cues - In order of start; their ids are not written.
 */
export function writeSrt(cues: readonly Cue[]): string {
  return cues
    .map(({ start, end, text }, i) => {
      const at = (seconds: number): string => webVttTime(seconds).replace(".", ",");
      const words = text.replace(/\s*(?:\r\n|\r|\n)\s*/gu, "\r\n").trim();
      return `${i + 1}\r\n${at(start)} --> ${at(end)}\r\n${words}\r\n`;
    })
    .join("\r\n");
}
