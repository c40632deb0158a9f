import { type ReactNode, useState } from "react";
import type { Plan } from "#documents/plan";
import { sayEdit } from "./draft-plan.ts";
import {
  type PutIn,
  putInBoom,
  putInCamera,
  putInFurniture,
  putInLight,
  putInOpening,
  putInSlide,
} from "./put-in.ts";

interface Way {
  readonly name: string;
  readonly put: (plan: Plan) => PutIn | null;
  /** What the plan or its kit lacks for it; "" for nothing. */
  readonly lacks?: (plan: Plan) => string;
}

const ways: readonly Way[] = [
  {
    name: "a camera",
    put: putInCamera,
    lacks: ({ kit }) => (kit.bodies[0] && kit.lenses[0] ? "" : "Your kit has no body with a lens."),
  },
  { name: "a light", put: putInLight, lacks: ({ kit }) => (kit.lights[0] ? "" : "Your kit has no light.") },
  {
    name: "a boom",
    put: putInBoom,
    lacks: ({ kit }) => (kit.microphones[0] ? "" : "Your kit has no microphone."),
  },
  {
    name: "a slide",
    put: putInSlide,
    lacks: ({ kit, cameras, slides }) =>
      !kit.sliders[0]
        ? "Your kit has no slider."
        : cameras.every(({ id }) => slides.some((s) => s.camera === id))
          ? "Every camera rides a slide already."
          : "",
  },
  { name: "furniture", put: putInFurniture },
  { name: "a window", put: (plan) => putInOpening(plan, "window") },
  { name: "a door", put: (plan) => putInOpening(plan, "door") },
];

/** What can be put in, from the kit of the plan; it stands where it is likely wanted, and is chosen at once. */
export function AddThings({
  plan,
  onAdd,
}: {
  readonly plan: Plan;
  readonly onAdd: (id: string) => void;
}): ReactNode {
  const [told, setTold] = useState("");
  return (
    <div className="actions">
      <span className="quiet">Put in</span>
      {ways.map(({ name, put, lacks }) => (
        <button
          key={name}
          type="button"
          className="link"
          onClick={() => {
            const lack = lacks?.(plan) ?? "";
            const made = lack === "" ? put(plan) : null;
            setTold(lack && `${lack}${lack.startsWith("Your kit") ? " Add one in Kit." : ""}`);
            if (!made) return;
            sayEdit(made.edit);
            onAdd(made.id);
          }}
        >
          {name}
        </button>
      ))}
      <span role="status">{told}</span>
    </div>
  );
}
