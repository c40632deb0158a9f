import type { KitResult } from "#documents/kit-result";
import type { Kit, Plan } from "#documents/plan";
import { genericKit } from "#kit/generic-kit";
import { kitFigures, kitVerdict } from "#kit/kit";
import { roomFigures } from "#room/room";

/** What a plan asks of its kit, with the sentence that opens it. */
export function measureKit(plan: Plan): { result: KitResult; verdict: string } {
  const result = kitFigures(plan, roomFigures(plan).geometry.cables);
  return { result, verdict: kitVerdict(result) };
}

/** Kit by size and figure to begin from. */
export const kitToBeginFrom: Kit = genericKit;
