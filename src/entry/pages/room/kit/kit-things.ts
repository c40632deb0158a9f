import type { Kit, Plan } from "#documents/plan";
import { genericKit } from "#kit/generic-kit";
import { counted, number } from "../../words/numbers.ts";
import { distance, type Units } from "../../words/units.ts";
import type { Kind, Thing } from "./kit-fields.ts";

/** Every kind of kit: its heading, and what one of it is called. */
export const kinds: readonly { readonly kind: Kind; readonly many: string; readonly one: string }[] = [
  { kind: "bodies", many: "Bodies", one: "body" },
  { kind: "lenses", many: "Lenses", one: "lens" },
  { kind: "lights", many: "Lights", one: "light" },
  { kind: "microphones", many: "Microphones", one: "microphone" },
  { kind: "sliders", many: "Sliders", one: "slider" },
  { kind: "stands", many: "Stands", one: "stand" },
  { kind: "cards", many: "Cards", one: "card" },
  { kind: "batteries", many: "Batteries", one: "battery" },
];

/** The list of one kind. */
export const listOf = <K extends Kind>(kit: Kit, kind: K): readonly Thing<K>[] =>
  kit[kind] as readonly Thing<K>[];

/** A kit with another list of one kind. */
export const withList = <K extends Kind>(kit: Kit, kind: K, list: readonly Thing<K>[]): Kit =>
  ({ ...kit, [kind]: [...list] }) as Kit;

/** A name, or an id, that nothing of the list has: the word, or the word with a number. */
const free = (word: string, taken: readonly string[], between: string): string => {
  let found = word;
  for (let n = 2; taken.includes(found); n++) found = `${word}${between}${n}`;
  return found;
};

/** The same once more, with an id and a name of its own. */
export function another<K extends Kind>(kit: Kit, kind: K, thing: Thing<K>, name = thing.name): Thing<K> {
  const all = kinds.flatMap((k) => listOf(kit, k.kind).map((one) => one.id));
  const names = listOf(kit, kind).map((one) => one.name);
  return {
    ...thing,
    id: free(`own-${kind}`, all, "-"),
    name: free(name, names, " "),
  };
}

/** One to begin with: middling figures of its kind, each to be typed over from its sheet. */
export function oneMore<K extends Kind>(kit: Kit, kind: K): Thing<K> {
  const like = listOf(genericKit, kind)[0]!;
  const word = kinds.find((k) => k.kind === kind)!.one;
  const fits = kind === "batteries" ? { fits: kit.bodies.map(({ id }) => id) } : {};
  return another(kit, kind, { ...like, ...fits }, `my ${word}`);
}

/** Who of the plan stands on it: "camera A", "the key light"; "" for nobody. */
export function usedBy(plan: Plan, id: string): string {
  const users = [
    ...plan.cameras
      .filter((c) => c.body === id || c.lens === id || c.stand === id)
      .map((c) => `camera ${c.id}`),
    ...plan.lights
      .filter((l) => l.light === id || l.stand === id)
      .map((l) => (l.role === "other" ? `light ${l.id}` : `the ${l.role} light`)),
    ...plan.microphones.filter((m) => m.microphone === id).map((m) => `the ${m.role}`),
    ...plan.slides.filter((s) => s.slider === id).map((s) => `the slide of camera ${s.camera}`),
  ];
  return users.join(", ");
}

/** Another kit, with what the plan stands on kept in it. */
export function withUsed(plan: Plan, kit: Kit): Kit {
  return kinds.reduce<Kit>((next, { kind }) => {
    const list = listOf(kit, kind);
    const kept = listOf(plan.kit, kind).filter(
      ({ id }) => usedBy(plan, id) !== "" && !list.some((one) => one.id === id),
    );
    return withList(next, kind, [...list, ...kept]);
  }, kit);
}

/** What a thing is, in figures. */
export function figuresOf<K extends Kind>(kind: K, thing: Thing<K>, units: Units): string {
  const say: { readonly [Of in Kind]: (thing: Thing<Of>) => string } = {
    bodies: ({ sensor, pixels }) =>
      `${number(sensor[0], 1)} × ${number(sensor[1], 1)} mm, ${pixels[0]} × ${pixels[1]}`,
    lenses: ({ focal, stop, closeFocus }) =>
      `${focal[0] === focal[1] ? number(focal[0]) : `${number(focal[0])}–${number(focal[1])}`} mm, f/${number(stop, 1)}, from ${distance(closeFocus, units)}`,
    lights: ({ lux, atMetres, beamDegrees, kelvin, watts }) =>
      `${number(lux)} lx at ${distance(atMetres, units)}, ${number(beamDegrees)}°, ${number(kelvin)} K, ${number(watts)} W`,
    microphones: ({ pattern }) => pattern,
    sliders: ({ travel, loadKg }) => `${distance(travel, units)} of travel, ${number(loadKg)} kg`,
    stands: ({ lowest, highest }) => `${distance(lowest, units)} to ${distance(highest, units)}`,
    cards: ({ gigabytes, count }) => `${number(gigabytes)} GB, ${counted(count, "card")}`,
    batteries: ({ wattHours, count }) => `${number(wattHours)} Wh, ${counted(count, "battery", "batteries")}`,
  };
  return say[kind](thing as never);
}
