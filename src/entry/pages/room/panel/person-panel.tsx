import type { ReactNode } from "react";
import type { Plan } from "#documents/plan";
import { ChoiceField, FigureField, LengthField, TextField } from "./fields.tsx";
import { type OfThing, Panel, PlaceFields, say } from "./panel.tsx";

/** Where a person is, how tall, sitting or standing, and what they are called. */
export function PersonPanel({ plan, id, units }: Omit<OfThing, "scene">): ReactNode {
  if (id !== "sitter" && id !== "interviewer") return null;
  const person = plan[id];
  const change = (what: string, part: Partial<Plan["sitter"]>) =>
    say(
      `the ${id}'s ${what}`,
      id === "sitter" ? { sitter: { ...person, ...part } } : { interviewer: { ...person, ...part } },
    );
  return (
    <Panel name={id === "sitter" ? "The sitter" : "The interviewer"}>
      <TextField label="Called" value={person.name ?? id} onSay={(name) => change("name", { name })} />
      <PlaceFields plan={plan} id={id} units={units} />
      <FigureField
        label="Faces"
        unit="°"
        value={person.heading}
        min={-360}
        max={720}
        onSay={(heading) => change("heading", { heading })}
      />
      <LengthField
        label="Stature"
        metres={person.stature}
        units={units}
        min={0.5}
        max={2.5}
        onSay={(stature) => change("stature", { stature })}
      />
      <ChoiceField
        label="Sits or stands"
        value={person.seatHeight === null ? "stands" : "sits"}
        options={[
          ["sits", "sits"],
          ["stands", "stands"],
        ]}
        onSay={(how) => change("pose", { seatHeight: how === "sits" ? 0.46 : null })}
      />
      {person.seatHeight !== null && (
        <LengthField
          label="Seat"
          metres={person.seatHeight}
          units={units}
          min={0.2}
          max={1.5}
          onSay={(seatHeight) => change("seat", { seatHeight })}
        />
      )}
      {id === "sitter" && (
        <ChoiceField
          label="Glasses"
          value={plan.sitter.glasses ? "worn" : "none"}
          options={[
            ["none", "wears none"],
            ["worn", "wears glasses"],
          ]}
          onSay={(how) => change("glasses", { glasses: how === "worn" })}
        />
      )}
    </Panel>
  );
}
