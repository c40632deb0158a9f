import type { Contradiction } from "#documents/room-result";

/** Two things of a plan that cannot both be true, in words. */
export const contradiction = (
  code: string,
  between: [string, string],
  says: string,
  remedy: string,
): Contradiction => ({ code: `plan.${code}`, between, says, remedy });
