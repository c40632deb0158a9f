import type { ReactNode } from "react";
import { movedTo } from "#room/plan-edits";
import { sayEdit } from "../draft-plan.ts";
import { ChoiceField, FigureField, LengthField } from "./fields.tsx";
import { named, type OfThing, Panel, say, TakeOut } from "./panel.tsx";

/** How long a slide is, how long it takes, and what its head does. */
export function SlidePanel({ plan, id, units }: Omit<OfThing, "scene">): ReactNode {
  const slide = plan.slides.find((s) => s.id === id);
  if (!slide) return null;
  const change = (what: string, part: Partial<typeof slide>) =>
    say(`the slide's ${what}`, { slides: plan.slides.map((s) => (s.id === id ? { ...s, ...part } : s)) });
  const [dx, dy] = [slide.to[0] - slide.from[0], slide.to[1] - slide.from[1]];
  const length = Math.hypot(dx, dy);
  return (
    <Panel name={`The slide of camera ${slide.camera}`} acts={<TakeOut plan={plan} id={id} />}>
      <ChoiceField
        label="Slider"
        value={slide.slider}
        options={named(plan.kit.sliders)}
        onSay={(slider) => change("rail", { slider })}
      />
      <LengthField
        label="Length"
        metres={length}
        units={units}
        min={0.02}
        max={20}
        onSay={(metres) => {
          const k = metres / (length || 1);
          sayEdit(movedTo(plan, id, [slide.from[0] + dx * k, slide.from[1] + dy * k]));
        }}
      />
      <LengthField
        label="Far end across"
        metres={slide.to[0]}
        units={units}
        onSay={(x) => sayEdit(movedTo(plan, id, [x, slide.to[1]]))}
      />
      <LengthField
        label="Far end up"
        metres={slide.to[1]}
        units={units}
        onSay={(y) => sayEdit(movedTo(plan, id, [slide.to[0], y]))}
      />
      <FigureField
        label="Takes"
        unit="seconds"
        value={slide.seconds}
        min={0.5}
        max={36_000}
        onSay={(seconds) => change("time", { seconds })}
      />
      <ChoiceField
        label="Begins and ends"
        value={slide.ease}
        options={[
          ["in-out", "gently"],
          ["none", "at full speed"],
        ]}
        onSay={(ease) => change("easing", { ease: ease as typeof slide.ease })}
      />
      <ChoiceField
        label="Its head turns"
        value={slide.head}
        options={[
          ["linear", "evenly between keyframes"],
          ["eased", "gently between keyframes"],
          ["none", "not at all"],
        ]}
        onSay={(head) => change("head", { head: head as typeof slide.head })}
      />
      <ChoiceField
        label="Its head tilts"
        value={slide.tilts ? "yes" : "no"}
        options={[
          ["no", "no"],
          ["yes", "yes"],
        ]}
        onSay={(tilts) => change("head", { tilts: tilts === "yes" })}
      />
    </Panel>
  );
}
