import { type ReactNode, useEffect, useId, useState } from "react";
import { lengthFromText } from "#science/units/length-words";
import { number, readNumber } from "../words/numbers.ts";
import { distance, type Units } from "../words/units.ts";

/** A figure that can be typed; what is no figure, or out of range, is put back. */
function Typed({
  label,
  shown,
  hint,
  onRead,
}: {
  readonly label: string;
  readonly shown: string;
  readonly hint?: string | undefined;
  readonly onRead: (text: string) => boolean;
}): ReactNode {
  const id = useId();
  const [draft, setDraft] = useState<string | null>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: it is the change of what is shown that counts
  useEffect(() => setDraft(null), [shown]);
  const read = () => {
    if (draft !== null && draft.trim() !== shown) onRead(draft.trim());
    setDraft(null);
  };
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        type="text"
        autoComplete="off"
        placeholder={hint}
        value={draft ?? shown}
        onChange={(event) => setDraft(event.target.value)}
        onBlur={read}
        onKeyDown={(event) => {
          if (event.key === "Enter") read();
          else if (event.key === "Escape") setDraft(null);
          else return;
          event.preventDefault();
        }}
      />
    </div>
  );
}

const range = (value: number | null, min: number, max: number): value is number =>
  value !== null && value >= min && value <= max;

/** A length, typed in any unit that people write: 2.4, 85 cm, 8'6". */
export function LengthField({
  label,
  metres,
  units,
  min = -1000,
  max = 1000,
  hint,
  onSay,
}: {
  readonly label: string;
  readonly metres: number | null;
  readonly units: Units;
  readonly min?: number;
  readonly max?: number;
  readonly hint?: string;
  readonly onSay: (metres: number) => void;
}): ReactNode {
  return (
    <Typed
      label={label}
      hint={hint}
      shown={metres === null ? "" : distance(metres, units)}
      onRead={(text) => {
        // A bare figure is in the units that the field shows.
        const bare = readNumber(text);
        const read =
          bare !== null
            ? units === "metric"
              ? bare
              : bare * 0.3048
            : lengthFromText(text.replace("½", ".5"));
        if (!range(read, min, max)) return false;
        onSay(Math.round(read * 1000) / 1000);
        return true;
      }}
    />
  );
}

/** A figure with its unit. Empty where it is not said: then the hint tells what is used. */
export function FigureField({
  label,
  value,
  unit,
  digits = 0,
  min,
  max,
  hint,
  onSay,
}: {
  readonly label: string;
  readonly value: number | null;
  readonly unit: string;
  readonly digits?: number;
  readonly min: number;
  readonly max: number;
  readonly hint?: string;
  readonly onSay: (value: number) => void;
}): ReactNode {
  return (
    <Typed
      label={unit ? `${label}, ${unit}` : label}
      hint={hint}
      shown={value === null ? "" : number(value, digits)}
      onRead={(text) => {
        const read = readNumber(text.replace(/[^\d.,\-−'’\s]+$/u, ""));
        if (!range(read, min, max)) return false;
        onSay(read);
        return true;
      }}
    />
  );
}

/** Words. */
export function TextField({
  label,
  value,
  onSay,
}: {
  readonly label: string;
  readonly value: string;
  readonly onSay: (value: string) => void;
}): ReactNode {
  return (
    <Typed
      label={label}
      shown={value}
      onRead={(text) => {
        if (text === "" || text.length > 80) return false;
        onSay(text);
        return true;
      }}
    />
  );
}

/** One of several. */
export function ChoiceField({
  label,
  value,
  options,
  onSay,
}: {
  readonly label: string;
  readonly value: string;
  readonly options: readonly (readonly [string, string])[];
  readonly onSay: (value: string) => void;
}): ReactNode {
  const id = useId();
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <select id={id} value={value} onChange={(event) => onSay(event.target.value)}>
        {options.some(([key]) => key === value) ? null : (
          <option value={value}>{value === "" ? "–" : value}</option>
        )}
        {options.map(([key, words]) => (
          <option key={key} value={key}>
            {words}
          </option>
        ))}
      </select>
    </div>
  );
}
