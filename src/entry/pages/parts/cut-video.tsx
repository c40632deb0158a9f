import { type ReactNode, useEffect, useRef, useState } from "react";
import {
  cutPlayer,
  useCutDuration,
  useCutPlays,
  useCutProblem,
  useCutTime,
  useScreen,
} from "../data/cut-player.ts";
import { fileDeck } from "../data/deck.ts";
import { type ProxyCut, ProxyDeck } from "../data/proxy-deck.ts";
import { fileAddress } from "../words/addresses.ts";
import { clockTime, spokenLength } from "../words/times.ts";

/** What a screen shows: the rendered file, or the cut as it stands, from the small copies. */
export type Played =
  | {
      readonly kind: "file";
      readonly path: string;
      readonly durationSeconds: number;
      /** Its first picture as a still. */
      readonly poster?: string;
    }
  | { readonly kind: "proxies"; readonly cut: ProxyCut };

/** The first cut on one of its screens. Where filled it has the chapter's filled button. */
export function CutVideo({
  played,
  poster,
  label,
  hasBar = true,
  isFilled = true,
  note,
}: {
  readonly played: Played;
  readonly poster: string | undefined;
  readonly label: string;
  readonly hasBar?: boolean;
  readonly isFilled?: boolean;
  readonly note?: ReactNode;
}): ReactNode {
  const duration = played.kind === "file" ? played.durationSeconds : (played.cut.events.at(-1)?.end ?? 0);
  return (
    <div className="player">
      {played.kind === "file" ? (
        <FileScreen path={played.path} poster={played.poster ?? poster} label={label} />
      ) : (
        <ProxyScreen cut={played.cut} poster={poster} label={label} />
      )}
      {hasBar && <CutBar duration={duration} isFilled={isFilled} />}
      {note}
    </div>
  );
}

function FileScreen({
  path,
  poster,
  label,
}: {
  readonly path: string;
  readonly poster: string | undefined;
  readonly label: string;
}): ReactNode {
  const show = useScreen();
  const video = useRef<HTMLVideoElement>(null);
  // A small still stands in only until the video can show a frame of its own.
  const [hasFrame, setHasFrame] = useState(false);
  useEffect(() => (video.current ? show(fileDeck(video.current)) : undefined), [show]);
  return (
    <div className="screen">
      {/* biome-ignore lint/a11y/useMediaCaption: the cut's words are the sitter's own; captions come with the transcript */}
      <video
        ref={video}
        src={fileAddress(path)}
        poster={poster && !hasFrame ? fileAddress(poster) : undefined}
        preload="auto"
        onLoadedData={() => setHasFrame(true)}
        playsInline
        aria-label={label}
        onClick={() => cutPlayer.toggle()}
      />
    </div>
  );
}

function ProxyScreen({
  cut,
  poster,
  label,
}: {
  readonly cut: ProxyCut;
  readonly poster: string | undefined;
  readonly label: string;
}): ReactNode {
  const show = useScreen();
  const box = useRef<HTMLElement>(null);
  const deck = useRef<ProxyDeck | null>(null);
  const first = useRef(cut);
  useEffect(() => {
    const [a, b] = [...(box.current?.querySelectorAll("video") ?? [])];
    if (!box.current || !a || !b) return;
    const made = new ProxyDeck(box.current, [a, b], first.current);
    deck.current = made;
    const hide = show(made);
    return () => {
      made.close();
      hide();
    };
  }, [show]);
  useEffect(() => {
    first.current = cut;
    deck.current?.setCut(cut);
  }, [cut]);
  return (
    // biome-ignore lint/a11y/useKeyWithClickEvents: the same as the button beneath and as Space
    <section className="screen two" ref={box} aria-label={label} onClick={() => cutPlayer.toggle()}>
      {poster && <img src={fileAddress(poster)} alt="" />}
      {/* Without sound: the dialogue is played beside them. */}
      <video muted playsInline preload="auto" />
      <video muted playsInline preload="auto" />
    </section>
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
  const end = Math.max(useCutDuration() || duration, 0.1);
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
