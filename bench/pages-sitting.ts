import type { StoryResult, WatchResult } from "#documents/chapter-results";
import type { SittingPage } from "#documents/page";
import { lcgNoise } from "#science/signal/lcg-noise";
import { cutGround, cutStory, withCut } from "#story/cut-story";

const hours = 2;
const whole = hours * 3600;

/** What each camera's picture must not be used for: eight seconds, twenty times. */
const soft = (camera: string): { start: number; end: number }[] =>
  Array.from({ length: 20 }, (_, i) => {
    const start = 120 + i * 350 + (camera === "A" ? 0 : 170);
    return { start, end: start + 8 };
  });

/** Phrases of a sitter and now and then a question, over the whole time; the same at each call. */
function speech(): StoryResult["speech"] {
  const noise = lcgNoise(20_000);
  let next = 0;
  const between = (least: number, most: number): number =>
    least + ((noise[next++ % noise.length]! + 1) / 2) * (most - least);
  const phrases: StoryResult["speech"] = [];
  for (let at = 8; at < whole - 12; ) {
    const who = phrases.length % 14 === 0 ? "interviewer" : "sitter";
    const end = at + between(1.2, 6);
    phrases.push({ start: at, end, who });
    at = end + (between(0, 1) > 0.85 ? between(1.5, 5) : between(0.15, 0.7));
  }
  return phrases;
}

/** A story of two hours with two cameras, measured and cut as the program would. */
export function longStory(still: string): StoryResult {
  const placement = { offset: 0, ratePpm: 0 };
  const source = (camera: string) => ({
    hash: camera,
    path: `${camera}.mov`,
    camera,
    from: 0,
    to: whole,
    // A tenth of a second beside each range is left out too, as Story does it.
    bad: soft(camera).map(({ start, end }) => ({
      start: start - 0.1,
      end: end + 0.1,
      kind: "soft",
      severity: 0.6,
    })),
    placement,
  });
  const bare: StoryResult = {
    frameRate: { num: 25, den: 1 },
    events: [],
    dropped: [],
    speech: speech(),
    material: {
      from: 0,
      to: whole,
      wideCamera: "A",
      falseStarts: [],
      claps: [4],
      twoTalkers: true,
      separationDb: 18,
      level: { stepSeconds: 0.01, runs: [] },
      sources: [source("A"), source("B")],
    },
    findings: [],
  };
  const story = withCut(
    bare,
    cutStory(cutGround(bare)!, {
      keepQuestions: false,
      longestPause: 1.2,
      story: { angles: [], kept: [], folded: [] },
    }),
  );
  return {
    ...story,
    // Every phrase has its words beside the braid.
    lines: story.speech.map(({ start, end, who }) => ({
      start,
      end,
      who,
      text: "The water comes in with the moon, and we grind on what it leaves behind.",
    })),
    events: story.events.map((event) => ({ ...event, stills: { A: still, B: still } })),
  };
}

/** What Watch found on both cameras. */
const longWatch: WatchResult = {
  recordings: ["A", "B"].map((camera) => ({
    path: `${camera}.mov`,
    hash: camera,
    device: camera,
    ranges: soft(camera).map((range) => ({
      ...range,
      kind: "soft" as const,
      severity: 0.6,
      evidence: "Sharpness fell to half of its usual.",
    })),
    looks: [],
  })),
  findings: [],
};

/** The page of that story, and of what it must avoid. */
export function longPage(still: string): SittingPage {
  const story = longStory(still);
  return {
    title: "Two hours at the tide mill",
    createdAt: "2025-11-06T10:12:00Z",
    folder: "two-hours",
    recordings: [],
    running: false,
    proxies: [],
    proxiesProgress: null,
    revision: "0",
    said: {
      title: "Two hours at the tide mill",
      story: { angles: [], kept: [], folded: [] },
      charts: [],
      sources: [],
      pictures: [],
      marks: [],
      transcripts: [],
      microphoneDistances: {},
      keepQuestions: false,
      longestPause: 1.2,
      loudnessTarget: -18,
    },
    undo: null,
    redo: null,
    chapters: [
      {
        name: "watch",
        state: "settled",
        question: "What did the cameras do while nobody looked?",
        verdict: "Both cameras lost focus twenty times.",
        findings: [],
        result: longWatch,
        progress: null,
      },
      {
        name: "story",
        state: "settled",
        question: "Does it hold together?",
        verdict: "Two hours have become a cut.",
        findings: [],
        result: story,
        progress: null,
      },
    ],
  };
}
