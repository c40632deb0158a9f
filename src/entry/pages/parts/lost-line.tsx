import { type ReactNode, useEffect, useState } from "react";
import type { Line } from "../data/held-sitting.ts";

/** Says that the page may be old, and when it tries again. */
export function LostLine({ line, onTry }: { readonly line: Line; readonly onTry: () => void }): ReactNode {
  const [now, setNow] = useState(Date.now());
  useEffect(() => {
    if (line.state !== "lost") return;
    const timer = setInterval(() => setNow(Date.now()), 500);
    return () => clearInterval(timer);
  }, [line.state]);
  if (line.state !== "lost") return null;
  const seconds = Math.max(0, Math.ceil((line.nextTry - now) / 1000));
  return (
    <div className="lost">
      <span role="status">{line.why}</span>
      <span className="tnum" aria-hidden="true">
        {seconds === 0 ? "Trying now." : `Trying again in ${seconds} s.`}
      </span>
      <button type="button" className="link" onClick={onTry}>
        Try now
      </button>
    </div>
  );
}
