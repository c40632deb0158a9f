import { z } from "zod";
import { findingSchema } from "./finding.ts";

/*
 * What a plan asks of its kit: how long cards and batteries last over the day, what the circuits bear, what to pack.
 * Minutes are minutes of the day's plan, counted from its start; null: not to be had.
 */

/** A change of card or battery. */
const swapSchema = z.object({
  what: z.enum(["card", "battery"]),
  /** Minutes from the start of the day. */
  at: z.number(),
  /** Clock time, where hours are said. */
  clock: z.string().nullable(),
  /** Before this block, or inside it. */
  block: z.string(),
  inBreak: z.boolean(),
});
export type KitSwap = z.infer<typeof swapSchema>;

const storeSchema = z.object({
  /** How long one lasts, minutes, a margin taken off. */
  minutesEach: z.number(),
  has: z.number().int(),
  needs: z.number().int(),
});

export const kitResultSchema = z.object({
  day: z.object({
    /** False: no blocks are said, the hours are taken as one. */
    isSaid: z.boolean(),
    minutes: z.number(),
    recordedMinutes: z.number(),
    blocks: z.array(
      z.object({ name: z.string(), from: z.number(), to: z.number(), breakMinutes: z.number() }),
    ),
  }),
  cameras: z.array(
    z.object({
      id: z.string(),
      body: z.string(),
      mbps: z.number().nullable(),
      gigabytesPerHour: z.number().nullable(),
      recordedGigabytes: z.number().nullable(),
      cards: storeSchema.extend({ names: z.array(z.string()), hours: z.number() }).nullable(),
      battery: storeSchema.extend({ name: z.string(), watts: z.number() }).nullable(),
      onMains: z.boolean(),
      swaps: z.array(swapSchema),
    }),
  ),
  /** Lights that run from batteries. */
  lights: z.array(
    z.object({
      id: z.string(),
      watts: z.number(),
      battery: storeSchema.extend({ name: z.string() }),
    }),
  ),
  circuits: z.array(
    z.object({
      id: z.string(),
      name: z.string(),
      amperes: z.number(),
      /** What is on it. */
      loads: z.array(z.object({ id: z.string(), watts: z.number(), amperes: z.number() })),
      watts: z.number(),
      drawn: z.number(),
      /** Drawn over rated. */
      share: z.number(),
      /** Watts that still fit under the margin. */
      spareWatts: z.number(),
    }),
  ),
  /** Loads on the mains that no circuit is said for. */
  unassigned: z.array(z.object({ id: z.string(), watts: z.number(), amperes: z.number() })),
  pack: z.array(
    z.object({
      /** For what: "camera A", "light key", "sound", "power". */
      setup: z.string(),
      items: z.array(
        z.object({
          id: z.string(),
          name: z.string(),
          count: z.number().int(),
          weightKg: z.number().nullable(),
        }),
      ),
    }),
  ),
  weight: z.object({ kilograms: z.number(), unknown: z.number().int() }),
  cautions: z.array(z.object({ code: z.string(), says: z.string() })),
  findings: z.array(findingSchema),
});
export type KitResult = z.infer<typeof kitResultSchema>;

/** Ends every caution, so that one that is read alone defers too. */
export const cautionsEnd = "Local codes and licensed practice decide.";

/** Cautions that stand together, a line each: what ends them all is said once, after them. */
export function cautionsTogether(cautions: KitResult["cautions"]): string[] {
  const own = cautions.map(({ says }) => says.replace(` ${cautionsEnd}`, ""));
  return own.length > 0 ? [...own, cautionsEnd] : [];
}
