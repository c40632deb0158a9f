import { type ReactNode, useState } from "react";
import type { HandoverResult } from "#documents/chapter-results";
import {
  cutPlayer,
  useCutDuration,
  useCutPlays,
  useCutProblem,
  useCutTime,
  useScreen,
} from "../data/cut-player.ts";
import { fileAddress } from "../words/addresses.ts";
import { clockTime, spokenLength } from "../words/times.ts";

/** The first cut on one of its screens. `main` has the filled button and a slide; others play at a click on the picture. */
export function CutVideo({
  cut,
  poster,
  label,
  hasBar = true,
  isFilled = true,
}: {
  readonly cut: NonNullable<HandoverResult["firstCut"]>;
  readonly poster: string | undefined;
  readonly label: string;
  readonly hasBar?: boolean;
  readonly isFilled?: boolean;
}): ReactNode {
  const screen = useScreen();
  // A small still stands in only until the video can show a frame of its own.
  const [hasFrame, setHasFrame] = useState(false);
  return (
    <div className="player">
      <div className="screen">
        {/* biome-ignore lint/a11y/useMediaCaption: the cut's words are the sitter's own; captions come with the transcript */}
        <video
          ref={screen}
          src={fileAddress(cut.path)}
          poster={poster && !hasFrame ? fileAddress(poster) : undefined}
          preload="auto"
          onLoadedData={() => setHasFrame(true)}
          playsInline
          aria-label={label}
          onClick={() => cutPlayer.toggle()}
        />
      </div>
      {hasBar && <CutBar duration={cut.durationSeconds} isFilled={isFilled} />}
    </div>
  );
}

function CutBar({
  duration,
  isFilled,
}: {
  readonly duration: number;
  readonly isFilled: boolean;
}): ReactNode {
  const time = useCutTime();
  const plays = useCutPlays();
  const problem = useCutProblem();
  const end = Math.max(useCutDuration(), duration, 0.1);
  return (
    <>
      <input
        className="slide"
        type="range"
        min={0}
        max={end}
        step={0.04}
        value={Math.min(time, end)}
        style={{ ["--at" as string]: `${(Math.min(time, end) / end) * 100}%` }}
        aria-label="Place in the cut"
        aria-valuetext={`${clockTime(time)} of ${spokenLength(end)}`}
        onChange={(event) => cutPlayer.seek(Number(event.target.value))}
      />
      <div className="bar">
        <button type="button" className={isFilled ? "press" : "link"} onClick={() => cutPlayer.toggle()}>
          {plays ? "Stop" : `Play from ${clockTime(time >= end - 0.05 ? 0 : time)}`}
          {isFilled && (
            <span className="key" aria-hidden="true">
              Space
            </span>
          )}
        </button>
        <span className="place">
          {clockTime(time)} of {clockTime(end)}
        </span>
        {problem && <span role="status">{problem}</span>}
      </div>
    </>
  );
}
