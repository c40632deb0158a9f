import type { ReactNode } from "react";
import type { Plan } from "#documents/plan";
import { without } from "#room/plan-edits";
import { materials } from "#science/acoustics/materials";
import type { Units } from "../../words/units.ts";
import { sayEdit } from "../draft-plan.ts";
import { putInOpening } from "../put-in.ts";
import { ChoiceField, FigureField, LengthField, TextField } from "./fields.tsx";

const compass = ["north", "east", "south", "west"] as const;
const round = (metres: number): number => Math.round(metres * 1000) / 1000;

/** The side of the room that a wall is on, for a person who looks at the drawing. */
function wallName(plan: Plan, wall: number): string {
  const { outline } = plan.room;
  const [a, b] = [outline[wall]!, outline[(wall + 1) % outline.length]!];
  const middle = outline.reduce(
    (sum, p) => [sum[0] + p[0] / outline.length, sum[1] + p[1] / outline.length] as [number, number],
    [0, 0] as [number, number],
  );
  const [x, y] = [(a[0] + b[0]) / 2 - middle[0], (a[1] + b[1]) / 2 - middle[1]];
  const heading = (Math.atan2(x, y) * 180) / Math.PI + plan.room.bearing;
  return `${compass[((Math.round(heading / 90) % 4) + 4) % 4]} wall`;
}

/** The room itself, its openings, and the day. */
export function RoomPanel({ plan, units }: { readonly plan: Plan; readonly units: Units }): ReactNode {
  const { room } = plan;
  const change = (what: string, part: Partial<Plan["room"]>) =>
    sayEdit({ what, plan: { room: { ...room, ...part } } });
  const corners = (what: string, i: number, at: readonly [number, number]) =>
    change(what, {
      outline: room.outline.map((corner, j): [number, number] =>
        i === j ? [round(at[0]), round(at[1])] : [...corner],
      ),
    });
  const surface = (label: string, key: "walls" | "floor" | "ceiling") => (
    <ChoiceField
      label={label}
      value={room.materials[key]}
      options={materials.map(({ id, name }) => [id, name] as const)}
      onSay={(id) => change(`the ${key}`, { materials: { ...room.materials, [key]: id } })}
    />
  );
  const opening = (id: string, what: string, part: Partial<Plan["room"]["openings"][number]>) =>
    change(what, { openings: room.openings.map((o) => (o.id === id ? { ...o, ...part } : o)) });
  const walls = room.outline.map((_, i) => [String(i), wallName(plan, i)] as const);
  return (
    <>
      <fieldset className="thing-panel">
        <legend>The room</legend>
        <div className="fields">
          <LengthField
            label="Height"
            metres={room.height}
            units={units}
            min={1}
            max={50}
            onSay={(height) => change("the room's height", { height })}
          />
          <FigureField
            label="The drawing's top looks"
            unit="° from north"
            value={room.bearing}
            min={-360}
            max={720}
            onSay={(bearing) => change("the room's bearing", { bearing: ((bearing % 360) + 360) % 360 })}
          />
          <FigureField
            label="Air"
            unit="°C"
            value={room.temperature}
            min={-30}
            max={60}
            onSay={(temperature) => change("the temperature", { temperature })}
          />
          {surface("Walls", "walls")}
          {surface("Floor", "floor")}
          {surface("Ceiling", "ceiling")}
        </div>
        <details className="as-table">
          <summary>Corners</summary>
          <ol className="corners">
            {room.outline.map((corner, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: a corner is known by its place in the outline
              <li key={i}>
                <LengthField
                  label={`Corner ${i + 1} across`}
                  metres={corner[0]}
                  units={units}
                  onSay={(x) => corners("the room's outline", i, [x, corner[1]])}
                />
                <LengthField
                  label="up"
                  metres={corner[1]}
                  units={units}
                  onSay={(y) => corners("the room's outline", i, [corner[0], y])}
                />
                {/* A new corner in a wall with an opening would cut it: the wall's own openings stay on its first part. */}
                <button
                  type="button"
                  className="link"
                  onClick={() => {
                    const next = room.outline[(i + 1) % room.outline.length]!;
                    const middle: [number, number] = [
                      round((corner[0] + next[0]) / 2),
                      round((corner[1] + next[1]) / 2),
                    ];
                    change("a new corner", {
                      outline: room.outline.toSpliced(i + 1, 0, middle),
                      openings: room.openings.map((o) => (o.wall > i ? { ...o, wall: o.wall + 1 } : o)),
                    });
                  }}
                >
                  one more after it
                </button>
                {room.outline.length > 3 && !room.openings.some((o) => o.wall === i) && (
                  <button
                    type="button"
                    className="link"
                    onClick={() =>
                      change("a corner less", {
                        outline: room.outline.toSpliced(i, 1),
                        openings: room.openings.map((o) => (o.wall > i ? { ...o, wall: o.wall - 1 } : o)),
                      })
                    }
                  >
                    without it
                  </button>
                )}
              </li>
            ))}
          </ol>
        </details>
      </fieldset>
      {room.openings.map((o) => (
        <fieldset className="thing-panel" key={o.id}>
          <legend>{o.name ?? o.id}</legend>
          <div className="fields">
            <TextField
              label="Called"
              value={o.name ?? o.id}
              onSay={(name) => opening(o.id, "a name", { name })}
            />
            <ChoiceField
              label="In the"
              value={String(o.wall)}
              options={walls}
              onSay={(wall) => opening(o.id, `the place of ${o.name ?? o.id}`, { wall: Number(wall) })}
            />
            <LengthField
              label="From its corner"
              metres={o.from}
              units={units}
              min={0}
              onSay={(from) => opening(o.id, `the place of ${o.name ?? o.id}`, { from })}
            />
            <LengthField
              label="Wide"
              metres={o.width}
              units={units}
              min={0.05}
              onSay={(width) => opening(o.id, `the size of ${o.name ?? o.id}`, { width })}
            />
            <LengthField
              label="Sill"
              metres={o.sill}
              units={units}
              min={0}
              onSay={(sill) => opening(o.id, `the size of ${o.name ?? o.id}`, { sill })}
            />
            <LengthField
              label="High"
              metres={o.height}
              units={units}
              min={0.05}
              onSay={(height) => opening(o.id, `the size of ${o.name ?? o.id}`, { height })}
            />
            {o.kind === "door" ? (
              <ChoiceField
                label="Stands"
                value={o.open ? "open" : "shut"}
                options={[
                  ["shut", "shut"],
                  ["open", "open"],
                ]}
                onSay={(how) => opening(o.id, `the ${o.name ?? o.id}`, { open: how === "open" })}
              />
            ) : (
              <>
                <FigureField
                  label="Lets through"
                  unit="%"
                  value={o.transmission * 100}
                  min={0}
                  max={100}
                  onSay={(t) => opening(o.id, `the glass of ${o.name ?? o.id}`, { transmission: t / 100 })}
                />
                <FigureField
                  label="Covered"
                  unit="%"
                  value={o.covered * 100}
                  min={0}
                  max={100}
                  onSay={(c) => opening(o.id, `the blind of ${o.name ?? o.id}`, { covered: c / 100 })}
                />
              </>
            )}
          </div>
          <div className="actions">
            <button type="button" className="link" onClick={() => sayEdit(without(plan, o.id))}>
              Take it out
            </button>
          </div>
        </fieldset>
      ))}
      <DayPanel plan={plan} />
      <div className="actions">
        {(["window", "door"] as const).map((kind) => (
          <button
            key={kind}
            type="button"
            className="link"
            onClick={() => sayEdit(putInOpening(plan, kind).edit)}
          >
            One more {kind}
          </button>
        ))}
      </div>
    </>
  );
}

function DayPanel({ plan }: { readonly plan: Plan }): ReactNode {
  const when = plan.when ?? {
    date: new Date().toISOString().slice(0, 10),
    from: "10:00",
    to: "13:00",
    sky: "clear" as const,
  };
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
  const place = plan.place ?? { latitude: 0, longitude: 0, zone };
  const day = (part: Partial<NonNullable<Plan["when"]>>) =>
    sayEdit({ what: "the day", plan: { when: { ...when, ...part } } });
  const at = (part: Partial<NonNullable<Plan["place"]>>) =>
    sayEdit({ what: "the place", plan: { place: { ...place, ...part } } });
  const clock = (text: string): string | null => {
    const read = /^(\d{1,2})[:.h]?(\d{2})?$/.exec(text.trim());
    if (!read || Number(read[1]) > 23 || Number(read[2] ?? 0) > 59) return null;
    return `${read[1]!.padStart(2, "0")}:${read[2] ?? "00"}`;
  };
  return (
    <fieldset className="thing-panel">
      <legend>The day and the place</legend>
      <div className="fields">
        <TextField
          label="Date"
          value={plan.when?.date ?? ""}
          onSay={(date) =>
            /^\d{4}-\d{2}-\d{2}$/.test(date) && !Number.isNaN(Date.parse(date)) && day({ date })
          }
        />
        <TextField
          label="From"
          value={plan.when?.from ?? ""}
          onSay={(text) => clock(text) && day({ from: clock(text)! })}
        />
        <TextField
          label="To"
          value={plan.when?.to ?? ""}
          onSay={(text) => clock(text) && day({ to: clock(text)! })}
        />
        <ChoiceField
          label="Sky"
          value={plan.when?.sky ?? ""}
          options={[
            ["clear", "clear"],
            ["hazy", "hazy"],
            ["overcast", "overcast"],
          ]}
          onSay={(sky) => day({ sky: sky as "clear" })}
        />
        <FigureField
          label="Latitude"
          unit="° north"
          digits={4}
          value={plan.place?.latitude ?? null}
          min={-90}
          max={90}
          onSay={(latitude) => at({ latitude })}
        />
        <FigureField
          label="Longitude"
          unit="° east"
          digits={4}
          value={plan.place?.longitude ?? null}
          min={-180}
          max={180}
          onSay={(longitude) => at({ longitude })}
        />
        <TextField label="Time zone" value={plan.place?.zone ?? zone} onSay={(name) => at({ zone: name })} />
      </div>
    </fieldset>
  );
}
