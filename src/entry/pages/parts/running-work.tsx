import { type ReactNode, useState } from "react";
import type { SittingPage } from "#documents/page";
import { ask } from "../data/ask.ts";
import { sayWhy } from "../data/upload.ts";
import { percent } from "../words/numbers.ts";
import { leftWords } from "../words/times.ts";
import { after } from "./chapters.ts";

/** What is at work now, how far it is, how long it takes yet, and how to stop it. */
export function RunningWork({ page }: { readonly page: SittingPage }): ReactNode {
  const [problem, setProblem] = useState("");
  const [isStopping, setStopping] = useState(false);
  const working = page.chapters.filter((c) => c.state === "working");
  if (!page.running && !page.proxiesProgress) return null;
  const left = Math.max(-1, ...working.map((c) => c.progress?.secondsLeft ?? -1));
  const stop = () => {
    setProblem("");
    setStopping(true);
    ask("api/cancel", {})
      .catch((error: unknown) => setProblem(sayWhy(error)))
      .finally(() => setStopping(false));
  };
  return (
    <section className="running" aria-label="At work">
      <ul>
        {working.map((c) => (
          <li key={c.name}>
            <a href={`#${c.name}`}>{after.find((p) => p.id === c.name)?.name ?? c.name}</a>
            <span className="tnum">{percent(c.progress?.done ?? 0)}</span>
          </li>
        ))}
        {page.proxiesProgress && (
          <li>
            <span>Small copies, to play</span>
            <span className="tnum">{percent(page.proxiesProgress.done)}</span>
          </li>
        )}
        {page.running && working.length === 0 && <li>Beginning</li>}
      </ul>
      {left >= 0 && <p>{leftWords(left)}</p>}
      {page.running && (
        <button type="button" className="link" disabled={isStopping} onClick={stop}>
          {isStopping ? "Stopping" : "Stop the work"}
        </button>
      )}
      {problem && <p role="alert">{problem}</p>}
    </section>
  );
}
