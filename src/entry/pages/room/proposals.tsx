import { type ReactNode, useCallback, useEffect, useRef, useState } from "react";
import type { Plan } from "#documents/plan";
import type { Proposals } from "#documents/room-proposals";
import { drawPlan } from "#room/plan-drawing";
import { number } from "../words/numbers.ts";
import { Prose } from "../words/prose.tsx";
import type { Units } from "../words/units.ts";
import { openPlanWorker, type PlanWorker } from "./ask-plan-worker.ts";
import { sayEdit, tryEdit } from "./draft-plan.ts";
import { Drawing } from "./drawing.tsx";
import { inks } from "./plan-inks.ts";

/** Asks for stagings, shows three that differ truly with their reasons, and takes the one that is chosen. */
export function ProposalsPart({ plan, units }: { readonly plan: Plan; readonly units: Units }): ReactNode {
  const [found, setFound] = useState<{ readonly for: Plan; readonly proposals: Proposals } | null>(null);
  const [progress, setProgress] = useState<number | null>(null);
  const [problem, setProblem] = useState("");
  const worker = useRef<PlanWorker | null>(null);
  const stop = useCallback(() => {
    worker.current?.end();
    worker.current = null;
    setProgress(null);
  }, []);
  useEffect(() => stop, [stop]);
  const begin = () => {
    stop();
    setProblem("");
    setProgress(0);
    const own = openPlanWorker(
      (data) => {
        if (data.kind === "progress") return setProgress(data.done);
        if (data.kind === "proposals") setFound({ for: plan, proposals: data.proposals });
        else if (data.kind === "failed") setProblem(data.says);
        stop();
      },
      () => {
        setProblem(
          "The stagings could not be searched for in this browser. The command gemel room --propose does the same.",
        );
        stop();
      },
    );
    worker.current = own;
    own.ask({ kind: "proposals", plan, seed: 1 });
  };
  const isOld = found !== null && found.for !== plan;
  return (
    <section className="proposals" aria-labelledby="proposals-name">
      <h3 id="proposals-name">Other stagings</h3>
      {progress === null ? (
        <p>
          <button type="button" className="link" onClick={begin}>
            {found ? "Propose again" : "Propose three stagings"}
          </button>{" "}
          <span className="quiet">
            What you told to stay keeps its place; the search takes a few seconds.
          </span>
        </p>
      ) : (
        <p role="status">
          Trying stagings, {number(progress * 100)} %.{" "}
          <button type="button" className="link" onClick={stop}>
            Stop
          </button>
        </p>
      )}
      {problem && <p role="alert">{problem}</p>}
      {found && (
        <>
          {found.proposals.proposals.length === 0 && (
            <ul className="findings">
              {found.proposals.inTheWay.map((rule) => (
                <li key={rule.code} className="finding">
                  <span className="sign" aria-hidden="true">
                    ‡
                  </span>
                  <div>
                    <p className="says">{rule.says}</p>
                    <p className="remedy">{rule.remedy}</p>
                  </div>
                </li>
              ))}
            </ul>
          )}
          <ol className="three">
            {found.proposals.proposals.map((proposal, i) => (
              <li key={proposal.title + String(proposal.total)}>
                <Drawing
                  className="small-plan"
                  svg={
                    drawPlan(proposal.plan, {
                      size: { width: 300 },
                      colours: inks,
                      units,
                      prefix: `proposal-${i}`,
                    }).svg
                  }
                />
                <h4>
                  <Prose text={proposal.title} />{" "}
                  <span className="least tnum">{number(proposal.total)} of 100</span>
                </h4>
                {proposal.why.map((why) => (
                  <p key={why}>
                    <Prose text={why} />
                  </p>
                ))}
                {proposal.differs && (
                  <p className="quiet">
                    <Prose text={proposal.differs} />
                  </p>
                )}
                <details className="as-table">
                  <summary>What goes where, and the scores</summary>
                  <ul>
                    {proposal.moved.map(({ id, says }) => (
                      <li key={id}>
                        <Prose text={says} />
                      </li>
                    ))}
                  </ul>
                  <dl className="facts">
                    {proposal.rules.map((rule) => (
                      <div key={rule.code} style={{ display: "contents" }}>
                        <dt title={rule.says}>{rule.name}</dt>
                        <dd>{number(rule.score * 100)}</dd>
                      </div>
                    ))}
                  </dl>
                </details>
                <p className="actions">
                  <button
                    type="button"
                    className="link"
                    disabled={isOld}
                    onPointerEnter={() => !isOld && tryEdit(plan, { what: "", plan: proposal.plan })}
                    onPointerLeave={() => tryEdit(plan, null)}
                    onClick={() =>
                      sayEdit({ what: `the staging "${proposal.title}"`.slice(0, 118), plan: proposal.plan })
                    }
                  >
                    Take this one
                  </button>
                </p>
              </li>
            ))}
          </ol>
          {isOld && <p className="quiet">The plan has changed since; propose again to take one of these.</p>}
          {found.proposals.proposals.length > 0 && (
            <p className="caption">
              As the plan stands it has {number(found.proposals.now.total)} of 100
              {found.proposals.now.broken.length > 0
                ? `, and ${found.proposals.now.broken.map(({ name }) => name.toLowerCase()).join(", ")} is not kept`
                : ""}
              . {number(found.proposals.evaluations)} stagings were tried.
            </p>
          )}
        </>
      )}
    </section>
  );
}
