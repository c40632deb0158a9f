import type { ReactNode } from "react";
import { ChoiceField, LengthField } from "./fields.tsx";
import { named, type OfThing, Panel, PlaceFields, say, TakeOut } from "./panel.tsx";

/** Which microphone, and where its tip is. */
export function MicrophonePanel({ plan, scene, id, units }: OfThing): ReactNode {
  const microphone = plan.microphones.find((m) => m.id === id);
  if (!microphone) return null;
  const placed = scene.microphones.find((m) => m.id === id);
  const tip = microphone.at ?? placed?.point ?? null;
  const change = (what: string, part: Partial<typeof microphone>) =>
    say(`the ${what} of ${microphone.role === "boom" ? "the boom" : id}`, {
      microphones: plan.microphones.map((m) => (m.id === id ? { ...m, ...part } : m)),
    });
  const tipAt = (i: 0 | 1 | 2, metres: number) => {
    if (!tip) return;
    const next: [number, number, number] = [tip[0], tip[1], tip[2]];
    next[i] = metres;
    change("tip", { at: next });
  };
  return (
    <Panel
      name={microphone.role === "boom" ? "The boom" : `Microphone ${id}`}
      acts={<TakeOut plan={plan} id={id} />}
    >
      <PlaceFields plan={plan} id={id} units={units} />
      <ChoiceField
        label="Microphone"
        value={microphone.microphone}
        options={named(plan.kit.microphones)}
        onSay={(next) => change("kind", { microphone: next })}
      />
      {tip && microphone.role === "boom" && (
        <>
          <LengthField label="Tip across" metres={tip[0]} units={units} onSay={(x) => tipAt(0, x)} />
          <LengthField label="Tip up the plan" metres={tip[1]} units={units} onSay={(y) => tipAt(1, y)} />
          <LengthField
            label="Tip height"
            metres={tip[2]}
            units={units}
            min={0}
            max={20}
            onSay={(z) => tipAt(2, z)}
          />
        </>
      )}
    </Panel>
  );
}
