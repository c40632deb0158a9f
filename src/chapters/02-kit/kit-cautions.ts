import { cautionsEnd, type KitResult } from "#documents/kit-result";
import type { Plan } from "#documents/plan";

/** Batteries above this are carried by air with the carrier's leave alone (IATA rules for lithium cells; from memory). */
const airWattHours = 100;
/** A boom that hangs over somebody. Head's axis to capsule on the plan, metres. */
const overHead = 0.5;

/** What can hurt in this plan. Never advice on wiring. */
export function cautionsOf(
  plan: Plan,
  { circuits, unassigned }: Pick<KitResult, "circuits" | "unassigned">,
): KitResult["cautions"] {
  const cautions: KitResult["cautions"] = [];
  const say = (code: string, says: string): void => {
    cautions.push({ code: `kit.caution-${code}`, says: `${says} ${cautionsEnd}` });
  };
  const lights = plan.lights.map((placed) => ({
    placed,
    light: plan.kit.lights.find(({ id }) => id === placed.light),
  }));
  const onMains = unassigned.length > 0 || circuits.some(({ loads }) => loads.length > 0);
  if (onMains)
    say(
      "mains",
      "Mains: know which outlets share a breaker, keep long runs under four fifths of its rating, unroll extension reels wholly, and plug into a residual-current device.",
    );
  if (lights.length > 0 || plan.microphones.some(({ standAt }) => standAt))
    say(
      "stands",
      "Stands: a sandbag on the leg under the load, the largest leg towards it, and nothing raised that has not been locked.",
    );
  const hot = lights.filter(({ light }) => light?.hot);
  if (hot.length > 0)
    say(
      "hot",
      `Hot lamps (${hot.map(({ placed }) => placed.id).join(", ")}): keep cloth, gels and curtains well away, let them cool before they are touched, and never leave them alone.`,
    );
  if (onMains)
    say(
      "cables",
      "Cables: along the walls and taped down or under a mat where people walk, with slack at the foot of every stand.",
    );
  if (plan.kit.batteries.length > 0) {
    const large = plan.kit.batteries.filter(({ wattHours }) => wattHours > airWattHours);
    say(
      "lithium",
      `Lithium batteries: covered contacts, out of the sun, never charged unwatched${large.length > 0 ? `; ${large.map(({ name }) => name).join(", ")} above ${airWattHours} Wh need the carrier's leave on aircraft` : ""}.`,
    );
  }
  const booms = plan.microphones.filter(({ role }) => role === "boom");
  const over = booms.some(
    ({ at }) => !at || Math.hypot(at[0] - plan.sitter.at[0], at[1] - plan.sitter.at[1]) < overHead,
  );
  if (over)
    say(
      "boom",
      "The boom hangs over a head: a safety line on the microphone, a counterweight on the arm, and the knuckle tight before anybody sits down.",
    );
  return cautions;
}
