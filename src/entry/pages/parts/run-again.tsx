import { type ReactNode, useState } from "react";
import type { SittingPage } from "#documents/page";
import { ask } from "../data/ask.ts";

/** Asks the program to do what is left to do. */
export function RunAgain({
  page,
  text,
  isFilled = true,
}: {
  readonly page: SittingPage;
  readonly text: string;
  readonly isFilled?: boolean;
}): ReactNode {
  const [problem, setProblem] = useState("");
  const run = () => {
    setProblem("");
    ask("api/run", {}).catch((error: unknown) =>
      setProblem(error instanceof Error ? error.message : String(error)),
    );
  };
  return (
    <>
      <button type="button" className={isFilled ? "press" : "link"} disabled={page.running} onClick={run}>
        {page.running ? "At work" : text}
      </button>
      {problem && <span role="alert">{problem}</span>}
    </>
  );
}
