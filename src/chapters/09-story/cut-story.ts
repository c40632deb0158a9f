import type { StoryMaterialDocument, StoryResult } from "#documents/chapter-results";
import type { Finding } from "#documents/finding";
import type { FrameRate } from "#documents/recording";
import type { StorySaid } from "#documents/said";
import { chooseKept, type StoryDecisions } from "./choose-kept.ts";
import { onFrameGrid, wherePictured } from "./frame-grid.ts";
import { heardMaterial, sourcesOf } from "./material-document.ts";
import { sourceRange } from "./picture-sources.ts";
import { withSaidLengths } from "./said-lengths.ts";
import { type StoryShot, solveStory } from "./solve-story.ts";
import { storyFindings } from "./story-findings.ts";
import type { CutSource, StoryMaterial } from "./story-material.ts";

/** What a person decided that the cut rests on. */
export interface CutWish extends StoryDecisions {
  readonly story: StorySaid;
}

/** The cut without its stills. */
export interface Cut {
  readonly events: readonly Omit<StoryResult["events"][number], "stills">[];
  readonly dropped: StoryResult["dropped"];
  readonly findings: readonly Finding[];
}

/** Everything but what a person decides: chosen from again and again. */
export interface CutGround {
  readonly material: StoryMaterial;
  readonly sources: readonly CutSource[];
  readonly frameRate: FrameRate;
  readonly wideCamera: string;
}

/**
 * The ground of a cut that was measured before, so that a page can choose again with {@link cutStory} after each change
 * without asking the server. Keep it while the result is the same: reading it takes longer than choosing.
 *
 * @returns undefined for a result of an older release, which did not carry it.
 */
export function cutGround(
  result: Pick<StoryResult, "frameRate" | "speech"> & { material?: StoryMaterialDocument | undefined },
): CutGround | undefined {
  const { material, speech, frameRate } = result;
  if (!material) return undefined;
  const { sources: _, wideCamera, ...heard } = material;
  return {
    material: heardMaterial({ ...heard, speech }),
    sources: sourcesOf(material),
    frameRate,
    wideCamera,
  };
}

/**
 * Chooses the whole cut: what stays, and which camera shows each moment, with what a person said honoured first.
 *
 * Pure and quick: under 100 ms for two hours (`bench/story`).
 */
export function cutStory(ground: CutGround, wish: CutWish): Cut {
  const { material, sources, frameRate, wideCamera } = ground;
  const lead = sources.find(({ camera }) => camera === wideCamera) ?? sources[0];
  const chosen = withSaidLengths(chooseKept(material, wish), material, wish.story);
  const { kept: stretches, lost } = wherePictured(
    onFrameGrid(chosen.kept, frameRate, lead?.from ?? 0),
    sources,
    frameRate,
  );
  const said = wish.story.angles;
  const shots = solveStory({ rate: frameRate, stretches, sources, wideCamera, said });
  return {
    events: shots.map((shot) => eventOf(shot, sources, frameRate)),
    dropped: droppedRanges(material, stretches, chosen.dropped, lost),
    findings: storyFindings({ material, shots, stretches, sources, lost, decisions: wish, said: wish.story }),
  };
}

/**
 * A result with another cut in it, as a page shows it until the server has measured it: each event borrows the stills
 * of the old event that lies nearest to its middle.
 *
 * @param result - The newest measured result; its own events give the stills.
 */
export function withCut(result: StoryResult, cut: Cut): StoryResult {
  const old = result.events.map(({ sittingStart, sittingEnd, stills }) => ({
    middle: (sittingStart + sittingEnd) / 2,
    stills,
  }));
  old.sort((a, b) => a.middle - b.middle);
  let k = 0;
  const nearest = (middle: number): (typeof old)[number] | undefined => {
    const far = (i: number): number => Math.abs(old[i]!.middle - middle);
    while (k + 1 < old.length && far(k + 1) <= far(k)) k++;
    return old[k];
  };
  const events = cut.events.map((event) => {
    const stills = nearest((event.sittingStart + event.sittingEnd) / 2)?.stills;
    return { ...event, ...(stills ? { stills } : {}) };
  });
  return { ...result, events, dropped: cut.dropped, findings: [...cut.findings] };
}

function eventOf(shot: StoryShot, sources: readonly CutSource[], rate: FrameRate): Cut["events"][number] {
  const source = sources[shot.source]!;
  const { start, end } = sourceRange(source, shot.sittingStart, shot.sittingEnd);
  return {
    start: (shot.startFrame * rate.den) / rate.num,
    end: (shot.endFrame * rate.den) / rate.num,
    camera: source.camera,
    path: source.path,
    hash: source.hash,
    sourceStart: start,
    sourceEnd: end,
    sittingStart: shot.sittingStart,
    sittingEnd: shot.sittingEnd,
    ...(shot.scale === 1 ? {} : { scale: shot.scale }),
    ...(shot.said ? { said: true } : {}),
    why: shot.why,
  };
}

/** The complement of what is in the cut, each part with the reason; the frame grid moves edges by under a frame. */
function droppedRanges(
  { from, to }: { from: number; to: number },
  stretches: readonly { start: number; end: number }[],
  reasons: readonly { start: number; end: number; why: string }[],
  lost: readonly { start: number; end: number }[],
): StoryResult["dropped"] {
  const all = [...reasons, ...lost.map((range) => ({ ...range, why: "no camera was running" }))].sort(
    (a, b) => a.start - b.start,
  );
  let first = 0;
  const why = (start: number, end: number): string => {
    while (first < all.length - 1 && all[first]!.end <= start && all[first + 1]!.start <= start) first++;
    let best = { overlap: Number.NEGATIVE_INFINITY, why: "" };
    for (let i = Math.max(0, first - 1); i < all.length && (all[i]!.start < end || best.why === ""); i++) {
      const overlap = Math.min(end, all[i]!.end) - Math.max(start, all[i]!.start);
      if (overlap > best.overlap) best = { overlap, why: all[i]!.why };
    }
    return best.why;
  };
  const edges = [{ start: from, end: from }, ...stretches, { start: to, end: to }];
  return edges
    .slice(1)
    .map((next, i) => ({ start: edges[i]!.end, end: next.start }))
    .filter(({ start, end }) => end - start > 1e-3)
    .map(({ start, end }) => ({ start, end, why: why(start, end) }));
}
