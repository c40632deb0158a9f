import type { ReactNode } from "react";
import { shotSizes } from "#documents/plan";
import { ChoiceField, FigureField, LengthField } from "./fields.tsx";
import { named, type OfThing, Panel, PlaceFields, say, TakeOut } from "./panel.tsx";

/** Where a camera stands, what it is, how it is set and where it looks. */
export function CameraPanel({ plan, scene, id, units }: OfThing): ReactNode {
  const camera = plan.cameras.find((c) => c.id === id);
  if (!camera) return null;
  const seen = scene.cameras.find((c) => c.id === id);
  const change = (what: string, part: Partial<typeof camera>, ...forget: (keyof typeof camera)[]) => {
    const next = { ...camera, ...part };
    for (const key of forget) delete next[key];
    say(`camera ${id}'s ${what}`, { cameras: plan.cameras.map((c) => (c.id === id ? next : c)) });
  };
  const lens = plan.kit.lenses.find((l) => l.id === camera.lens);
  const isZoom = lens !== undefined && lens.focal[0] < lens.focal[1];
  const isAimed = camera.pan !== undefined || camera.tilt !== undefined;
  return (
    <Panel
      name={`Camera ${id}`}
      acts={
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
          <TakeOut plan={plan} id={id} />
        </>
      }
    >
      <PlaceFields plan={plan} id={id} units={units} />
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
    </Panel>
  );
}
