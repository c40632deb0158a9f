import type { ReactNode } from "react";
import { ChoiceField, FigureField, LengthField } from "./fields.tsx";
import { named, type OfThing, Panel, PlaceFields, say, TakeOut } from "./panel.tsx";

/** Where a light stands, what it is, and what it shines through. */
export function LightPanel({ plan, id, units }: Omit<OfThing, "scene">): ReactNode {
  const light = plan.lights.find((l) => l.id === id);
  if (!light) return null;
  const kit = plan.kit.lights.find((l) => l.id === light.light);
  const change = (what: string, part: Partial<typeof light>, ...forget: (keyof typeof light)[]) => {
    const next = { ...light, ...part };
    for (const key of forget) delete next[key];
    say(`the ${what} of light ${id}`, { lights: plan.lights.map((l) => (l.id === id ? next : l)) });
  };
  return (
    <Panel
      name={light.role === "other" ? `Light ${id}` : `The ${light.role} light`}
      acts={
        <>
          {light.aim && (
            <button type="button" className="link" onClick={() => change("aim", {}, "aim")}>
              Aim it at the face
            </button>
          )}
          <TakeOut plan={plan} id={id} />
        </>
      }
    >
      <PlaceFields plan={plan} id={id} units={units} />
      <LengthField
        label="Height"
        metres={light.height}
        units={units}
        min={0}
        max={20}
        onSay={(height) => change("height", { height })}
      />
      <ChoiceField
        label="Light"
        value={light.light}
        options={named(plan.kit.lights)}
        onSay={(next) => change("kind", { light: next }, "modifier", "kelvin")}
      />
      <ChoiceField
        label="Is the"
        value={light.role}
        options={(["key", "fill", "hair", "background", "other"] as const).map(
          (role) => [role, role] as const,
        )}
        onSay={(role) => change("part", { role: role as typeof light.role })}
      />
      <ChoiceField
        label="Through"
        value={light.modifier ?? ""}
        options={[["", "nothing"], ...named(kit?.modifiers ?? [])]}
        onSay={(modifier) =>
          modifier === "" ? change("modifier", {}, "modifier") : change("modifier", { modifier })
        }
      />
      <FigureField
        label="Dimmed to"
        unit="%"
        value={light.dim * 100}
        min={0}
        max={100}
        onSay={(dim) => change("level", { dim: dim / 100 })}
      />
      <FigureField
        label="Colour"
        unit="K"
        value={light.kelvin ?? kit?.kelvin ?? null}
        min={1000}
        max={20_000}
        onSay={(kelvin) => change("colour", { kelvin })}
      />
      <FigureField
        label="Gel"
        unit="mired"
        value={light.gelMired}
        min={-500}
        max={500}
        onSay={(gelMired) => change("gel", { gelMired })}
      />
    </Panel>
  );
}
