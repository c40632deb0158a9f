import type { ReactNode } from "react";
import type { Plan } from "#documents/plan";
import { useUnits } from "../../words/units.ts";
import { LengthField } from "../panel/fields.tsx";

type Circuit = Plan["mains"]["circuits"][number];

const mm = (metres: number): number => Math.round(metres * 1000) / 1000;

/** Where a circuit has its outlets; without any, cables are led to the nearest wall. */
export function OutletList({
  plan,
  circuit,
  onSay,
}: {
  readonly plan: Plan;
  readonly circuit: Circuit;
  readonly onSay: (outlets: [number, number][]) => void;
}): ReactNode {
  const units = useUnits();
  const outlets = circuit.outlets ?? [];
  const { outline } = plan.room;
  const place = (i: number, at: readonly [number, number]) =>
    onSay(outlets.map((old, j): [number, number] => (i === j ? [at[0], at[1]] : [...old])));
  // In the middle of one wall after the other: from there it is put where it is.
  const next = (): [number, number] => {
    const [a, b] = [
      outline[outlets.length % outline.length]!,
      outline[(outlets.length + 1) % outline.length]!,
    ];
    return [mm((a[0] + b[0]) / 2), mm((a[1] + b[1]) / 2)];
  };
  return (
    <div className="outlets">
      {outlets.map((outlet, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: an outlet is known by its place in the list
        <div className="fields" key={i}>
          <LengthField
            label={`Outlet ${i + 1} across`}
            metres={outlet[0]}
            units={units}
            onSay={(x) => place(i, [x, outlet[1]])}
          />
          <LengthField label="up" metres={outlet[1]} units={units} onSay={(y) => place(i, [outlet[0], y])} />
          <button
            type="button"
            className="link"
            onClick={() => onSay(outlets.toSpliced(i, 1).map(([x, y]) => [x, y]))}
          >
            Take it out
          </button>
        </div>
      ))}
      {outlets.length < 50 && (
        <button
          type="button"
          className="link"
          onClick={() => onSay([...outlets.map(([x, y]): [number, number] => [x, y]), next()])}
        >
          One more outlet
        </button>
      )}
    </div>
  );
}
