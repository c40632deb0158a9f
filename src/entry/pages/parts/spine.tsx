import type { ReactNode } from "react";
import type { SittingPage } from "#documents/page";
import { day } from "../words/numbers.ts";
import { setUnits, useUnits } from "../words/units.ts";
import { after, before, type ChapterPlace } from "./chapters.ts";
import { ChapterMark } from "./marks.tsx";
import { RunningWork } from "./running-work.tsx";
import { SaidBar } from "./said-bar.tsx";

/** Two rings, the upper one of each crossing alternately: a gemel. */
export function Rings({ size = 27 }: { readonly size?: number }): ReactNode {
  return (
    <svg
      width={size}
      height={size * 0.72}
      viewBox="0 0 27 19.5"
      fill="none"
      strokeWidth="2"
      aria-hidden="true"
    >
      <circle cx="9.6" cy="9.75" r="8" stroke="var(--a)" />
      <circle cx="17.4" cy="9.75" r="8" stroke="var(--b)" />
      <path d="M13.5 2.77A8 8 0 0 1 17.6 9.75" stroke="var(--a)" />
    </svg>
  );
}

/** The contents, always at hand: two parts, ten chapters, each with its mark. */
export function Spine({
  page,
  title,
  current,
  isOpen,
  onGo,
  onDim,
  onKeys,
  onSittings,
  isDim,
}: {
  readonly page: SittingPage;
  /** As it stands with what is on its way to be kept. */
  readonly title: string;
  readonly current: string;
  readonly isOpen: boolean;
  readonly onGo: () => void;
  readonly onDim: () => void;
  readonly onKeys: () => void;
  readonly onSittings: () => void;
  readonly isDim: boolean;
}): ReactNode {
  const units = useUnits();
  const row = (place: ChapterPlace) => {
    const chapter = page.chapters.find((c) => c.name === place.id);
    return (
      <li key={place.id}>
        <a
          className="spine-row"
          href={`#${place.id}`}
          aria-current={current === place.id ? "location" : undefined}
          onClick={onGo}
        >
          <span className="spine-number">{place.number}</span>
          <span className="spine-name">{place.name}</span>
          <ChapterMark state={chapter?.state ?? "notBegun"} findings={chapter?.findings ?? []} />
        </a>
      </li>
    );
  };
  return (
    <nav className="spine" id="spine" aria-label="Contents" data-open={isOpen}>
      {/* biome-ignore lint/a11y/useValidAnchor: it goes to the front; the handler only closes the contents on a phone */}
      <a className="spine-head" href="#sitting" onClick={onGo}>
        <span className="gemel">
          <Rings />
          Gemel
        </span>
        <span className="spine-title" style={{ display: "block" }}>
          {title}
        </span>
        <span className="spine-date" style={{ display: "block" }}>
          {day(page.createdAt)}
        </span>
      </a>
      <h2 className="spine-part">Before</h2>
      <ol>{before.map(row)}</ol>
      <h2 className="spine-part">After</h2>
      <ol>{after.map(row)}</ol>
      <RunningWork page={page} />
      <div className="spine-said">
        <SaidBar />
      </div>
      <div className="spine-foot">
        <button type="button" onClick={onSittings}>
          <span>Other sittings</span>
        </button>
        <button type="button" onClick={onDim} aria-pressed={isDim}>
          <span>Dim the page</span>
          <span className="key" aria-hidden="true">
            D
          </span>
        </button>
        <button
          type="button"
          onClick={() => setUnits(units === "metric" ? "feet" : "metric")}
          aria-label={`Lengths in ${units === "metric" ? "metres; change to feet and inches" : "feet and inches; change to metres"}`}
        >
          <span>{units === "metric" ? "Lengths in metres" : "Lengths in feet"}</span>
        </button>
        <button type="button" onClick={onKeys}>
          <span>All keys</span>
          <span className="key" aria-hidden="true">
            ?
          </span>
        </button>
      </div>
    </nav>
  );
}
