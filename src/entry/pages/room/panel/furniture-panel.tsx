import type { ReactNode } from "react";
import { turnedBy } from "#room/plan-edits";
import { sayEdit } from "../draft-plan.ts";
import { ChoiceField, FigureField, LengthField, TextField } from "./fields.tsx";
import { type OfThing, Panel, PlaceFields, say, TakeOut } from "./panel.tsx";

/** Where a box stands, how big it is, and whether it shines. */
export function FurniturePanel({ plan, id, units }: Omit<OfThing, "scene">): ReactNode {
  const piece = plan.room.furniture.find((f) => f.id === id);
  if (!piece) return null;
  const change = (what: string, part: Partial<typeof piece>) =>
    say(`the ${what} of ${piece.name}`, {
      room: {
        ...plan.room,
        furniture: plan.room.furniture.map((f) => (f.id === id ? { ...f, ...part } : f)),
      },
    });
  const sized = (i: 0 | 1 | 2, metres: number) => {
    const next: [number, number, number] = [piece.size[0], piece.size[1], piece.size[2]];
    next[i] = metres;
    change("size", { size: next });
  };
  return (
    <Panel name={piece.name} acts={<TakeOut plan={plan} id={id} />}>
      <TextField label="Called" value={piece.name} onSay={(name) => change("name", { name })} />
      <PlaceFields plan={plan} id={id} units={units} />
      <FigureField
        label="Turned"
        unit="°"
        value={piece.heading}
        min={-720}
        max={720}
        onSay={(degrees) => sayEdit(turnedBy(plan, id, degrees - piece.heading))}
      />
      <LengthField
        label="Wide"
        metres={piece.size[0]}
        units={units}
        min={0.01}
        max={100}
        onSay={(m) => sized(0, m)}
      />
      <LengthField
        label="Deep"
        metres={piece.size[1]}
        units={units}
        min={0.01}
        max={100}
        onSay={(m) => sized(1, m)}
      />
      <LengthField
        label="High"
        metres={piece.size[2]}
        units={units}
        min={0.01}
        max={100}
        onSay={(m) => sized(2, m)}
      />
      <LengthField
        label="Off the floor"
        metres={piece.base}
        units={units}
        min={0}
        max={50}
        onSay={(base) => change("place", { base })}
      />
      <ChoiceField
        label="Shines back"
        value={piece.glossy ? "yes" : "no"}
        options={[
          ["no", "no"],
          ["yes", "yes, like glass"],
        ]}
        onSay={(glossy) => change("face", { glossy: glossy === "yes" })}
      />
    </Panel>
  );
}
