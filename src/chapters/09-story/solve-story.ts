import type { FrameRate } from "#documents/recording";
import { type FramedStretch, framesCovered } from "./frame-grid.ts";
import * as costs from "./shot-costs.ts";
import type { BadRange, PictureSource } from "./story-material.ts";

/** One shot of the cut. Frames are of the program. */
export interface StoryShot {
  readonly startFrame: number;
  readonly endFrame: number;
  /** Index into the sources. */
  readonly source: number;
  readonly scale: number;
  /** Sitting time of `startFrame`; the shot runs on without a break to `sittingEnd`. */
  readonly sittingStart: number;
  readonly sittingEnd: number;
  /** Index of the kept stretch that the shot lies in. */
  readonly stretch: number;
  /** What could not be avoided in it. */
  readonly bad: readonly BadRange[];
  /** Whether a person chose this angle for any of it. */
  readonly said: boolean;
  readonly why: string;
}

/** A person's word: this stretch of sitting time is shown by this camera. */
export interface SaidAngle {
  readonly from: number;
  readonly to: number;
  readonly camera: string;
}

export interface StoryProblem {
  readonly rate: FrameRate;
  /** Stretches that some source covers throughout; see `wherePictured`. */
  readonly stretches: readonly FramedStretch[];
  readonly sources: readonly PictureSource[];
  /** The camera that opens answers. */
  readonly wideCamera: string;
  /** Where two overlap the later one counts. */
  readonly said?: readonly SaidAngle[];
}

/** Where a join cannot change the angle the picture is enlarged by this much: less shows as a jump (common practice). */
export const joinScale = 1.15;
/** A shot longer than this is chosen in parts, which are then one shot again; seconds. */
const longestChoice = 90;
/** Where nobody draws breath the camera may still change about this often, seconds. */
const unmarkedChange = 5;

interface Choice {
  readonly cost: number;
  /** Index of the boundary where the shot begins, and the state before it (-1: none). */
  readonly from: number;
  readonly before: number;
}

/**
 * Chooses the angle for every moment by dynamic programming over the moments where the camera may change.
 *
 * Hard rules: every join changes the angle, or, where no other angle can be had, the size; no shot shows a range
 * that must be avoided while another camera is good; no shot leaves its recording. What a person said of an angle
 * stands above all of them save the last: it gives way only where that camera has no picture. Soft rules: see
 * `shot-costs`.
 *
 * @returns Shots in program order, without gap or overlap: the end of one is the start of the next.
 *
 * Time: boundaries × boundaries within {@link longestChoice} × sources.
 */
export function solveStory(problem: StoryProblem): StoryShot[] {
  const { stretches, sources } = problem;
  const frame = problem.rate.den / problem.rate.num;
  const states = sources.length * 2;
  const cameras = [...new Set(sources.map(({ camera }) => camera))];
  const cameraOf = sources.map(({ camera }) => cameras.indexOf(camera));

  const solved: { bounds: Bound[]; choices: Choice[][] }[] = [];
  let entry: Choice[] | null = null;
  let answerStart = 0;
  for (const [k, stretch] of stretches.entries()) {
    if (stretch.opensAnswer) answerStart = stretch.start;
    const said = (problem.said ?? []).filter(({ from, to }) => from < stretch.end && to > stretch.start);
    const pictures = picturesIn(stretch, problem);
    const live = pictures.map(({ source }) => source);
    const bounds = boundsOf(stretch, pictures, said, problem);
    const atoms = bounds
      .slice(0, -1)
      .map((bound, i) => atomCosts(stretch, bound.frame, bounds[i + 1]!.frame, pictures, said, problem));
    // choices[j][state]: the best way to have a shot of that state end at boundary j; at 0 the way in.
    const choices: Choice[][] = [waysIn(entry, k, stretch, live, problem, cameraOf)];
    // before[i][state]: what best comes before a shot of that state that begins at boundary i.
    const before: Before[][] = [choices[0]!.map((choice) => ({ cost: choice.cost, state: choice.before }))];
    for (let j = 1; j < bounds.length; j++) {
      const row = new Array<Choice>(states).fill(none);
      for (const s of live) {
        const wide = sources[s]!.camera === problem.wideCamera;
        const usual = wide ? costs.usualShot.wide : costs.usualShot.tight;
        let worth = 0;
        let plain = none;
        let scaled = none;
        for (let i = j - 1; i >= 0; i--) {
          const atom = atoms[i]![s]!;
          if (!Number.isFinite(atom)) break;
          worth += atom;
          const seconds = (bounds[j]!.frame - bounds[i]!.frame) * frame;
          if (seconds > longestChoice && i < j - 1) break;
          const since = stretch.start + bounds[i]!.frame * frame - answerStart;
          const shot =
            worth +
            costs.lengthCost(seconds, usual) +
            (!wide && since > costs.emphasisAfterSeconds ? costs.emphasis : 0);
          const [ownSize, otherSize] = [before[i]![s * 2]!, before[i]![s * 2 + 1]!];
          if (ownSize.cost + shot < plain.cost)
            plain = { cost: ownSize.cost + shot, from: i, before: ownSize.state };
          if (otherSize.cost + shot < scaled.cost)
            scaled = { cost: otherSize.cost + shot, from: i, before: otherSize.state };
        }
        row[s * 2] = plain;
        row[s * 2 + 1] = scaled;
      }
      choices.push(row);
      if (j < bounds.length - 1) before.push(changesAt(row, live, bounds[j]!, cameraOf));
    }
    solved.push({ bounds, choices });
    entry = choices.at(-1)!;
  }
  return traceShots(solved, problem);
}

/** The best state before a shot, and its cost so far with that of the change. */
interface Before {
  readonly cost: number;
  readonly state: number;
}
const noBefore: Before = { cost: Number.POSITIVE_INFINITY, state: -1 };

/** Shared: a choice is replaced, never changed. */
const none: Choice = { cost: Number.POSITIVE_INFINITY, from: -1, before: -1 };

/** A source that has a picture in a stretch, for its frames [first, end), and what of that is to be avoided. */
interface PictureIn {
  readonly source: number;
  readonly first: number;
  readonly end: number;
  readonly bad: readonly BadRange[];
}

function picturesIn(stretch: FramedStretch, { sources, rate }: StoryProblem): PictureIn[] {
  return sources.flatMap((source, index) => {
    const { first, end } = framesCovered(source, stretch, rate);
    if (end <= first) return [];
    return [{ source: index, first, end, bad: overlapping(source.bad, stretch.start, stretch.end) }];
  });
}

/** A moment within a stretch where the camera may change. */
interface Bound {
  readonly frame: number;
  /** Length of the break there, seconds; 0 in running speech. */
  readonly breakSeconds: number;
}

function boundsOf(
  stretch: FramedStretch,
  pictures: readonly PictureIn[],
  said: readonly SaidAngle[],
  { rate }: StoryProblem,
): Bound[] {
  const frame = rate.den / rate.num;
  const longest = new Map<number, number>();
  const add = (at: number, breakSeconds: number): void => {
    if (at > 0 && at < stretch.frames) longest.set(at, Math.max(longest.get(at) ?? 0, breakSeconds));
  };
  for (const { at, seconds } of stretch.breaks) add(Math.round((at - stretch.start) / frame), seconds);
  for (const { from, to } of said)
    for (const at of [from, to]) add(Math.round((at - stretch.start) / frame), 0);
  for (const { first, end, bad: ranges } of pictures) {
    add(first, 0);
    add(end, 0);
    for (const bad of ranges) {
      add(Math.floor((bad.start - stretch.start) / frame + 1e-6), 0);
      add(Math.ceil((bad.end - stretch.start) / frame - 1e-6), 0);
    }
  }
  const marked = [0, ...[...longest.keys()].sort((a, b) => a - b), stretch.frames];
  for (let i = 0; i + 1 < marked.length; i++) {
    const [from, to] = [marked[i]!, marked[i + 1]!];
    const parts = Math.floor(((to - from) * frame) / unmarkedChange);
    for (let p = 1; p < parts; p++) add(from + Math.round(((to - from) * p) / parts), 0);
  }
  const inner = [...longest]
    .sort(([a], [b]) => a - b)
    .map(([at, seconds]) => ({ frame: at, breakSeconds: seconds }));
  return [{ frame: 0, breakSeconds: 0 }, ...inner, { frame: stretch.frames, breakSeconds: 0 }];
}

/** What each source costs between two boundaries; infinite where it has no picture, or a person said another. */
function atomCosts(
  stretch: FramedStretch,
  from: number,
  to: number,
  pictures: readonly PictureIn[],
  said: readonly SaidAngle[],
  { rate, sources }: StoryProblem,
): number[] {
  const frame = rate.den / rate.num;
  const [start, end] = [stretch.start + from * frame, stretch.start + to * frame];
  const here = pictures.filter((picture) => from >= picture.first && to <= picture.end);
  const middle = (start + end) / 2;
  const wanted = said.findLast((angle) => angle.from <= middle && middle < angle.to)?.camera;
  const obeying = here.filter(({ source }) => sources[source]!.camera === wanted);
  const atom = new Array<number>(sources.length).fill(Number.POSITIVE_INFINITY);
  for (const { source, bad: ranges } of obeying.length > 0 ? obeying : here) {
    let cost = 0;
    for (const bad of overlapping(ranges, start, end)) {
      const seconds = Math.min(end, bad.end) - Math.max(start, bad.start);
      cost += costs.mustAvoid(bad)
        ? costs.badCost(seconds, bad.severity)
        : costs.slightCost(seconds, bad.severity);
    }
    atom[source] = cost;
  }
  return atom;
}

/** Ranges that share more than rounding noise with [start, end). */
function overlapping(bad: readonly BadRange[], start: number, end: number): BadRange[] {
  return bad.filter((range) => Math.min(end, range.end) - Math.max(start, range.start) > 1e-6);
}

/** Costs of beginning a stretch in each state, after the last state of the stretch before it. */
function waysIn(
  entry: readonly Choice[] | null,
  index: number,
  stretch: FramedStretch,
  live: readonly number[],
  { sources, wideCamera }: StoryProblem,
  cameraOf: readonly number[],
): Choice[] {
  const ways = new Array<Choice>(sources.length * 2).fill(none);
  for (const s of live) {
    const wide = sources[s]!.camera === wideCamera;
    if (entry === null || index === 0) {
      ways[s * 2] = { cost: wide ? 0 : costs.openOnTight, from: -1, before: -1 };
      continue;
    }
    const opening = stretch.opensAnswer && !wide ? costs.answerOnTight : 0;
    for (const scaled of [0, 1]) {
      let best = none;
      for (const [before, choice] of entry.entries()) {
        if (choice === none) continue;
        const sameCamera = cameraOf[before >> 1] === cameraOf[s];
        // Another angle comes at its own size; the same angle only at another size.
        if (sameCamera ? (before & 1) === scaled : scaled === 1) continue;
        const cost = choice.cost + opening + (sameCamera ? costs.sizeChange : 0);
        if (cost < best.cost) best = { cost, from: -1, before };
      }
      ways[s * 2 + scaled] = best;
    }
  }
  return ways;
}

/** The best state before a change of angle inside a stretch, or the same one where the shot goes on. */
function changesAt(
  row: readonly Choice[],
  live: readonly number[],
  bound: Bound,
  cameraOf: readonly number[],
): Before[] {
  const change = costs.changeCost(bound.breakSeconds);
  const befores = new Array<Before>(row.length).fill(noBefore);
  for (const s of live)
    for (const scaled of [0, 1]) {
      let best = noBefore;
      for (const other of live)
        for (const size of [0, 1]) {
          const sameCamera = cameraOf[other] === cameraOf[s];
          if (sameCamera ? size !== scaled : scaled === 1) continue;
          const state = other * 2 + size;
          const cost = row[state]!.cost + (sameCamera ? costs.stay : change);
          if (cost < best.cost) best = { cost, state };
        }
      befores[s * 2 + scaled] = best;
    }
  return befores;
}

function traceShots(
  solved: readonly { bounds: Bound[]; choices: Choice[][] }[],
  problem: StoryProblem,
): StoryShot[] {
  const frame = problem.rate.den / problem.rate.num;
  const backwards: { stretch: number; from: number; to: number; state: number }[] = [];
  let state = -1;
  for (let k = solved.length - 1; k >= 0; k--) {
    const { bounds, choices } = solved[k]!;
    const last = choices.at(-1)!;
    if (state < 0) state = last.reduce((best, choice, s) => (choice.cost < last[best]!.cost ? s : best), 0);
    let j = bounds.length - 1;
    while (j > 0) {
      const choice = choices[j]![state]!;
      if (choice.from < 0) throw new TypeError("a stretch that no source covers came to solveStory");
      backwards.push({ stretch: k, from: bounds[choice.from]!.frame, to: bounds[j]!.frame, state });
      j = choice.from;
      state = choice.before;
    }
  }
  const parts = backwards.reverse();
  const merged: typeof parts = [];
  for (const part of parts) {
    const last = merged.at(-1);
    if (last && last.stretch === part.stretch && last.state === part.state) last.to = part.to;
    else merged.push({ ...part });
  }
  const offsets: number[] = [];
  let total = 0;
  for (const { frames } of problem.stretches) {
    offsets.push(total);
    total += frames;
  }
  return merged.map((part, i) => {
    const { stretch, from, to } = part;
    const { start } = problem.stretches[stretch]!;
    const [sittingStart, sittingEnd] = [start + from * frame, start + to * frame];
    const source = part.state >> 1;
    const said = (problem.said ?? []).some(
      ({ from: since, to: until, camera }) =>
        camera === problem.sources[source]!.camera &&
        Math.min(until, sittingEnd) - Math.max(since, sittingStart) > frame / 2,
    );
    return {
      startFrame: offsets[stretch]! + from,
      endFrame: offsets[stretch]! + to,
      source,
      scale: (part.state & 1) === 1 ? joinScale : 1,
      sittingStart,
      sittingEnd,
      stretch,
      bad: overlapping(problem.sources[source]!.bad, sittingStart, sittingEnd).filter(costs.mustAvoid),
      said,
      why: said
        ? `you chose camera ${problem.sources[source]!.camera} here`
        : whyThisShot(problem, merged[i - 1], part, sittingStart, sittingEnd),
    };
  });
}

/** One sentence for the page: what the choice of this angle rests on. */
function whyThisShot(
  problem: StoryProblem,
  before: { stretch: number; state: number } | undefined,
  part: { stretch: number; state: number; from: number },
  start: number,
  end: number,
): string {
  const { sources, stretches, wideCamera } = problem;
  const { camera } = sources[part.state >> 1]!;
  const avoided = sources.find(
    (source) => source.camera !== camera && overlapping(source.bad, start, end).some(costs.mustAvoid),
  );
  const kind = avoided && overlapping(avoided.bad, start, end).find(costs.mustAvoid)?.kind;
  const because = avoided ? `; camera ${avoided.camera} is ${kind} here` : "";
  if (!before) return `opens on ${camera}${camera === wideCamera ? ", the wider" : ""}${because}`;
  const previous = sources[before.state >> 1]!.camera;
  if (before.stretch !== part.stretch) {
    const left = stretches[part.stretch]!.joinWhy;
    return previous === camera
      ? `the size changes over the join (${left} left out)${because}`
      : `the angle changes over the join (${left} left out)${because}`;
  }
  if (previous === camera) return `goes on in the next file of camera ${camera}`;
  return camera === wideCamera ? `back to the wider angle${because}` : `closer, for emphasis${because}`;
}
