import { type ReactNode, useId, useState } from "react";
import type { Plan } from "#documents/plan";
import { planFromText } from "#documents/plan-from-text";
import { ExplainedError } from "#errors/explained-error";
import { firstPlan } from "#room/first-plan";
import { ask } from "../data/ask.ts";
import { sayWhy } from "../data/upload.ts";
import { useUnits } from "../words/units.ts";
import { sayEdit } from "./draft-plan.ts";

/** A first plan of the reader's own kit. */
export async function planToBeginWith(title: string, units: Plan["units"]): Promise<Plan> {
  const { kit } = await ask("api/kit");
  return firstPlan(kit, title, units);
}

/** Where there is no plan yet: one to begin with, or one from a file. */
export function MakePlan({ title }: { readonly title: string }): ReactNode {
  const [problem, setProblem] = useState("");
  const units = useUnits();
  const fileId = useId();
  const read = async (file: File | undefined) => {
    if (!file) return;
    setProblem("");
    try {
      sayEdit({
        what: `the plan ${file.name}`.slice(0, 118),
        plan: planFromText(await file.text(), file.name),
      });
    } catch (error) {
      setProblem(
        error instanceof ExplainedError ? `${error.advice.happened} ${error.advice.doNext}` : String(error),
      );
    }
  };
  const make = async () => {
    setProblem("");
    try {
      sayEdit({ what: "a first plan", plan: await planToBeginWith(title, units) });
    } catch (error) {
      setProblem(sayWhy(error));
    }
  };
  return (
    <div className="actions">
      <button type="button" className="press" onClick={() => void make()}>
        Make a plan
      </button>
      <input
        id={fileId}
        className="unseen"
        type="file"
        accept=".json,application/json"
        onChange={(event) => void read(event.target.files?.[0])}
      />
      <label htmlFor={fileId} className="link choose">
        Read a plan file
      </label>
      {problem && (
        <p role="alert" className="none-needed">
          {problem}
        </p>
      )}
    </div>
  );
}
