import { type KeyboardEvent, type ReactNode, useLayoutEffect, useMemo, useRef } from "react";
import type { Plan } from "#documents/plan";
import { drawPlan, type PlanThing } from "#room/plan-drawing";
import { movedTo, placeOf, turnedBy } from "#room/plan-edits";
import { distance, type Units } from "../words/units.ts";
import { onDraft, sayEdit, triedOn } from "./draft-plan.ts";
import { type LiveDrawing, liveDrawing } from "./live-drawing.ts";
import { beginDrag, type Drag } from "./plan-drag.ts";
import { inks } from "./plan-inks.ts";
import { halfOf, placed, type ThingHandles, thingHandles } from "./thing-handles.ts";

const step = { arrow: 0.05, shift: 0.5, turn: 5 };

/** What a thing is called where it stands. */
function nameOf(plan: Plan, thing: PlanThing, units: Units): string {
  const at = placeOf(plan, thing.id);
  return `${thing.name}${at ? `: ${distance(at[0], units)} across, ${distance(at[1], units)} up` : ""}`;
}

/** The plan to scale; whatever stands in it can be dragged, moved by keys and turned. */
export function PlanFigure({
  said,
  width,
  units,
  chosen,
  onChoose,
  sun,
  luxAtFace,
  marks,
  cables,
}: {
  /** The plan without what is being dragged. */
  readonly said: Plan;
  readonly width: number;
  readonly units: Units;
  readonly chosen: string | null;
  readonly onChoose: (id: string) => void;
  readonly sun:
    | { readonly patches: readonly (readonly (readonly [number, number])[])[]; readonly label: string }
    | undefined;
  readonly luxAtFace: Readonly<Record<string, number>>;
  readonly marks: Readonly<Record<string, string>>;
  /** Ways over the floor, room metres. */
  readonly cables: readonly (readonly (readonly [number, number])[])[];
}): ReactNode {
  const wish = useMemo(
    () => ({
      size: { width, tallest: 760 },
      colours: inks,
      units,
      luxAtFace,
      marks,
      cables,
      ...(sun ? { sun } : {}),
    }),
    [width, units, sun, luxAtFace, marks, cables],
  );
  // What can be gripped stands for what was said: a drag moves it by itself, and React has nothing to do.
  const { page, things } = useMemo(
    () => drawPlan(said, { size: { width, tallest: 760 }, units }),
    [said, width, units],
  );
  const frame = useRef<HTMLDivElement>(null);
  const live = useRef<{ readonly drawing: LiveDrawing; readonly handles: ThingHandles } | null>(null);
  useLayoutEffect(() => {
    const root = frame.current!;
    live.current ??= {
      drawing: liveDrawing(root.firstElementChild as HTMLElement),
      handles: thingHandles(root),
    };
    const { drawing, handles } = live.current;
    const show = (): void => {
      const tried = triedOn(said);
      const plan = tried ? { ...said, ...tried } : said;
      const drawn = drawPlan(plan, wish);
      drawing.show(drawn);
      handles.show(drawn.things, (thing) => nameOf(plan, thing, units));
    };
    // In a drag the next step draws the new figures too; where none comes, the next frame.
    let late = 0;
    if (triedOn(said)) late = requestAnimationFrame(show);
    else show();
    const stop = onDraft(() => {
      cancelAnimationFrame(late);
      show();
    });
    return () => {
      cancelAnimationFrame(late);
      stop();
    };
  }, [said, wish, units]);
  const drag = useRef<Drag | null>(null);
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
    const from = placeOf(said, thing.id);
    if (way && from) sayEdit(movedTo(said, thing.id, [from[0] + way[0], from[1] + way[1]]));
    else if (event.key === "[") sayEdit(turnedBy(said, thing.id, -step.turn));
    else if (event.key === "]") sayEdit(turnedBy(said, thing.id, step.turn));
    else if (event.key === "Escape" && drag.current) {
      drag.current.giveUp();
      drag.current = null;
    } else return;
    onChoose(thing.id);
    event.preventDefault();
  };
  // People, cameras and lights are tabbed through first; furniture lies beneath them.
  const order = [...things].sort((a, b) => Number(a.kind === "furniture") - Number(b.kind === "furniture"));
  return (
    <div ref={frame} className="plan" style={{ width: page.width, height: page.height }}>
      <div className="drawing" />
      {order.map((thing) => {
        const half = halfOf(thing);
        return (
          <button
            key={thing.id}
            type="button"
            className={thing.id === chosen ? "thing chosen" : "thing"}
            aria-pressed={thing.id === chosen}
            data-thing={thing.id}
            aria-label={nameOf(said, thing, units)}
            style={{
              transform: placed(thing),
              width: 2 * half,
              height: 2 * half,
              zIndex: thing.kind === "furniture" ? 1 : thing.kind === "slide" ? 2 : 3,
            }}
            onPointerDown={(event) => {
              if (event.button !== 0) return;
              drag.current = beginDrag(event.currentTarget, event.nativeEvent, thing, page, said);
              onChoose(thing.id);
            }}
            onKeyDown={(event) => pressed(event, thing)}
            onFocus={() => onChoose(thing.id)}
            onClick={() => onChoose(thing.id)}
          />
        );
      })}
    </div>
  );
}
