import { ExplainedError } from "#errors/explained-error";
import { readSrt } from "../srt/read-srt.ts";
import { readWebVtt } from "../webvtt/read-webvtt.ts";
import type { ReadCaptions } from "./caption-line.ts";

/** More lines than anybody says in a day of talk. */
const mostLines = 50_000;

/**
 * The lines of a transcript, WebVTT or SRT, told apart by what is in it.
 *
 * @param text - As decoded by `decodeText`.
 * @param name - The file's name, for advice.
 * @throws ExplainedError `TRANSCRIPT_INVALID`: neither of the two, or no line in it can be read.
 */
export function readCaptions(text: string, name: string): ReadCaptions {
  const read = readWebVtt(text) ?? readSrt(text);
  if (!read) throw invalid(name, `${name} is neither WebVTT nor SRT: it has no line of times.`);
  if (read.lines.length === 0) throw invalid(name, `${name} holds no line of words that has a time.`);
  if (read.lines.length > mostLines)
    throw invalid(name, `${name} holds ${read.lines.length} lines, more than ${mostLines}.`);
  return read;
}

const invalid = (name: string, happened: string): ExplainedError =>
  new ExplainedError(
    "TRANSCRIPT_INVALID",
    {
      happened,
      means: "It was not taken over; nothing was changed.",
      doNext:
        "Export the transcript as WebVTT (.vtt) or SRT (.srt) from the program that made it, with times.",
    },
    { path: name },
  );
