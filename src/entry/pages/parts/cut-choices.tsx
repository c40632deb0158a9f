import type { ReactNode } from "react";
import type { Said } from "#documents/said";
import { say } from "../data/say.ts";
import { Stepped } from "./stepped.tsx";

/** What of the talk stays in the cut: questions or not, and how long a pause may be. */
export function CutChoices({ said }: { readonly said: Said }): ReactNode {
  return (
    <fieldset className="choices">
      <legend>What stays</legend>
      <label className="tick">
        <input
          type="checkbox"
          checked={said.keepQuestions}
          onChange={(event) => say({ kind: "keepQuestions", keepQuestions: event.target.checked })}
        />
        The interviewer’s questions
      </label>
      <Stepped
        label="Longest pause inside an answer"
        unit="s"
        value={said.longestPause}
        min={0.2}
        max={60}
        step={0.2}
        digits={1}
        fewer="shorter"
        more="longer"
        onSay={(longestPause) => say({ kind: "longestPause", longestPause })}
      />
    </fieldset>
  );
}
