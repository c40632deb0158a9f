import type { Plan } from "#documents/plan";
import type { RoomResult } from "#documents/room-result";
import { ExplainedError } from "#errors/explained-error";
import { writeWhole } from "#outside/disk/write-whole";
import { proposeStagings } from "#room/propose";
import { countOf, openSentence } from "#science/units/number-words";

/** Contradictions of where things stand: the search moves them, so it may begin from them. */
const ofPlaces: ReadonlySet<string> = new Set([
  "plan.outside-room",
  "plan.inside-furniture",
  "plan.one-place",
  "plan.above-ceiling",
  "plan.camera-off-rail",
  "plan.focal-outside-zoom",
  "plan.dims-too-far",
]);

/**
 * Looks for stagings and puts them beside a plan's figures.
 *
 * @param seed - The same seed gives the same answer.
 * @throws ExplainedError `PLAN_CONTRADICTS` where the room or the kit contradicts itself.
 */
export function withProposals(
  plan: Plan,
  result: RoomResult,
  seed: number,
  progress: (share: number) => void,
  signal: AbortSignal,
): RoomResult {
  const [first] = result.contradictions.filter(({ code }) => !ofPlaces.has(code));
  if (first)
    throw new ExplainedError(
      "PLAN_CONTRADICTS",
      {
        happened: first.says,
        means: `${openSentence(first.between[0])} and ${first.between[1]} cannot both be right, so no staging can be looked for.`,
        doNext: first.remedy,
      },
      { contradictions: result.contradictions },
    );
  const { proposals, ...search } = proposeStagings(plan, { seed, progress, signal });
  return { ...result, proposals, search };
}

/** The stagings in words: each with its score, its reasons and what to move. */
export function proposalsText({ proposals = [], search }: RoomResult): string {
  if (!search) return "";
  if (proposals.length === 0)
    return `\nNo staging keeps every hard rule in this room:\n${search.inTheWay
      .map(({ says, remedy }) => `  ‡ ${says}\n    ${remedy}\n`)
      .join("")}`;
  const told = proposals.map(
    ({ title, total, why, differs, moved }, k) =>
      `\n${k + 1}. ${title}: ${total.toFixed(1)} of 100\n${[...why, ...(differs === "" ? [] : [differs])]
        .map((line) => `   ${line}\n`)
        .join("")}${moved.map(({ says }) => `   · ${says}\n`).join("")}`,
  );
  const { total, broken } = search.now;
  const now = `the plan as it stands has ${total.toFixed(1)} of 100${broken.length > 0 ? `, but breaks ${countOf(broken.length, "rule")} that no proposal may` : ""}`;
  const breaks = broken.map(({ says, remedy }) => `  ‡ ${says}\n    ${remedy}\n`).join("");
  return `\nOf ${search.evaluations} stagings (seed ${search.seed}); ${now}${breaks === "" ? "." : ":"}\n${breaks}${told.join("")}`;
}

/** Writes one staging as a plan of its own, whole or not at all. */
export const writePlan = (plan: Plan, path: string): Promise<void> =>
  writeWhole(path, `${JSON.stringify(plan, null, 2)}\n`);
