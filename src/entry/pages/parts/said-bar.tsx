import type { ReactNode } from "react";
import { useHeld } from "../data/held-sitting.ts";
import { takeBack } from "../data/say.ts";
import { Prose } from "../words/prose.tsx";

/** What can be taken back, and whether all is kept. */
export function SaidBar({
  only,
}: {
  readonly only?: "chart" | "microphone" | "voice" | "picture";
}): ReactNode {
  const { page, waiting, line } = useHeld();
  if (!page) return null;
  if (!page.undo && !page.redo && waiting.length === 0) return null;
  // Beside the chart only what was said of it; the words are those of the document.
  if (only && !page.undo?.includes(only) && !page.redo?.includes(only)) return null;
  const last = waiting.length > 0;
  return (
    <div className="said-bar">
      <p>
        {(page.undo || last) && (
          <button type="button" className="link" onClick={() => void takeBack("api/undo")}>
            <span>
              <Prose text={page.undo && !last ? `Undo: ${page.undo}` : "Undo"} />
            </span>
          </button>
        )}
        {page.redo && !last && (
          <button type="button" className="link" onClick={() => void takeBack("api/redo")}>
            <span>
              <Prose text={`Redo: ${page.redo}`} />
            </span>
          </button>
        )}
        <span role="status" className="quiet">
          {last
            ? line.state === "lost"
              ? "Waits for the line."
              : "Being kept."
            : page.undo
              ? "All is kept."
              : ""}
        </span>
      </p>
    </div>
  );
}
