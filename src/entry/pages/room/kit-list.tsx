import { type ReactNode, useState } from "react";
import type { Kit, Plan } from "#documents/plan";
import { genericKit } from "#kit/generic-kit";
import { ask } from "../data/ask.ts";
import { sayWhy } from "../data/upload.ts";
import { number } from "../words/numbers.ts";
import { distance, type Units } from "../words/units.ts";
import { sayEdit } from "./draft-plan.ts";
import { FigureField, TextField } from "./fields.tsx";

type Kind = "bodies" | "lenses" | "lights" | "microphones" | "sliders" | "stands" | "cards" | "batteries";

const kinds: readonly (readonly [Kind, string])[] = [
  ["bodies", "Bodies"],
  ["lenses", "Lenses"],
  ["lights", "Lights"],
  ["microphones", "Microphones"],
  ["sliders", "Sliders"],
  ["stands", "Stands"],
  ["cards", "Cards"],
  ["batteries", "Batteries"],
];

/** What a thing is, in figures. */
function figuresOf(kind: Kind, thing: Kit[Kind][number], units: Units): string {
  const t = thing as never;
  switch (kind) {
    case "bodies": {
      const { sensor, pixels } = t as Kit["bodies"][number];
      return `${number(sensor[0], 1)} × ${number(sensor[1], 1)} mm, ${pixels[0]} × ${pixels[1]}`;
    }
    case "lenses": {
      const { focal, stop, closeFocus } = t as Kit["lenses"][number];
      return `${focal[0] === focal[1] ? number(focal[0]) : `${number(focal[0])}–${number(focal[1])}`} mm, f/${number(stop, 1)}, from ${distance(closeFocus, units)}`;
    }
    case "lights": {
      const { lux, atMetres, beamDegrees, kelvin, watts } = t as Kit["lights"][number];
      return `${number(lux)} lx at ${distance(atMetres, units)}, ${number(beamDegrees)}°, ${number(kelvin)} K, ${number(watts)} W`;
    }
    case "microphones":
      return (t as Kit["microphones"][number]).pattern;
    case "sliders":
      return `${distance((t as Kit["sliders"][number]).travel, units)} of travel, ${number((t as Kit["sliders"][number]).loadKg)} kg`;
    case "stands":
      return `${distance((t as Kit["stands"][number]).lowest, units)} to ${distance((t as Kit["stands"][number]).highest, units)}`;
    case "cards":
      return `${number((t as Kit["cards"][number]).gigabytes)} GB`;
    case "batteries":
      return `${number((t as Kit["batteries"][number]).wattHours)} Wh`;
  }
}

/** Whether something of the plan stands on it. */
const isUsed = (plan: Plan, id: string): boolean =>
  plan.cameras.some((c) => c.body === id || c.lens === id || c.stand === id) ||
  plan.lights.some((l) => l.light === id || l.stand === id) ||
  plan.microphones.some((m) => m.microphone === id) ||
  plan.slides.some((s) => s.slider === id);

/** The person's own kit: what there is, what to add of the usual, and kept for later sittings. */
export function KitList({ plan, units }: { readonly plan: Plan; readonly units: Units }): ReactNode {
  const { kit } = plan;
  const [told, setTold] = useState("");
  const say = (what: string, next: Kit) => sayEdit({ what, plan: { kit: next } });
  const set = (kind: Kind, what: string, list: readonly Kit[Kind][number][]) =>
    say(what, { ...kit, [kind]: list } as Kit);
  const keep = async () => {
    try {
      await ask("api/keep-kit", { kit });
      setTold("Kept for later sittings on this machine.");
    } catch (error) {
      setTold(sayWhy(error));
    }
  };
  const take = async () => {
    try {
      const own = await ask("api/kit");
      say(own.isOwn ? "your own kit" : "the usual kit", withUsed(plan, own.kit));
      setTold(own.isOwn ? "" : "You have kept no kit yet; this is the usual one.");
    } catch (error) {
      setTold(sayWhy(error));
    }
  };
  return (
    <details className="as-table kit-list">
      <summary>Your kit</summary>
      {kinds.map(([kind, name]) => {
        const list = kit[kind] as readonly Kit[Kind][number][];
        const others = (genericKit[kind] as readonly Kit[Kind][number][]).filter(
          ({ id }) => !list.some((one) => one.id === id),
        );
        return (
          <fieldset className="thing-panel" key={kind}>
            <legend>{name}</legend>
            <ul className="kit-things">
              {list.map((thing) => (
                <li key={thing.id}>
                  <TextField
                    label="Called"
                    value={thing.name}
                    onSay={(called) =>
                      set(
                        kind,
                        `the name of ${thing.name}`,
                        list.map((one) => (one.id === thing.id ? { ...one, name: called } : one)),
                      )
                    }
                  />
                  <span className="quiet tnum">{figuresOf(kind, thing, units)}</span>
                  <FigureField
                    label="Weighs"
                    unit="kg"
                    digits={2}
                    value={(thing as { weightKg?: number }).weightKg ?? null}
                    min={0}
                    max={500}
                    onSay={(weightKg) =>
                      set(
                        kind,
                        `the weight of ${thing.name}`,
                        list.map((one) => (one.id === thing.id ? ({ ...one, weightKg } as typeof one) : one)),
                      )
                    }
                  />
                  {(kind === "cards" || kind === "batteries") && (
                    <FigureField
                      label="Has"
                      unit=""
                      value={(thing as { count: number }).count}
                      min={1}
                      max={99}
                      onSay={(count) =>
                        set(
                          kind,
                          `how many of ${thing.name}`,
                          list.map((one) =>
                            one.id === thing.id ? ({ ...one, count: Math.round(count) } as typeof one) : one,
                          ),
                        )
                      }
                    />
                  )}
                  {kind === "bodies" && (
                    <FigureField
                      label="Writes"
                      unit="Mbit/s"
                      value={(thing as Kit["bodies"][number]).bitRateMbps ?? null}
                      min={0.1}
                      max={10_000}
                      onSay={(bitRateMbps) =>
                        set(
                          kind,
                          `the bit rate of ${thing.name}`,
                          list.map((one) =>
                            one.id === thing.id ? ({ ...one, bitRateMbps } as typeof one) : one,
                          ),
                        )
                      }
                    />
                  )}
                  {!isUsed(plan, thing.id) && (
                    <button
                      type="button"
                      className="link"
                      onClick={() =>
                        set(
                          kind,
                          `leaving ${thing.name} at home`,
                          list.filter((one) => one.id !== thing.id),
                        )
                      }
                    >
                      leave it out
                    </button>
                  )}
                </li>
              ))}
            </ul>
            {others.length > 0 && (
              <div className="field add">
                <label>
                  Add{" "}
                  <select
                    value=""
                    onChange={(event) => {
                      const found = others.find(({ id }) => id === event.target.value);
                      if (found) set(kind, found.name, [...list, found]);
                    }}
                  >
                    <option value="">one by its size and figure</option>
                    {others.map((thing) => (
                      <option key={thing.id} value={thing.id}>
                        {thing.name}
                      </option>
                    ))}
                  </select>
                </label>
              </div>
            )}
          </fieldset>
        );
      })}
      <div className="actions">
        <button type="button" className="link" onClick={() => void keep()}>
          Keep this kit for later sittings
        </button>
        <button type="button" className="link" onClick={() => void take()}>
          Take the kit that I kept
        </button>
        <span role="status">{told}</span>
      </div>
    </details>
  );
}

/** Another kit, with what the plan stands on kept in it. */
function withUsed(plan: Plan, kit: Kit): Kit {
  const next = { ...kit } as Record<string, unknown>;
  for (const [kind] of kinds) {
    const list = kit[kind] as readonly { readonly id: string }[];
    const kept = (plan.kit[kind] as readonly { readonly id: string }[]).filter(
      ({ id }) => isUsed(plan, id) && !list.some((one) => one.id === id),
    );
    next[kind] = [...list, ...kept];
  }
  return next as Kit;
}
