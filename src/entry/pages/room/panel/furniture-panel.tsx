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
      {(["Wide", "Deep", "High"] as const).map((label, i) => (
        <LengthField
          key={label}
          label={label}
          metres={piece.size[i]!}
          units={units}
          min={0.01}
          max={100}
          onSay={(metres) => change("size", { size: piece.size.with(i, metres) as typeof piece.size })}
        />
      ))}
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
