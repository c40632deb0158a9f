import type { KitResult } from "#documents/kit-result";
import type { Plan } from "#documents/plan";
import { lengthWords } from "#science/units/length-words";

type Setup = KitResult["pack"][number];
type Item = Setup["items"][number];
interface Owned {
  readonly id: string;
  readonly name: string;
  readonly weightKg?: number | undefined;
}

const item = (owned: Owned | undefined, count = 1): Item[] =>
  owned ? [{ id: owned.id, name: owned.name, count, weightKg: owned.weightKg ?? null }] : [];

const find = <T extends { readonly id: string }>(list: readonly T[], id: string | undefined): T | undefined =>
  list.find((one) => one.id === id);

/** A stand with a lamp or a boom arm on it is weighed down. Common practice: one sandbag each. */
const sandbagsPerStand = 1;

/** How far a light's cable runs over the floor. */
export interface CableRun {
  /** The placed light. */
  readonly id: string;
  readonly metres: number;
}

/** Slack at both ends, down the stand and at the outlet, metres. Common practice. */
const slack = 2;

/** A metre of three-core mains cable of 1.5 mm², kilograms (makers' sheets of H05VV-F give 0.11 to 0.13; from memory). */
const cableKilograms = 0.12;

/** What to pack, by what it is for. */
export function packList(plan: Plan, cables: readonly CableRun[] = []): Setup[] {
  const { kit } = plan;
  const setups: Setup[] = [];
  const add = (setup: string, items: readonly Item[]): void => {
    if (items.length > 0) setups.push({ setup, items: [...items] });
  };
  for (const camera of plan.cameras) {
    const slide = plan.slides.find((s) => s.camera === camera.id);
    const slider = slide && find(kit.sliders, slide.slider);
    add(`camera ${camera.id}`, [
      ...item(find(kit.bodies, camera.body)),
      ...item(find(kit.lenses, camera.lens)),
      ...item(slider),
      // A rail stands on two.
      ...item(find(kit.stands, camera.stand), slider ? 2 : 1),
    ]);
  }
  let bags = 0;
  for (const placed of plan.lights) {
    const light = find(kit.lights, placed.light);
    const modifier = light?.modifiers.find(({ id }) => id === placed.modifier);
    bags += sandbagsPerStand;
    add(`light ${placed.id}`, [
      ...item(light),
      ...item(modifier && { id: modifier.id, name: modifier.name }),
      ...item(find(kit.stands, placed.stand)),
      ...cableFor(placed.id, cables, plan.units),
      ...(placed.gelMired === 0
        ? []
        : item({
            id: `gel-${placed.id}`,
            name: `gel, ${placed.gelMired > 0 ? "+" : "−"}${Math.abs(placed.gelMired)} mired`,
          })),
    ]);
  }
  bags += plan.microphones.filter(({ standAt }) => standAt !== undefined).length * sandbagsPerStand;
  add(
    "sound",
    plan.microphones.flatMap((placed) => item(find(kit.microphones, placed.microphone))),
  );
  add(
    "cards",
    kit.cards.flatMap((card) => item(card, card.count)),
  );
  add(
    "power",
    kit.batteries.flatMap((battery) => item(battery, battery.count)),
  );
  add("other", [
    ...kit.others.flatMap((other) => item(other, other.count)),
    ...(bags > 0 ? item({ id: "sandbags", name: "sandbags" }, bags) : []),
  ]);
  return setups;
}

/** The cable of a light, long enough for its run with slack at both ends, rounded up to what can be bought: whole metres, or five feet. */
function cableFor(id: string, cables: readonly CableRun[], units: Plan["units"]): Item[] {
  const run = cables.find((cable) => cable.id === id);
  if (!run) return [];
  const step = units === "feet" ? 5 * 0.3048 : 1;
  const metres = Math.ceil((run.metres + slack) / step - 1e-9) * step;
  const said = units === "feet" ? lengthWords(metres, units) : `${Math.round(metres)} m`;
  return item({
    id: `cable-${id}`,
    name: `mains cable, ${said} or longer`,
    weightKg: metres * cableKilograms,
  });
}

/** What the pack weighs, and how many things nobody gave a weight of. Cards weigh nothing. */
export function packWeight(pack: readonly Setup[]): KitResult["weight"] {
  let kilograms = 0;
  let unknown = 0;
  for (const { setup, items } of pack)
    for (const { weightKg, count } of items)
      if (weightKg !== null) kilograms += weightKg * count;
      else if (setup !== "cards") unknown += count;
  return { kilograms, unknown };
}
