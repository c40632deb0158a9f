import { type ReactNode, useEffect, useId, useState } from "react";
import { number, readNumber } from "../words/numbers.ts";

/** A figure that is said: written, or moved a step by one press. Each step is one change. */
export function Stepped({
  label,
  unit,
  value,
  min,
  max,
  step,
  digits,
  fewer,
  more,
  onSay,
}: {
  readonly label: string;
  readonly unit: string;
  readonly value: number;
  readonly min: number;
  readonly max: number;
  readonly step: number;
  readonly digits: number;
  /** What a step down and a step up do, in a word: "shorter", "longer". */
  readonly fewer: string;
  readonly more: string;
  readonly onSay: (value: number) => void;
}): ReactNode {
  const id = useId();
  const [draft, setDraft] = useState<string | null>(null);
  // What was written goes once the figure is another: it was kept, or taken back.
  // biome-ignore lint/correctness/useExhaustiveDependencies: it is the change of the value that counts
  useEffect(() => setDraft(null), [value]);
  const offer = (wanted: number) => {
    const rounded = Math.round(Math.min(max, Math.max(min, wanted)) * 10 ** digits) / 10 ** digits;
    setDraft(null);
    if (Math.abs(rounded - value) > 1e-9) onSay(rounded);
  };
  const written = () => {
    if (draft === null) return;
    const wanted = readNumber(draft);
    if (wanted === null) setDraft(null);
    else offer(wanted);
  };
  const by = (steps: number) => offer((Math.round(value / step) + steps) * step);
  return (
    <div className="stepped">
      <label htmlFor={id}>{label}</label>
      <span>
        <input
          id={id}
          type="text"
          inputMode="decimal"
          autoComplete="off"
          value={draft ?? number(value, digits)}
          onChange={(event) => setDraft(event.target.value)}
          onBlur={written}
          onKeyDown={(event) => {
            if (event.key === "Enter") written();
            else if (event.key === "Escape") setDraft(null);
            else if (event.key === "ArrowUp") by(1);
            else if (event.key === "ArrowDown") by(-1);
            else return;
            event.preventDefault();
          }}
        />{" "}
        {unit}
        <button
          type="button"
          className="link"
          disabled={value <= min + 1e-9}
          aria-label={`${label}: ${fewer}`}
          onClick={() => by(-1)}
        >
          {fewer}
        </button>
        <button
          type="button"
          className="link"
          disabled={value >= max - 1e-9}
          aria-label={`${label}: ${more}`}
          onClick={() => by(1)}
        >
          {more}
        </button>
      </span>
    </div>
  );
}
