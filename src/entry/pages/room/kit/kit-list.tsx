import { type ReactNode, useState } from "react";
import type { Kit, Plan } from "#documents/plan";
import { genericKit } from "#kit/generic-kit";
import { ask } from "../../data/ask.ts";
import { sayWhy } from "../../data/upload.ts";
import type { Units } from "../../words/units.ts";
import { sayEdit } from "../draft-plan.ts";
import type { Kind } from "./kit-fields.ts";
import { KitThing } from "./kit-thing.tsx";
import { another, kinds, listOf, oneMore, usedBy, withList, withUsed } from "./kit-things.ts";

/** The person's own kit: what there is, typed from its sheets, and kept for later sittings. */
export function KitList({ plan, units }: { readonly plan: Plan; readonly units: Units }): ReactNode {
  const [told, setTold] = useState("");
  const say = (what: string, kit: Kit) => sayEdit({ what: what.slice(0, 118), plan: { kit } });
  const keep = async () => {
    try {
      await ask("api/keep-kit", { kit: plan.kit });
      setTold("Kept for later sittings on this machine.");
    } catch (error) {
      setTold(sayWhy(error));
    }
  };
  const take = async () => {
    try {
      const own = await ask("api/kit");
      say(own.isOwn ? "your own kit" : "the usual kit", withUsed(plan, own.kit));
      setTold(own.isOwn ? "" : "You have kept no kit yet; this is the usual one.");
    } catch (error) {
      setTold(sayWhy(error));
    }
  };
  return (
    <details className="as-table kit-list">
      <summary>Your kit</summary>
      {kinds.map(({ kind, many, one }) => (
        <KitOfKind key={kind} kind={kind} many={many} one={one} plan={plan} units={units} say={say} />
      ))}
      <div className="actions">
        <button type="button" className="link" onClick={() => void keep()}>
          Keep this kit for later sittings
        </button>
        <button type="button" className="link" onClick={() => void take()}>
          Take the kit that I kept
        </button>
        <span role="status">{told}</span>
      </div>
    </details>
  );
}

function KitOfKind<K extends Kind>({
  kind,
  many,
  one,
  plan,
  units,
  say,
}: {
  readonly kind: K;
  readonly many: string;
  readonly one: string;
  readonly plan: Plan;
  readonly units: Units;
  readonly say: (what: string, kit: Kit) => void;
}): ReactNode {
  const { kit } = plan;
  const list = listOf(kit, kind);
  const set = (what: string, next: typeof list) => say(what, withList(kit, kind, next));
  const others = listOf(genericKit, kind).filter(({ id }) => !list.some((thing) => thing.id === id));
  return (
    <fieldset className="thing-panel">
      <legend>{many}</legend>
      {list.length === 0 && <p className="quiet">None yet.</p>}
      {list.map((thing) => (
        <KitThing
          key={thing.id}
          kind={kind}
          thing={thing}
          used={usedBy(plan, thing.id)}
          units={units}
          onSay={(what, next) =>
            set(
              what,
              list.map((was) => (was.id === thing.id ? next : was)),
            )
          }
          onDouble={() => set(`one more ${thing.name}`, [...list, another(kit, kind, thing)])}
          onRemove={() =>
            set(
              `leaving ${thing.name} at home`,
              list.filter(({ id }) => id !== thing.id),
            )
          }
        />
      ))}
      <div className="actions">
        <button type="button" className="link" onClick={() => set(`a ${one}`, [...list, oneMore(kit, kind)])}>
          Type in a {one}
        </button>
        {others.length > 0 && (
          <div className="field add">
            <label>
              or take a usual one{" "}
              <select
                value=""
                onChange={(event) => {
                  const found = others.find(({ id }) => id === event.target.value);
                  if (found) set(found.name, [...list, found]);
                }}
              >
                <option value="">by its size and figure</option>
                {others.map((thing) => (
                  <option key={thing.id} value={thing.id}>
                    {thing.name}
                  </option>
                ))}
              </select>
            </label>
          </div>
        )}
      </div>
    </fieldset>
  );
}
