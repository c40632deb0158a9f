import { type ReactNode, useMemo, useState } from "react";
import type { Plan } from "#documents/plan";
import { sceneOf } from "#room/scene";
import { SaidBar } from "../parts/said-bar.tsx";
import type { Units } from "../words/units.ts";
import { AddThings } from "./add-things.tsx";
import { sayEdit } from "./draft-plan.ts";
import { RoomPanel } from "./panel/room-panel.tsx";
import { ThingPanel } from "./panel/thing-panel.tsx";
import { WishesPanel } from "./panel/wishes-panel.tsx";
import { PicturesForReport } from "./pictures-for-report.tsx";
import type { PlayedSlide } from "./played-slide.ts";
import { planForPaper, printPlan } from "./print-plan.ts";
import { ProposalsPart } from "./proposals.tsx";
import { save } from "./save.ts";
import type { Figured } from "./use-figures.ts";

/** What can be done with the plan, and everything that can be typed of it. */
export function RoomDesk({
  said,
  figured,
  chosen,
  onChoose,
  units,
  played,
}: {
  readonly said: Plan;
  /** The plan with what is being dragged, as far as its figures are known. */
  readonly figured: Figured;
  readonly chosen: string;
  readonly onChoose: (id: string) => void;
  readonly units: Units;
  /** null: nothing slides. */
  readonly played: PlayedSlide | null;
}): ReactNode {
  const scene = useMemo(() => sceneOf(figured.plan), [figured.plan]);
  const [isOpen, setOpen] = useState(false);
  const { wishes } = said;
  // These wait for what is said: a drag does not draw them anew.
  const pictures = useMemo(() => <PicturesForReport plan={said} />, [said]);
  const ofRoom = useMemo(
    () => (
      <>
        <AddThings plan={said} onAdd={onChoose} />
        <details className="as-table room-details" onToggle={(event) => setOpen(event.currentTarget.open)}>
          <summary>The room, its windows and the day</summary>
          {isOpen && <RoomPanel plan={said} units={units} />}
        </details>
        <WishesPanel plan={said} />
        <ProposalsPart plan={said} units={units} />
      </>
    ),
    [said, onChoose, isOpen, units],
  );
  const isPinned = wishes.pinned.includes(chosen);
  return (
    <>
      <div className="actions room-actions">
        <a className="press" href="#kit">
          Take this to Kit
        </a>
        {played && (
          <button type="button" className="link" onClick={played.toggle}>
            {played.isPlaying ? "Stop the slide" : "Play the slide"}
          </button>
        )}
        {pictures}
        <button type="button" className="link" onClick={() => printPlan(said, units)}>
          Print the plan
        </button>
        <button
          type="button"
          className="link"
          onClick={() => save(planForPaper(said, units), "image/svg+xml", "plan.svg")}
        >
          Save the drawing
        </button>
      </div>
      <SaidBar />
      <div className="room-desk">
        <ThingPanel plan={figured.plan} scene={scene} id={chosen} units={units} />
        <label className="tick">
          <input
            type="checkbox"
            checked={isPinned}
            onChange={() =>
              sayEdit({
                what: isPinned ? `letting ${chosen} move` : `pinning ${chosen}`,
                plan: {
                  wishes: {
                    ...wishes,
                    pinned: isPinned
                      ? wishes.pinned.filter((id) => id !== chosen)
                      : [...wishes.pinned, chosen],
                  },
                },
              })
            }
          />
          It stays where it is when stagings are proposed
        </label>
        {ofRoom}
      </div>
    </>
  );
}
