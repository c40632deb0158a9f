import { type ReactNode, useEffect, useId, useState } from "react";
import { readMoment } from "../words/read-moment.ts";
import { clockTime } from "../words/times.ts";

/** A moment that is written, "1:02.5"; what is none is told and not taken. */
export function MomentField({
  label,
  value,
  onSet,
}: {
  readonly label: string;
  readonly value: number;
  readonly onSet: (seconds: number) => void;
}): ReactNode {
  const id = useId();
  const [draft, setDraft] = useState<string | null>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: another value puts away what was written
  useEffect(() => setDraft(null), [value]);
  const isNone = draft !== null && readMoment(draft) === null;
  const take = () => {
    const wanted = draft === null ? null : readMoment(draft);
    if (wanted === null) return;
    setDraft(null);
    if (wanted !== value) onSet(wanted);
  };
  return (
    <label htmlFor={id}>
      {label}
      <input
        id={id}
        type="text"
        autoComplete="off"
        value={draft ?? clockTime(value, true)}
        aria-invalid={isNone}
        aria-describedby={isNone ? `${id}-none` : undefined}
        onChange={(event) => setDraft(event.target.value)}
        onBlur={take}
        onKeyDown={(event) => {
          if (event.key === "Enter") take();
          else if (event.key === "Escape") setDraft(null);
          else return;
          event.preventDefault();
        }}
      />
      {isNone && (
        <span id={`${id}-none`} role="status">
          Write it as 1:02.5
        </span>
      )}
    </label>
  );
}
