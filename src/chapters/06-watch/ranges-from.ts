import type { WatchResult } from "#documents/chapter-results";
import type { Change, Figures } from "./look-at.ts";
import { type Judged, judge, quantileOf, type Usual, usualOf } from "./usual.ts";

export type WatchKind = WatchResult["recordings"][number]["ranges"][number]["kind"];

/** One picture with what changed since the one before; its small picture is no longer needed. */
export interface Seen extends Figures {
  readonly change: Change | null;
}

/** A stretch that the cut should avoid; local time, [start, end). */
export interface WatchRange {
  readonly start: number;
  readonly end: number;
  readonly kind: WatchKind;
  /** 0 just past what is noticed, 1 useless. */
  readonly severity: number;
  readonly evidence: string;
  /** The moment that shows it best. */
  readonly worstAt: number;
}

/** log2 of sharpness: a third less edge energy is the least that is called soft, and more in restless pictures. */
const leastSoftness = 0.5;
const mostSoftness = 0.9;
/** Code values out of 1: about a third of a stop on the straight part of a display curve. */
const leastLight = 0.045;
/** Natural logarithm: 6 % of one colour against green. */
const leastWhite = 0.06;
/** Share of the width; and for how long pictures must not differ at all. */
const leastShift = 0.006;
const sameDifference = 1e-5;
const leastFrozenSeconds = 1.5;
const blackest = 0.08;

/** What is wrong with one picture: the kinds that last over stretches, with how much. */
export type Complaints = Partial<Record<WatchKind, { readonly amount: number; readonly severity: number }>>;

const share = (value: number, none: number, all: number): number =>
  Math.round(100 * Math.max(0, Math.min(1, (value - none) / (all - none)))) / 100;

/**
 * Complaints about one judged picture, given how restless the recording's sharpness is.
 *
 * @param strictness - 1 as usual; under 1 complains sooner, for the edges of a range that is already known.
 */
export function complaintsOf(
  seen: Pick<Figures, "brightest">,
  judged: Judged,
  softThreshold: number,
  strictness = 1,
): Complaints {
  if (seen.brightest < blackest) return { black: { amount: seen.brightest, severity: 1 } };
  const out: { -readonly [K in keyof Complaints]: Complaints[K] } = {};
  if (judged.sharpness < -softThreshold * strictness) {
    out.soft = { amount: judged.sharpness, severity: share(-judged.sharpness, 0.25, 2) };
  }
  const light = leastLight * strictness;
  if (judged.light > light) out.bright = { amount: judged.light, severity: share(judged.light, 0.02, 0.25) };
  if (judged.light < -light) out.dark = { amount: judged.light, severity: share(-judged.light, 0.02, 0.25) };
  const white = Math.hypot(judged.red, judged.blue);
  // A change of exposure moves colours a little, too: then only a plain drift counts.
  if (white > (Math.abs(judged.light) > leastLight ? 2 : 1) * leastWhite * strictness) {
    const amount = Math.abs(judged.red) > Math.abs(judged.blue) ? judged.red : judged.blue;
    out["white-drift"] = { amount, severity: share(white, 0.03, 0.3) };
  }
  return out;
}

/** The judge of one recording: the usual look near each moment, and how much its sharpness wanders by itself. */
export class Judge {
  readonly softThreshold: number;
  readonly #looks: readonly Seen[];
  readonly #usual = new Map<number, Usual>();

  /** @param looks - Every looked-at picture of one recording, in order. */
  constructor(looks: readonly Seen[]) {
    this.#looks = looks;
    const scores = looks.map((look) => this.judge(look).sharpness);
    // Half-width of the middle half: what soft stretches themselves, being rare, do not move.
    const middle = quantileOf(scores, 0.5);
    const wander =
      1.4826 *
      quantileOf(
        scores.map((s) => Math.abs(s - middle)),
        0.5,
      );
    this.softThreshold = Math.max(leastSoftness, Math.min(mostSoftness, 4 * wander));
  }

  judge(look: Figures): Judged {
    return judge(look, this.#usualNear(look.at));
  }

  complaints(look: Figures, strictness = 1): Complaints {
    return complaintsOf(look, this.judge(look), this.softThreshold, strictness);
  }

  /** Long recordings are judged by the pictures around each moment: light and set may change over an hour. */
  #usualNear(at: number): Usual {
    const stretch = 120;
    const index = this.#looks.findIndex((look) => look.at >= at);
    const block =
      this.#looks.length <= 2 * stretch
        ? 0
        : Math.floor((index < 0 ? this.#looks.length - 1 : index) / stretch);
    let usual = this.#usual.get(block);
    if (!usual) {
      const near =
        this.#looks.length <= 2 * stretch
          ? this.#looks
          : this.#looks.slice(Math.max(0, (block - 1) * stretch), (block + 2) * stretch);
      this.#usual.set(block, (usual = usualOf(near)));
    }
    return usual;
  }
}

const lasting = ["soft", "bright", "dark", "white-drift", "black"] as const;

/**
 * Ranges of one recording that the cut must avoid, from the pictures looked at.
 *
 * Everything is judged against the recording's own usual look, tile by tile, so a dark set, a slow slider or a
 * sitter who leans is no fault. Edges lie half-way between pictures; refine them with more pictures where it matters.
 *
 * @param looks - In order of time, evenly spread, each with its change from the one before.
 * @param durationSeconds - End of the recording, local time.
 */
export function rangesFrom(
  looks: readonly Seen[],
  durationSeconds: number,
  judgeOf = new Judge(looks),
): WatchRange[] {
  const complaints = looks.map((look) => judgeOf.complaints(look));
  const ranges: WatchRange[] = [];
  for (const kind of lasting) {
    for (let i = 0; i < looks.length; i++) {
      if (!complaints[i]![kind]) continue;
      let j = i;
      // One good picture between two bad ones is luck.
      while (complaints[j + 1]?.[kind] || complaints[j + 2]?.[kind]) j++;
      let worst = i;
      for (let k = i; k <= j; k++) {
        if ((complaints[k]![kind]?.severity ?? 0) > complaints[worst]![kind]!.severity) worst = k;
      }
      const start = i === 0 ? 0 : (looks[i - 1]!.at + looks[i]!.at) / 2;
      const end = j === looks.length - 1 ? durationSeconds : (looks[j]!.at + looks[j + 1]!.at) / 2;
      const { amount, severity } = complaints[worst]![kind]!;
      const burnt = looks[worst]!.burnt;
      ranges.push({
        start,
        end,
        kind,
        severity,
        evidence: inWords(kind, amount, burnt),
        worstAt: looks[worst]!.at,
      });
      i = j;
    }
  }
  ranges.push(...frozenRanges(looks, durationSeconds), ...movements(looks));
  return ranges.sort((a, b) => a.start - b.start);
}

const percent = (part: number): string => `${(100 * part).toFixed(part < 0.0995 ? 1 : 0)} %`;

function inWords(kind: (typeof lasting)[number], amount: number, burnt: number): string {
  switch (kind) {
    case "soft":
      return `Edges held ${percent(2 ** amount)} of their usual fine detail.`;
    case "bright":
      return `The picture was ${percent(amount)} of full scale lighter than usual${burnt > 0.02 ? `; ${percent(burnt)} of it was burnt out` : ""}.`;
    case "dark":
      return `The picture was ${percent(-amount)} of full scale darker than usual.`;
    case "white-drift":
      return `White leaned ${percent(Math.abs(Math.exp(amount) - 1))} away from its usual tone.`;
    case "black":
      return `Nothing was lighter than ${percent(amount)} of full scale.`;
  }
}

function frozenRanges(looks: readonly Seen[], durationSeconds: number): WatchRange[] {
  const usual = quantileOf(
    looks.slice(1).map((look) => look.change?.difference ?? 0),
    0.5,
  );
  // A drawn or screened picture that never changes is not frozen.
  if (usual < 4 * sameDifference) return [];
  const ranges: WatchRange[] = [];
  for (let i = 1; i < looks.length; i++) {
    const same = (k: number): boolean =>
      (looks[k]?.change?.difference ?? 1) < sameDifference && looks[k]!.brightest >= blackest;
    if (!same(i)) continue;
    let j = i;
    while (same(j + 1)) j++;
    const start = looks[i - 1]!.at;
    const end = j === looks.length - 1 ? durationSeconds : looks[j]!.at;
    if (end - start >= leastFrozenSeconds) {
      const evidence = `The picture did not change for ${(end - start).toFixed(1)} s.`;
      ranges.push({ start, end, kind: "frozen", severity: 1, evidence, worstAt: (start + end) / 2 });
    }
    i = j;
  }
  return ranges;
}

/** A jump of the frame that stands out of both its neighbours: a steady slider moves alike from picture to picture. */
function movements(looks: readonly Seen[]): WatchRange[] {
  const shift = (i: number): { x: number; y: number } | null => looks[i]?.change?.shift ?? null;
  const apart = (a: { x: number; y: number }, b: { x: number; y: number } | null): number =>
    Math.hypot(a.x - (b?.x ?? 0), a.y - (b?.y ?? 0));
  const ranges: WatchRange[] = [];
  for (let i = 1; i < looks.length; i++) {
    const here = shift(i);
    if (!here) continue;
    // When a frozen or black picture comes back to life, what is seen to jump is time, not the camera.
    const stoodStill = (k: number): boolean => (looks[k]?.change?.difference ?? 1) < sameDifference;
    if (stoodStill(i - 1) || looks[i - 1]!.brightest < blackest || looks[i]!.brightest < blackest) continue;
    const jump = Math.min(apart(here, shift(i - 1)), apart(here, shift(i + 1)));
    if (jump < leastShift) continue;
    const next = shift(i + 1);
    const back = next !== null && Math.hypot(here.x + next.x, here.y + next.y) < 0.35 * jump;
    const last = back ? i + 1 : i;
    ranges.push({
      start: looks[i - 1]!.at,
      end: looks[last]!.at,
      kind: back ? "bump" : "moved",
      severity: share(jump, 0, 0.05),
      evidence: `The frame moved by ${percent(jump)} of its width${back ? " and came back" : ""}.`,
      worstAt: looks[i]!.at,
    });
    i = last;
  }
  return ranges;
}
