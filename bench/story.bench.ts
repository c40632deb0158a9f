import { cepstra } from "#science/speech/cepstra";
import { openingDistance } from "#science/speech/opening-distance";
import { chooseKept } from "#story/choose-kept";
import { type CutGround, cutGround, cutStory } from "#story/cut-story";
import { onFrameGrid, wherePictured } from "#story/frame-grid";
import { heardDocument } from "#story/material-document";
import { solveStory } from "#story/solve-story";
import type { PictureSource, StoryMaterial } from "#story/story-material";
import type { Bench, BenchRow } from "./row.ts";

const hours = 2;
const seconds = hours * 3600;
const rate = { num: 25, den: 1 };

/** The same chances in every run. */
function chances(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32;
  };
}

/** Two hours of questions and answers with pauses and false starts, as listening would hand them on. */
function longSitting(): StoryMaterial {
  const random = chances(7);
  const phrases: { start: number; end: number; who: "sitter" | "interviewer" }[] = [];
  const falseStarts: { phrase: number; likeness: number; confidence: number }[] = [];
  for (let at = 8; at < seconds - 60; ) {
    phrases.push({ start: at, end: (at += 2 + 5 * random()), who: "interviewer" });
    at += 0.6 + random();
    const answer = 8 + Math.floor(20 * random());
    for (let k = 0; k < answer; k++) {
      if (random() < 0.06 && k + 1 < answer)
        falseStarts.push({ phrase: phrases.length, likeness: 0.6, confidence: 0.8 });
      phrases.push({ start: at, end: (at += 1 + 4 * random()), who: "sitter" });
      at += random() < 0.15 ? 1.5 + 3 * random() : 0.2 + 0.7 * random();
    }
    at += 1;
  }
  const db = new Float32Array(seconds * 100).fill(-60);
  for (const { start, end } of phrases) db.fill(-20, Math.round(start * 100), Math.round(end * 100));
  return {
    from: 0,
    to: seconds,
    phrases,
    falseStarts,
    claps: [3],
    level: { stepSeconds: 0.01, db },
    twoTalkers: true,
    separationDb: 24,
  };
}

/** A in four files, B in six with holes between, and ranges to avoid in both. */
function cameras(): PictureSource[] {
  const random = chances(11);
  const files = (camera: string, count: number, hole: number): PictureSource[] =>
    Array.from({ length: count }, (_, i) => {
      const from = (i * seconds) / count;
      const to = ((i + 1) * seconds) / count - hole;
      const bad = Array.from({ length: 5 }, () => {
        const start = from + random() * (to - from - 40);
        return { start, end: start + 4 + 30 * random(), kind: "soft", severity: random() };
      });
      return { camera, from, to, bad };
    });
  return [...files("A", 4, 0), ...files("B", 6, 20)];
}

/** Median time of one call, milliseconds. */
function median(times: number, work: () => unknown): number {
  const took = Array.from({ length: times }, () => {
    const start = performance.now();
    work();
    return performance.now() - start;
  }).sort((x, y) => x - y);
  return took[Math.floor(took.length / 2)]!;
}

/** What a page does after each change: the same cut around three hundred things said. */
function* saidAgain(material: StoryMaterial, sources: readonly PictureSource[]): Generator<BenchRow> {
  const { speech, ...heard } = heardDocument(material);
  const placed = sources.map(({ bad, ...source }, i) => ({
    ...source,
    bad: bad.map((range) => ({ ...range })),
    hash: `${i}`,
    path: `${i}.mov`,
    placement: { offset: source.from, ratePpm: 0 },
  }));
  const asText = JSON.stringify({
    frameRate: rate,
    speech,
    material: { ...heard, wideCamera: "A", sources: placed },
  });
  const open = (): CutGround => cutGround(JSON.parse(asText) as Parameters<typeof cutGround>[0])!;
  const ground = open();
  const random = chances(5);
  const anywhere = () => ({ from: seconds * random(), to: 0 });
  const stretches = (count: number, length: number) =>
    Array.from({ length: count }, anywhere)
      .map(({ from }) => ({ from, to: from + length * random() }))
      .sort((a, b) => a.from - b.from);
  const story = {
    angles: stretches(200, 20).map((one, i) => ({ ...one, camera: i % 2 === 0 ? "A" : "B" })),
    kept: stretches(50, 6),
    folded: stretches(50, 6),
  };
  const wish = { keepQuestions: false, longestPause: 1.2, story };
  yield {
    chapter: "story",
    what: `the cut around 300 things said, from the page's material of ${(asText.length / 1024).toFixed(0)} kB`,
    unit: "ms",
    ours: median(9, () => cutStory(ground, wish)),
    reference: "what the page must stay under",
    theirs: 100,
  };
  yield {
    chapter: "story",
    what: "reading the page's material, once a result",
    unit: "ms",
    ours: median(9, open),
    reference: "reading it from JSON alone",
    theirs: median(9, () => JSON.parse(asText)),
  };
}

async function* bench(): AsyncGenerator<BenchRow> {
  const material = longSitting();
  const sources = cameras();
  const decisions = { keepQuestions: false, longestPause: 1.2 };
  const solve = () => {
    const { kept } = chooseKept(material, decisions);
    const { kept: stretches } = wherePictured(onFrameGrid(kept, rate, 0), sources, rate);
    return solveStory({ rate, stretches, sources, wideCamera: "A" });
  };
  const shots = solve();
  const asText = JSON.stringify({ phrases: material.phrases, shots });
  yield {
    chapter: "story",
    what: `the whole cut again: ${hours} h, ${material.phrases.length} phrases, ${sources.length} files, ${shots.length} shots`,
    unit: "ms",
    ours: median(9, solve),
    reference: "reading its phrases and shots from JSON",
    theirs: median(9, () => JSON.parse(asText)),
  };

  yield* saidAgain(material, sources);

  const random = chances(3);
  const sound = Float32Array.from({ length: 16_000 }, () => random() - 0.5);
  const frames = cepstra(sound);
  yield {
    chapter: "story",
    what: "voice colour (cepstra) of one second",
    unit: "ms",
    ours: median(15, () => cepstra(sound)),
    reference: "real time",
    theirs: 1000,
  };
  const opening = frames.slice(0, 80);
  const plain = (): number =>
    opening.reduce((sum, a, i) => sum + Math.hypot(...a.map((x, k) => x - frames[i]![k]!)), 0);
  yield {
    chapter: "story",
    what: "distance of two openings, 0.8 s against 1 s, with alignment",
    unit: "ms",
    ours: median(51, () => openingDistance(opening, frames)),
    reference: "frame by frame without alignment",
    theirs: median(51, plain),
  };
}

export default bench satisfies Bench;
