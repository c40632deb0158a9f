import type { ReactNode } from "react";
import type { Plan } from "#documents/plan";
import { movedTo, placeOf, without } from "#room/plan-edits";
import type { Scene } from "#room/scene";
import type { Units } from "../../words/units.ts";
import { sayEdit } from "../draft-plan.ts";
import { LengthField } from "./fields.tsx";

/** What every panel of one thing is given. */
export interface OfThing {
  readonly plan: Plan;
  readonly scene: Scene;
  readonly id: string;
  readonly units: Units;
}

/** Says some parts of the plan. */
export const say = (what: string, part: Partial<Plan>): void => sayEdit({ what, plan: part });

/** Kit to choose from, by name. */
export const named = (
  list: readonly { readonly id: string; readonly name: string }[],
): (readonly [string, string])[] => list.map(({ id, name }) => [id, name]);

/** Where a thing stands on the floor, typed. */
export function PlaceFields({ plan, id, units }: Omit<OfThing, "scene">): ReactNode {
  const at = placeOf(plan, id);
  if (!at) return null;
  return (
    <>
      <LengthField
        label="From the plan’s left"
        metres={at[0]}
        units={units}
        onSay={(x) => sayEdit(movedTo(plan, id, [x, at[1]]))}
      />
      <LengthField
        label="From its lower edge"
        metres={at[1]}
        units={units}
        onSay={(y) => sayEdit(movedTo(plan, id, [at[0], y]))}
      />
    </>
  );
}

/** Fields under a name, and what can be done beneath them. */
export function Panel({
  name,
  children,
  acts,
}: {
  readonly name: string;
  readonly children: ReactNode;
  readonly acts?: ReactNode;
}): ReactNode {
  return (
    <fieldset className="thing-panel">
      <legend>{name}</legend>
      <div className="fields">{children}</div>
      {acts && <div className="actions">{acts}</div>}
    </fieldset>
  );
}

/** Takes a thing out of the plan. */
export function TakeOut({ plan, id }: Pick<OfThing, "plan" | "id">): ReactNode {
  return (
    <button type="button" className="link" onClick={() => sayEdit(without(plan, id))}>
      Take it out
    </button>
  );
}
