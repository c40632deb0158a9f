import type { ReactNode } from "react";
import { setHeld, useHeld } from "../data/held-sitting.ts";

/** Says, wherever the reader is, that something said was not done, and why. Stays until it is put away or all is well. */
export function NoticeLine(): ReactNode {
  const { notice } = useHeld();
  return (
    <div role="alert">
      {notice !== "" && (
        <div className="lost">
          <span>
            <span className="sign" aria-hidden="true">
              †{" "}
            </span>
            {notice}
          </span>
          <button type="button" className="link" onClick={() => setHeld({ notice: "" })}>
            Put this away
          </button>
        </div>
      )}
    </div>
  );
}
