import type { ReactNode } from "react";
import { Opener } from "../parts/chapter-section.tsx";
import { before } from "../parts/chapters.ts";

/** Room, Kit and Day keep their place; each says plainly that it has not begun. */
export function NotYet(): ReactNode {
  return (
    <div className="chapter before">
      {before.map((place) => (
        <section key={place.id} id={place.id} aria-labelledby={`${place.id}-name`} tabIndex={-1}>
          <Opener place={place} question={place.question} />
          <p className="short">{place.honest}</p>
        </section>
      ))}
    </div>
  );
}
