import { type ReactNode, useEffect, useId, useState } from "react";
import { lengthFromText } from "#science/units/length-words";
import { number, readNumber } from "../../words/numbers.ts";
import { distance, type Units } from "../../words/units.ts";
import { readList } from "./read-list.ts";

/** Something that can be typed; what cannot be read, or is out of bounds, is put back, and the bounds are told. */
function Typed({
  label,
  shown,
  hint,
  bounds,
  onRead,
}: {
  readonly label: string;
  readonly shown: string;
  readonly hint?: string | undefined;
  /** What can be typed, in one sentence; shown while the field is typed in, and when something was put back. */
  readonly bounds: string;
  readonly onRead: (text: string) => boolean;
}): ReactNode {
  const id = useId();
  const [isPutBack, setPutBack] = useState(false);
  const [draft, setDraft] = useState<string | null>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: it is the change of what is shown that counts
  useEffect(() => setDraft(null), [shown]);
  const read = () => {
    if (draft === null) return;
    setPutBack(draft.trim() !== shown && !onRead(draft.trim()));
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
        aria-describedby={`${id}-bounds`}
        value={draft ?? shown}
        onChange={(event) => {
          setDraft(event.target.value);
          setPutBack(false);
        }}
        onBlur={read}
        onKeyDown={(event) => {
          if (event.key === "Enter") read();
          else if (event.key === "Escape") setDraft(null);
          else return;
          event.preventDefault();
        }}
      />
      <span id={`${id}-bounds`} className={isPutBack ? "bounds put-back" : "bounds"}>
        {bounds}
      </span>
      <span role="status" className="unseen">
        {isPutBack ? `Put back. ${bounds}` : ""}
      </span>
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
      bounds={
        min <= -1000 && max >= 1000
          ? "A length, like 2.4 m or 7 ft 10."
          : `From ${distance(min, units)} to ${distance(max, units)}.`
      }
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

/** A bound as it is said: with as few decimals as it has. */
const bound = (value: number): string =>
  number(value, Number.isInteger(value) ? 0 : Number.isInteger(value * 10) ? 1 : 2);

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
      bounds={`From ${bound(min)} to ${bound(max)}${unit === "" ? "" : unit.startsWith("°") || unit === "%" ? ` ${unit}`.replace(" °", "°") : ` ${unit}`}.`}
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

/** Several figures, written with spaces between. */
export function ListField({
  label,
  unit,
  values,
  bounds,
  onSay,
}: {
  readonly label: string;
  readonly unit: string;
  readonly values: readonly number[];
  readonly bounds: readonly [number, number];
  readonly onSay: (values: number[]) => void;
}): ReactNode {
  return (
    <Typed
      label={unit ? `${label}, ${unit}` : label}
      hint="none"
      bounds={`Each from ${bound(bounds[0])} to ${bound(bounds[1])}, with spaces between.`}
      shown={values
        .map((value) => number(value, Number.isInteger(value) ? 0 : 3).replaceAll(/[\s\u00a0\u202f]/g, ""))
        .join(" ")}
      onRead={(text) => {
        const read = readList(text, bounds);
        if (!read) return false;
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
      bounds="Up to 80 letters."
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
