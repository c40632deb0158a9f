import { type KeyboardEvent, type PointerEvent, type ReactNode, useMemo, useRef } from "react";
import type { Plan } from "#documents/plan";
import { drawPlan, type PlanThing } from "#room/plan-drawing";
import { movedTo, placeOf, snapped, turnedBy } from "#room/plan-edits";
import type { Scene } from "#room/scene";
import { distance, type Units } from "../words/units.ts";
import { sayDraft, sayEdit, tryEdit } from "./draft-plan.ts";
import { Drawing } from "./drawing.tsx";
import { inks } from "./plan-inks.ts";

/** Things go to this grid, metres; with Alt held they go anywhere. */
const grid = 0.05;
const step = { arrow: 0.05, shift: 0.5, turn: 5 };

/** The plan to scale; whatever stands in it can be dragged, moved by keys and turned. */
export function PlanFigure({
  plan,
  said,
  scene,
  width,
  units,
  chosen,
  onChoose,
  sun,
  luxAtFace,
  marks,
}: {
  readonly plan: Plan;
  /** The plan without what is being dragged. */
  readonly said: Plan;
  readonly scene: Scene;
  readonly width: number;
  readonly units: Units;
  readonly chosen: string | null;
  readonly onChoose: (id: string) => void;
  readonly sun:
    | { readonly patches: readonly (readonly (readonly [number, number])[])[]; readonly label: string }
    | undefined;
  readonly luxAtFace: Readonly<Record<string, number>>;
  readonly marks: Readonly<Record<string, string>>;
}): ReactNode {
  const { svg, page, things } = useMemo(
    () =>
      drawPlan(
        plan,
        { size: { width, tallest: 760 }, colours: inks, units, luxAtFace, marks, ...(sun ? { sun } : {}) },
        scene,
      ),
    [plan, width, units, scene, sun, luxAtFace, marks],
  );
  const held = useRef<{
    readonly id: string;
    readonly dx: number;
    readonly dy: number;
    moved: boolean;
  } | null>(null);
  const frame = useRef(0);

  const down = (event: PointerEvent<HTMLButtonElement>, thing: PlanThing) => {
    if (event.button !== 0) return;
    const box = event.currentTarget.parentElement!.getBoundingClientRect();
    held.current = {
      id: thing.id,
      dx: thing.x - (event.clientX - box.left),
      dy: thing.y - (event.clientY - box.top),
      moved: false,
    };
    event.currentTarget.setPointerCapture(event.pointerId);
    onChoose(thing.id);
  };
  const move = (event: PointerEvent<HTMLButtonElement>) => {
    const grip = held.current;
    if (!grip) return;
    const box = event.currentTarget.parentElement!.getBoundingClientRect();
    const at = page.toRoom(event.clientX - box.left + grip.dx, event.clientY - box.top + grip.dy);
    const to = event.altKey ? at : snapped(at, grid);
    cancelAnimationFrame(frame.current);
    // One step a frame, however many moves the pointer tells.
    frame.current = requestAnimationFrame(() => {
      const from = placeOf(plan, grip.id);
      if (!grip.moved && from && Math.hypot(to[0] - from[0], to[1] - from[1]) < grid / 2) return;
      grip.moved = true;
      tryEdit(said, movedTo(said, grip.id, to));
    });
  };
  const up = () => {
    cancelAnimationFrame(frame.current);
    if (held.current?.moved) sayDraft();
    held.current = null;
  };
  const pressed = (event: KeyboardEvent<HTMLButtonElement>, thing: PlanThing) => {
    if (event.ctrlKey || event.metaKey) return;
    const by = event.shiftKey ? step.shift : step.arrow;
    const ways: Record<string, readonly [number, number]> = {
      ArrowLeft: [-by, 0],
      ArrowRight: [by, 0],
      ArrowUp: [0, by],
      ArrowDown: [0, -by],
    };
    const way = ways[event.key];
    const from = placeOf(plan, thing.id);
    if (way && from) sayEdit(movedTo(plan, thing.id, [from[0] + way[0], from[1] + way[1]]));
    else if (event.key === "[") sayEdit(turnedBy(plan, thing.id, -step.turn));
    else if (event.key === "]") sayEdit(turnedBy(plan, thing.id, step.turn));
    else if (event.key === "Escape" && held.current) {
      held.current = null;
      tryEdit(said, null);
    } else return;
    onChoose(thing.id);
    event.preventDefault();
  };
  // People, cameras and lights are tabbed through first; furniture lies beneath them.
  const order = [...things].sort((a, b) => Number(a.kind === "furniture") - Number(b.kind === "furniture"));
  return (
    <div className="plan" style={{ width: page.width, height: page.height }}>
      <Drawing svg={svg} />
      {order.map((thing) => {
        const half = Math.max(12, Math.min(thing.reach, 40));
        const at = placeOf(plan, thing.id);
        return (
          <button
            key={thing.id}
            type="button"
            className={thing.id === chosen ? "thing chosen" : "thing"}
            aria-pressed={thing.id === chosen}
            aria-label={`${thing.name}${at ? `: ${distance(at[0], units)} across, ${distance(at[1], units)} up` : ""}`}
            style={{
              left: thing.x - half,
              top: thing.y - half,
              width: 2 * half,
              height: 2 * half,
              zIndex: thing.kind === "furniture" ? 1 : thing.kind === "slide" ? 2 : 3,
            }}
            onPointerDown={(event) => down(event, thing)}
            onPointerMove={move}
            onPointerUp={up}
            onPointerCancel={up}
            onKeyDown={(event) => pressed(event, thing)}
            onFocus={() => onChoose(thing.id)}
            onClick={() => onChoose(thing.id)}
          />
        );
      })}
    </div>
  );
}
