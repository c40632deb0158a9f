import { type ReactNode, useState } from "react";
import { ask } from "../data/ask.ts";
import { sayWhy } from "../data/upload.ts";
import { useUnits } from "../words/units.ts";
import { planToBeginWith } from "./make-plan.tsx";

/** A sitting that is planned before anything is filmed: a title is all that it needs. */
export function PlanFirst({
  title,
  onMade,
}: {
  readonly title: string;
  readonly onMade: () => void;
}): ReactNode {
  const [problem, setProblem] = useState("");
  const [isBusy, setBusy] = useState(false);
  const units = useUnits();
  const make = async () => {
    const name = title.trim();
    if (!name) return setProblem("The sitting has no title yet. Write one; it can be changed later.");
    setProblem("");
    setBusy(true);
    try {
      await ask("api/plans", { title: name, plan: await planToBeginWith(name, units) });
      location.hash = "#room";
      onMade();
    } catch (error) {
      setProblem(sayWhy(error));
    } finally {
      setBusy(false);
    }
  };
  return (
    <p>
      <button type="button" className="link" disabled={isBusy} onClick={() => void make()}>
        Plan it first
      </button>{" "}
      <span className="quiet">The room, the cameras and the light; recordings come later.</span>
      {problem && <span role="alert"> {problem}</span>}
    </p>
  );
}
