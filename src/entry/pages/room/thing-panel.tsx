import type { ReactNode } from "react";
import { type Plan, shotSizes } from "#documents/plan";
import { movedTo, placeOf, turnedBy, without } from "#room/plan-edits";
import type { Scene } from "#room/scene";
import type { Units } from "../words/units.ts";
import { sayEdit } from "./draft-plan.ts";
import { ChoiceField, FigureField, LengthField, TextField } from "./fields.tsx";

const named = (
  list: readonly { readonly id: string; readonly name: string }[],
): (readonly [string, string])[] => list.map(({ id, name }) => [id, name]);

/** Everything that is said of one thing, each figure to be typed; the same as dragging and turning it. */
export function ThingPanel({
  plan,
  scene,
  id,
  units,
}: {
  readonly plan: Plan;
  readonly scene: Scene;
  readonly id: string;
  readonly units: Units;
}): ReactNode {
  const at = placeOf(plan, id);
  const say = (what: string, part: Partial<Plan>) => sayEdit({ what, plan: part });
  const place = at && (
    <>
      <LengthField
        label="Across"
        metres={at[0]}
        units={units}
        onSay={(x) => sayEdit(movedTo(plan, id, [x, at[1]]))}
      />
      <LengthField
        label="Up"
        metres={at[1]}
        units={units}
        onSay={(y) => sayEdit(movedTo(plan, id, [at[0], y]))}
      />
    </>
  );
  const out = (
    <button type="button" className="link" onClick={() => sayEdit(without(plan, id))}>
      Take it out
    </button>
  );
  const panel = (name: string, children: ReactNode, acts: ReactNode = out) => (
    <fieldset className="thing-panel">
      <legend>{name}</legend>
      <div className="fields">{children}</div>
      {acts && <div className="actions">{acts}</div>}
    </fieldset>
  );

  if (id === "sitter" || id === "interviewer") {
    const person = plan[id];
    const change = (what: string, part: Partial<Plan["sitter"]>) =>
      say(
        `the ${id}'s ${what}`,
        id === "sitter" ? { sitter: { ...person, ...part } } : { interviewer: { ...person, ...part } },
      );
    return panel(
      id === "sitter" ? "The sitter" : "The interviewer",
      <>
        <TextField label="Called" value={person.name ?? id} onSay={(name) => change("name", { name })} />
        {place}
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
      </>,
      null,
    );
  }

  const camera = plan.cameras.find((c) => c.id === id);
  if (camera) {
    const seen = scene.cameras.find((c) => c.id === id);
    const change = (what: string, part: Partial<typeof camera>, ...forget: (keyof typeof camera)[]) => {
      const next = { ...camera, ...part };
      for (const key of forget) delete next[key];
      say(`camera ${id}'s ${what}`, { cameras: plan.cameras.map((c) => (c.id === id ? next : c)) });
    };
    const lens = plan.kit.lenses.find((l) => l.id === camera.lens);
    const isZoom = lens !== undefined && lens.focal[0] < lens.focal[1];
    const isAimed = camera.pan !== undefined || camera.tilt !== undefined;
    return panel(
      `Camera ${id}`,
      <>
        {place}
        <LengthField
          label="Lens height"
          metres={camera.height ?? seen?.point[2] ?? null}
          units={units}
          min={0}
          max={20}
          onSay={(height) => change("height", { height })}
        />
        <ChoiceField
          label="Body"
          value={camera.body}
          options={named(plan.kit.bodies)}
          onSay={(body) => change("body", { body })}
        />
        <ChoiceField
          label="Lens"
          value={camera.lens}
          options={named(plan.kit.lenses)}
          onSay={(next) => change("lens", { lens: next }, "focalLength", "stop")}
        />
        {isZoom && (
          <FigureField
            label="Set to"
            unit="mm"
            value={camera.focalLength ?? seen?.focalMm ?? null}
            min={lens.focal[0]}
            max={lens.focal[1]}
            onSay={(focalLength) => change("focal length", { focalLength })}
          />
        )}
        <FigureField
          label="f-number"
          unit=""
          digits={1}
          value={seen?.stop ?? camera.stop ?? null}
          min={lens?.stop ?? 0.5}
          max={64}
          onSay={(stop) => change("stop", { stop })}
        />
        <ChoiceField
          label="Shot"
          value={camera.shot}
          options={shotSizes.map((shot) => [shot, shot] as const)}
          onSay={(shot) => change("shot", { shot: shot as typeof camera.shot }, "pan", "tilt")}
        />
        <FigureField
          label="Pan"
          unit="°"
          digits={1}
          value={seen?.pan ?? camera.pan ?? null}
          min={-720}
          max={720}
          onSay={(pan) => change("pan", { pan, tilt: camera.tilt ?? seen?.tilt ?? 0 })}
        />
        <FigureField
          label="Tilt"
          unit="°"
          digits={1}
          value={seen?.tilt ?? camera.tilt ?? null}
          min={-90}
          max={90}
          onSay={(tilt) => change("tilt", { tilt, pan: camera.pan ?? seen?.pan ?? 0 })}
        />
        <LengthField
          label="Focused at"
          metres={seen?.focus ?? camera.focus ?? null}
          units={units}
          min={0.05}
          max={1000}
          onSay={(focus) => change("focus", { focus })}
        />
        <FigureField
          label="ISO"
          unit=""
          value={camera.iso ?? null}
          hint="as wanted"
          min={1}
          max={200_000}
          onSay={(iso) => change("ISO", { iso })}
        />
        <FigureField
          label="ND"
          unit="stops"
          digits={1}
          value={camera.nd ?? null}
          hint="none"
          min={0}
          max={20}
          onSay={(nd) => change("ND", { nd })}
        />
        <FigureField
          label="Shutter"
          unit="°"
          value={camera.shutterAngle}
          min={1}
          max={360}
          onSay={(shutterAngle) => change("shutter", { shutterAngle })}
        />
        <FigureField
          label="Frames"
          unit="a second"
          digits={camera.frameRate % 1 === 0 ? 0 : 3}
          value={camera.frameRate}
          min={1}
          max={1000}
          onSay={(frameRate) => change("frame rate", { frameRate })}
        />
      </>,
      <>
        {isAimed && (
          <button type="button" className="link" onClick={() => change("aim", {}, "pan", "tilt")}>
            Frame the sitter again
          </button>
        )}
        {camera.focus !== undefined && (
          <button type="button" className="link" onClick={() => change("focus", {}, "focus")}>
            Focus on the nearer eye
          </button>
        )}
        {out}
      </>,
    );
  }

  const light = plan.lights.find((l) => l.id === id);
  if (light) {
    const kit = plan.kit.lights.find((l) => l.id === light.light);
    const change = (what: string, part: Partial<typeof light>, ...forget: (keyof typeof light)[]) => {
      const next = { ...light, ...part };
      for (const key of forget) delete next[key];
      say(`the ${what} of light ${id}`, { lights: plan.lights.map((l) => (l.id === id ? next : l)) });
    };
    return panel(
      light.role === "other" ? `Light ${id}` : `The ${light.role} light`,
      <>
        {place}
        <LengthField
          label="Height"
          metres={light.height}
          units={units}
          min={0}
          max={20}
          onSay={(height) => change("height", { height })}
        />
        <ChoiceField
          label="Light"
          value={light.light}
          options={named(plan.kit.lights)}
          onSay={(next) => change("kind", { light: next }, "modifier", "kelvin")}
        />
        <ChoiceField
          label="Is the"
          value={light.role}
          options={(["key", "fill", "hair", "background", "other"] as const).map(
            (role) => [role, role] as const,
          )}
          onSay={(role) => change("part", { role: role as typeof light.role })}
        />
        <ChoiceField
          label="Through"
          value={light.modifier ?? ""}
          options={[["", "nothing"], ...named(kit?.modifiers ?? [])]}
          onSay={(modifier) =>
            modifier === "" ? change("modifier", {}, "modifier") : change("modifier", { modifier })
          }
        />
        <FigureField
          label="Dimmed to"
          unit="%"
          value={light.dim * 100}
          min={0}
          max={100}
          onSay={(dim) => change("level", { dim: dim / 100 })}
        />
        <FigureField
          label="Colour"
          unit="K"
          value={light.kelvin ?? kit?.kelvin ?? null}
          min={1000}
          max={20_000}
          onSay={(kelvin) => change("colour", { kelvin })}
        />
        <FigureField
          label="Gel"
          unit="mired"
          value={light.gelMired}
          min={-500}
          max={500}
          onSay={(gelMired) => change("gel", { gelMired })}
        />
      </>,
      <>
        {light.aim && (
          <button type="button" className="link" onClick={() => change("aim", {}, "aim")}>
            Aim it at the face
          </button>
        )}
        {out}
      </>,
    );
  }

  const microphone = plan.microphones.find((m) => m.id === id);
  if (microphone) {
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
    return panel(
      microphone.role === "boom" ? "The boom" : `Microphone ${id}`,
      <>
        {place}
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
      </>,
    );
  }

  const slide = plan.slides.find((s) => s.id === id);
  if (slide) {
    const change = (what: string, part: Partial<typeof slide>) =>
      say(`the slide's ${what}`, { slides: plan.slides.map((s) => (s.id === id ? { ...s, ...part } : s)) });
    const [dx, dy] = [slide.to[0] - slide.from[0], slide.to[1] - slide.from[1]];
    const length = Math.hypot(dx, dy);
    return panel(
      `The slide of camera ${slide.camera}`,
      <>
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
      </>,
    );
  }

  const piece = plan.room.furniture.find((f) => f.id === id);
  if (!piece) return null;
  const change = (what: string, part: Partial<typeof piece>) =>
    say(`the ${what} of ${piece.name}`, {
      room: {
        ...plan.room,
        furniture: plan.room.furniture.map((f) => (f.id === id ? { ...f, ...part } : f)),
      },
    });
  const sized = (i: 0 | 1 | 2, metres: number) => {
    const next: [number, number, number] = [piece.size[0], piece.size[1], piece.size[2]];
    next[i] = metres;
    change("size", { size: next });
  };
  return panel(
    piece.name,
    <>
      <TextField label="Called" value={piece.name} onSay={(name) => change("name", { name })} />
      {place}
      <FigureField
        label="Turned"
        unit="°"
        value={piece.heading}
        min={-720}
        max={720}
        onSay={(degrees) => sayEdit(turnedBy(plan, id, degrees - piece.heading))}
      />
      <LengthField
        label="Wide"
        metres={piece.size[0]}
        units={units}
        min={0.01}
        max={100}
        onSay={(m) => sized(0, m)}
      />
      <LengthField
        label="Deep"
        metres={piece.size[1]}
        units={units}
        min={0.01}
        max={100}
        onSay={(m) => sized(1, m)}
      />
      <LengthField
        label="High"
        metres={piece.size[2]}
        units={units}
        min={0.01}
        max={100}
        onSay={(m) => sized(2, m)}
      />
      <LengthField
        label="Off the floor"
        metres={piece.base}
        units={units}
        min={0}
        max={50}
        onSay={(base) => change("place", { base })}
      />
      <ChoiceField
        label="Shines back"
        value={piece.glossy ? "yes" : "no"}
        options={[
          ["no", "no"],
          ["yes", "yes, like glass"],
        ]}
        onSay={(glossy) => change("face", { glossy: glossy === "yes" })}
      />
    </>,
  );
}
