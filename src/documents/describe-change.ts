import { momentFigure } from "#science/units/time-figures";
import type { Change } from "./said.ts";

/** A change in a few words, as a person would name it beside "undo": "camera B from 1:02 to 1:10". */
export function describeChange(change: Change): string {
  switch (change.kind) {
    case "angle":
      return `${change.camera === null ? "Story's own angle" : `camera ${change.camera}`} ${range(change)}`;
    case "keep":
      return `giving back ${range(change)}`;
    case "fold":
      return `folding away ${range(change)}`;
    case "unsay":
      return `leaving ${range(change)} to Story`;
    case "chart":
      return change.corners === null ? "finding the chart anew" : "the chart's corners";
    case "source":
      return `${change.source === null ? "leaving the voice to Voice" : change.source === "both" ? "the voice from lav and boom" : `the voice from the ${change.source}`} ${range(change)}`;
    case "picture":
      return `${change.says === null ? "leaving the picture to Watch" : change.says === "fine" ? "the picture as fine" : "avoiding the picture"} ${range(change)}`;
    case "microphoneDistance":
      return `${change.metres === null ? "the usual distance" : `${change.metres} m`} for the microphone of ${/^[A-Z]$/.test(change.device) ? `camera ${change.device}` : "the recorder"}`;
    case "plan":
      return change.plan === null ? "taking the plan out" : change.what;
    case "roomPictures":
      return change.pictures.length === 0
        ? "taking the cameras' pictures out of the report"
        : "the cameras' pictures in the report";
    case "mark":
      return `${change.words === null ? "taking out the mark" : "a mark"} at ${momentFigure(change.at)}`;
    case "transcript":
      return change.as === null ? "taking out a transcript" : `the transcript ${change.as.name}`;
    case "title":
      return `the title "${change.title}"`;
    case "keepQuestions":
      return change.keepQuestions ? "keeping the questions" : "leaving out the questions";
    case "longestPause":
      return `pauses of at most ${change.longestPause} s`;
    case "loudness":
      return `a loudness of ${String(change.loudnessTarget).replace("-", "−")} LUFS`;
  }
}

const range = ({ from, to }: { from: number; to: number }): string =>
  `from ${momentFigure(from)} to ${momentFigure(to)}`;
