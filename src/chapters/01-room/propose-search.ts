import type { Plan } from "#documents/plan";
import { type Evolution, evolution } from "#science/search/evolution";
import { seededChance } from "#science/search/seeded-chance";
import { differencesOf } from "./propose-differ.ts";
import type { Ground } from "./propose-ground.ts";
import { breachOf } from "./propose-hard.ts";
import { lookAt } from "./propose-look.ts";
import { type Movers, moversOf, type Niche } from "./propose-movers.ts";
import { staysPut } from "./propose-pins.ts";
import { softLack } from "./propose-soft.ts";
import { sceneOf } from "./scene.ts";

/** What a staging costs from here on breaks a hard rule. */
const broken = 10;
/** What one costs, above its score, that is not truly another one than those already found. */
const sameAgain = 2;

/** A copy of a plan that may be written over. */
export const draftOf = (plan: Plan): Plan => JSON.parse(JSON.stringify(plan)) as Plan;

/**
 * What a staging costs: 0 to 1, one less its score, where it keeps every hard rule; {@link broken} and more where it does not.
 *
 * @param draft - The staging as a plan over the ground's own room.
 * @param atMost - A cost above it is not worked out to the end.
 */
export function costOf(draft: Plan, ground: Ground, atMost: number = Number.POSITIVE_INFINITY): number {
  const scene = sceneOf(draft, ground.walls);
  const breach = breachOf(scene, ground, Math.max(0, atMost - broken));
  return breach > 0 ? broken + breach : softLack(lookAt(scene, ground), atMost);
}

/** Whether a cost is that of a staging that keeps every hard rule. */
export const keepsRules = (cost: number): boolean => cost < 1.5;

/** The niches that a plan leaves open: eight ways to look by two sides of the line, or fewer. */
export function nichesOf(plan: Plan): Niche[] {
  const { looks } = plan.wishes;
  const sides =
    looks === "either" ? ([1, -1] as const) : looks === "right" ? ([1] as const) : ([-1] as const);
  const isFree = !staysPut(plan, "sitter") && !staysPut(plan, "interviewer");
  // Where the gaze is held by pins, every niche is tried twice, from other beginnings.
  const gazes = isFree ? Array.from({ length: 8 }, (_, k) => k * 45 - 27.5) : [0, 0];
  return gazes.flatMap((gazeFrom) => sides.map((side): Niche => ({ gazeFrom, gazeSpan: 55, side })));
}

/** A staging that the search has found. */
export interface Found {
  readonly cost: number;
  readonly plan: Plan;
}

interface Strand {
  readonly movers: Movers;
  readonly search: Evolution;
}

/** Share of all tries for each round, and how many niches go on from it. */
const rounds = [
  { share: 0.38, keep: 8, shrinkTo: 24 },
  { share: 0.27, keep: 4, shrinkTo: 16 },
  { share: 0.35, keep: 3, shrinkTo: 6 },
] as const;
const firstPopulation = 40;
/** Differences of cost that nobody would see in a score. */
const settled = 3e-4;
/** Places tried between two looks at the signal. */
const stretch = 400;

/**
 * Searches for the best stagings that truly differ: one strand of evolution a niche, of which fewer and fewer go on.
 *
 * @returns The best first, and how many places were tried; more than three where there are. One that breaks rules comes
 *   only where nothing else was found.
 */
export function searchStagings(
  ground: Ground,
  options: {
    readonly seed: number;
    readonly evaluations: number;
    readonly signal?: { readonly aborted: boolean };
    readonly progress?: (share: number) => void;
  },
): { found: Found[]; tried: number; complete: boolean } {
  const { plan } = ground;
  const draft = draftOf(plan);
  const { seed, evaluations, signal } = options;
  let tried = 0;
  const count = (): void => {
    tried++;
  };
  const strands = nichesOf(plan).map((niche, k): Strand => {
    const movers = moversOf(ground, niche);
    return { movers, search: strandOf(ground, movers, draft, seed * 1009 + k, count) };
  });
  const run = (strand: Strand, tries: number, shrinkTo: number): void => {
    for (let done = 0; done < tries && !signal?.aborted && !isSettled(strand.search); done += stretch) {
      const now = Math.min(stretch, tries - done);
      const size = strand.search.size();
      strand.search.run(now, Math.round(size + ((shrinkTo - size) * now) / (tries - done)));
      options.progress?.(Math.min(1, tried / evaluations));
    }
  };
  // A plan whose every place is pinned has one staging.
  if (strands[0]!.movers.low.length === 0)
    return { found: [foundOf(strands[0]!, plan)], tried, complete: true };

  let going = strands;
  for (const { share, keep, shrinkTo } of rounds) {
    const tries = (evaluations * share) / going.length - (going === strands ? firstPopulation : 0);
    for (const strand of going) run(strand, tries, shrinkTo);
    going = pick(strands, going, keep, plan);
  }
  const found = differing(strands, plan);
  for (
    let extra = 0;
    found.length < 3 && extra < 2 && keepsRules(found[0]!.cost) && !signal?.aborted;
    extra++
  ) {
    const more = another(
      ground,
      draft,
      found,
      seed * 1009 + 500 + extra,
      count,
      strands[extra % strands.length]!,
      run,
      evaluations,
    );
    if (more) found.push(more);
  }
  found.sort((a, b) => a.cost - b.cost);
  options.progress?.(1);
  return { found, tried, complete: !signal?.aborted };
}

/** Whether all of a population cost the same: more tries would find nothing else. */
const isSettled = (search: Evolution): boolean =>
  search.memberCost(search.size() - 1) - search.memberCost(0) < settled;

function strandOf(
  ground: Ground,
  movers: Movers,
  draft: Plan,
  seed: number,
  count: () => void,
  costAlso: (cost: number) => number = (cost) => cost,
): Evolution {
  return evolution(
    {
      low: movers.low,
      high: movers.high,
      groups: movers.groups,
      cost(place, atMost) {
        movers.place(place, draft);
        count();
        return costAlso(costOf(draft, ground, atMost));
      },
    },
    { seed, population: firstPopulation, starts: startsOf(movers, seed) },
  );
}

/** Share of a first population that begins near what hands do, and how far around it, as a share of each range. */
const byHabit = 0.6;
const around = 0.1;

function startsOf({ low, high, usual }: Movers, seed: number): Float64Array[] {
  const chance = seededChance(seed + 77);
  return Array.from({ length: Math.round(byHabit * firstPopulation) }, () =>
    low.map((least, d) => {
      const range = high[d]! - least;
      const habit = usual[d]!;
      return Number.isNaN(habit) ? least + range * chance.next() : habit + around * range * chance.normal();
    }),
  );
}

/** The strands that go on: the best, then the best of those that truly differ from it, then the next best. */
function pick(all: readonly Strand[], going: readonly Strand[], keep: number, plan: Plan): Strand[] {
  const ranked = [...going].sort((a, b) => a.search.bestCost() - b.search.bestCost());
  const plans = new Map(all.map((strand) => [strand, foundOf(strand, plan).plan]));
  const chosen: Strand[] = [];
  for (const strand of ranked)
    if (
      chosen.length < keep &&
      chosen.every((other) => differencesOf(plans.get(strand)!, plans.get(other)!).length > 0)
    )
      chosen.push(strand);
  for (const strand of ranked) if (chosen.length < keep && !chosen.includes(strand)) chosen.push(strand);
  return chosen;
}

const foundOf = ({ movers, search }: Strand, plan: Plan): Found => {
  const draft = draftOf(plan);
  movers.place(search.best, draft);
  return { cost: search.bestCost(), plan: draft };
};

/** The three best bests that truly differ; the best alone where none keeps the rules. */
function differing(strands: readonly Strand[], plan: Plan): Found[] {
  const ranked = strands.map((s) => foundOf(s, plan)).sort((a, b) => a.cost - b.cost);
  const found: Found[] = [ranked[0]!];
  for (const next of ranked)
    if (
      found.length < 3 &&
      keepsRules(next.cost) &&
      found.every((known) => differencesOf(next.plan, known.plan).length > 0)
    )
      found.push(next);
  return found;
}

/** One more that truly differs from those found, searched for as such. */
function another(
  ground: Ground,
  draft: Plan,
  found: readonly Found[],
  seed: number,
  count: () => void,
  { movers }: Strand,
  run: (strand: Strand, tries: number, shrinkTo: number) => void,
  evaluations: number,
): Found | null {
  const search = strandOf(ground, movers, draft, seed, count, (cost) =>
    keepsRules(cost) && found.some((known) => differencesOf(draft, known.plan).length === 0)
      ? sameAgain + cost
      : cost,
  );
  const strand = { movers, search };
  run(strand, evaluations * 0.05, 10);
  return keepsRules(search.bestCost()) ? foundOf(strand, ground.plan) : null;
}
