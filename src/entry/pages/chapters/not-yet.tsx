import type { ReactNode } from "react";
import { Opener } from "../parts/chapter-section.tsx";
import { before } from "../parts/chapters.ts";

/** Day keeps its place, and says plainly that it has not begun. */
export function NotYet(): ReactNode {
  return (
    <section className="chapter" id="day" aria-labelledby="day-name" tabIndex={-1}>
      <Opener place={before[2]!} question="Where are we?" />
      <p className="verdict">Not begun. The slate and the log on the phone come with a later release.</p>
    </section>
  );
}
