import type { ReactNode } from "react";
import type { Plan } from "#documents/plan";
import { sayEdit } from "../draft-plan.ts";
import { ChoiceField, FigureField } from "./fields.tsx";

type Wishes = Plan["wishes"];

/** How the light, the look and the lenses are wished to be: what stagings are proposed by, and findings measured against. */
export function WishesPanel({ plan }: { readonly plan: Plan }): ReactNode {
  const { wishes } = plan;
  const change = (what: string, part: Partial<Wishes>) =>
    sayEdit({ what, plan: { wishes: { ...wishes, ...part } } });
  return (
    <fieldset className="thing-panel">
      <legend>What you wish for</legend>
      <div className="fields">
        <FigureField
          label="Key over fill"
          unit="stops"
          digits={1}
          value={wishes.keyToFill}
          min={0}
          max={8}
          onSay={(keyToFill) => change("the wished contrast", { keyToFill })}
        />
        <ChoiceField
          label="The sitter looks"
          value={wishes.looks}
          options={[
            ["either", "to either side"],
            ["left", "left out of the frame"],
            ["right", "right out of the frame"],
          ]}
          onSay={(looks) => change("which way the sitter looks", { looks: looks as Wishes["looks"] })}
        />
        <ChoiceField
          label="The cameras look from"
          value={wishes.eyeLine ?? "level"}
          options={[
            ["level", "the height of the eyes"],
            ["above", "above the eyes"],
            ["below", "below the eyes"],
          ]}
          onSay={(eyeLine) =>
            change("the wished lens height", { eyeLine: eyeLine as NonNullable<Wishes["eyeLine"]> })
          }
        />
        <ChoiceField
          label="Sharp"
          value={wishes.depth ?? "eyes"}
          options={[
            ["shallow", "the nearer eye alone"],
            ["eyes", "both eyes"],
            ["face", "the face, to the ear"],
            ["leaning", "a sitter who leans"],
          ]}
          onSay={(depth) => change("what is to be sharp", { depth: depth as NonNullable<Wishes["depth"]> })}
        />
      </div>
    </fieldset>
  );
}
