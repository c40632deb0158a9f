import type { ReactNode } from "react";
import type { Units } from "../../words/units.ts";
import { FigureField, LengthField, TextField } from "../panel/fields.tsx";
import type { Thing } from "./kit-fields.ts";

type Light = Thing<"lights">;
type Modifier = Light["modifiers"][number];

/** What a light can shine through: its loss on the axis, and the size of the face that it makes. */
export function ModifierList({
  light,
  units,
  onSay,
}: {
  readonly light: Light;
  readonly units: Units;
  readonly onSay: (what: string, light: Light) => void;
}): ReactNode {
  const set = (modifiers: Modifier[]) => onSay(`what ${light.name} shines through`, { ...light, modifiers });
  const change = (id: string, part: Partial<Modifier>) =>
    set(light.modifiers.map((one) => (one.id === id ? { ...one, ...part } : one)));
  const add = () => {
    let n = light.modifiers.length + 1;
    while (light.modifiers.some(({ id }) => id === `own-${n}`)) n++;
    set([
      ...light.modifiers,
      { id: `own-${n}`, name: "softbox", lossStops: 2, size: [0.6, 0.6], beamDegrees: 110 },
    ]);
  };
  return (
    <>
      {light.modifiers.map((modifier) => (
        <div className="fields" key={modifier.id}>
          <TextField
            label="Shines through"
            value={modifier.name}
            onSay={(name) => change(modifier.id, { name })}
          />
          <FigureField
            label="Loses"
            unit="stops"
            digits={1}
            value={modifier.lossStops}
            min={0}
            max={10}
            onSay={(lossStops) => change(modifier.id, { lossStops })}
          />
          <LengthField
            label="Across"
            metres={modifier.size[0]}
            units={units}
            min={0.01}
            max={20}
            onSay={(w) => change(modifier.id, { size: [w, modifier.size[1]] })}
          />
          <LengthField
            label="Up"
            metres={modifier.size[1]}
            units={units}
            min={0.01}
            max={20}
            onSay={(h) => change(modifier.id, { size: [modifier.size[0], h] })}
          />
          <FigureField
            label="Beam"
            unit="°"
            value={modifier.beamDegrees ?? null}
            hint="as bare"
            min={1}
            max={360}
            onSay={(beamDegrees) => change(modifier.id, { beamDegrees })}
          />
          <button
            type="button"
            className="link"
            onClick={() => set(light.modifiers.filter(({ id }) => id !== modifier.id))}
          >
            Without it
          </button>
        </div>
      ))}
      <div className="actions">
        <button type="button" className="link" onClick={add}>
          Something to shine through
        </button>
      </div>
    </>
  );
}
