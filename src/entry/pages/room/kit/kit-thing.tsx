import type { ReactNode } from "react";
import type { Units } from "../../words/units.ts";
import { ChoiceField, FigureField, LengthField, ListField, TextField } from "../panel/fields.tsx";
import type { KitField } from "./kit-field.ts";
import { fieldsOf, type Kind, type Thing } from "./kit-fields.ts";
import { figuresOf } from "./kit-things.ts";
import { ModifierList } from "./modifier-list.tsx";

/** One piece of kit: its name and figures, unfolded to type each of them. */
export function KitThing<K extends Kind>({
  kind,
  thing,
  used,
  units,
  onSay,
  onDouble,
  onRemove,
}: {
  readonly kind: K;
  readonly thing: Thing<K>;
  /** Who of the plan stands on it; "" for nobody. */
  readonly used: string;
  readonly units: Units;
  readonly onSay: (what: string, thing: Thing<K>) => void;
  readonly onDouble: () => void;
  readonly onRemove: () => void;
}): ReactNode {
  return (
    <details className="kit-thing">
      <summary>
        <span className="name">{thing.name}</span>{" "}
        <span className="quiet tnum">{figuresOf(kind, thing, units)}</span>
      </summary>
      <div className="fields">
        <TextField
          label="Called"
          value={thing.name}
          onSay={(name) => onSay(`the name of ${thing.name}`, { ...thing, name })}
        />
        {fieldsOf(kind, thing).map((field) => (
          <TypedField
            key={field.label}
            field={field}
            thing={thing}
            units={units}
            onSay={(next) => onSay(`${field.label.toLowerCase()} of ${thing.name}`, next)}
          />
        ))}
      </div>
      {kind === "lights" && (
        <ModifierList
          light={thing as Thing<"lights">}
          units={units}
          onSay={(what, light) => onSay(what, light as Thing<K>)}
        />
      )}
      <div className="actions">
        <button type="button" className="link" onClick={onDouble}>
          One more like it
        </button>
        {used === "" ? (
          <button type="button" className="link" onClick={onRemove}>
            Leave it out
          </button>
        ) : (
          <span className="quiet">In use by {used}.</span>
        )}
      </div>
    </details>
  );
}

function TypedField<T>({
  field,
  thing,
  units,
  onSay,
}: {
  readonly field: KitField<T>;
  readonly thing: T;
  readonly units: Units;
  readonly onSay: (thing: T) => void;
}): ReactNode {
  if (field.kind === "choice")
    return (
      <ChoiceField
        label={field.label}
        value={field.get(thing)}
        options={field.options}
        onSay={(value) => onSay(field.set(thing, value))}
      />
    );
  if (field.kind === "list")
    return (
      <ListField
        label={field.label}
        unit={field.unit}
        values={field.get(thing)}
        bounds={field.bounds}
        onSay={(values) => onSay(field.set(thing, values))}
      />
    );
  const [min, max] = field.bounds(thing);
  if (field.kind === "length")
    return (
      <LengthField
        label={field.label}
        metres={field.get(thing)}
        units={units}
        min={min}
        max={max}
        onSay={(metres) => onSay(field.set(thing, metres))}
      />
    );
  return (
    <FigureField
      label={field.label}
      unit={field.unit}
      digits={field.digits ?? 0}
      value={field.get(thing)}
      min={min}
      max={max}
      hint="not known"
      onSay={(value) => onSay(field.set(thing, value))}
    />
  );
}
