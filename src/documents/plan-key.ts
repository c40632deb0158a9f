import type { Plan } from "./plan.ts";

/**
 * Names the content of a plan, in page and program alike: 16 hexadecimal digits. The order of its keys is of no matter.
 * It tells whether a picture was made of this plan; it keeps nobody from making two of one name.
 *
 * Source: FNV-1a, 64 bits (RFC 9923).
 *
 * @param plan - As read or said.
 */
export function planKey(plan: Plan): string {
  let hash = 0xcbf29ce484222325n;
  for (const unit of new TextEncoder().encode(JSON.stringify(ordered(plan))))
    hash = BigInt.asUintN(64, (hash ^ BigInt(unit)) * 0x100000001b3n);
  return hash.toString(16).padStart(16, "0");
}

function ordered(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(ordered);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .filter(([, one]) => one !== undefined)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([name, one]) => [name, ordered(one)]),
  );
}
