import { type ReactNode, useEffect, useId, useRef } from "react";
import type { SittingPage } from "#documents/page";
import { ask } from "../data/ask.ts";
import { RecordingDrops, TakeOver, useGivenRecordings } from "./recording-drops.tsx";

/** Recordings brought into the sitting that is open: its first, or more. */
export function AddRecordings({
  page,
  onDone,
  onLeave,
}: {
  readonly page: SittingPage;
  readonly onDone?: () => void;
  /** Where it was opened by a press, and can be closed again. */
  readonly onLeave?: () => void;
}): ReactNode {
  const recordings = useGivenRecordings();
  const head = useRef<HTMLHeadingElement>(null);
  const isFirst = page.recordings.length === 0;
  const id = useId();
  // On the front it is a part of the page, in a chapter a part of that.
  const Heading = onLeave ? "h3" : "h2";
  const wasPressed = onLeave !== undefined;
  useEffect(() => {
    if (wasPressed) head.current?.focus();
  }, [wasPressed]);
  const add = async () => {
    if (recordings.isEmpty)
      return recordings.complain("There is nothing here yet. Drop files on a camera, or write a path.");
    const isDone = await recordings.take({ title: page.title, open: true }, (devices, draft) =>
      ask("api/recordings", { devices, ...(draft ? { draft } : {}) }),
    );
    if (isDone) onDone?.();
  };
  return (
    <form
      className="new-sitting"
      aria-labelledby={`${id}-name`}
      onSubmit={(event) => {
        event.preventDefault();
        void add();
      }}
    >
      <Heading id={`${id}-name`} className="form-head" ref={head} tabIndex={-1}>
        {isFirst ? "Bring the recordings" : "More recordings"}
      </Heading>
      <RecordingDrops recordings={recordings} />
      <TakeOver
        recordings={recordings}
        text={isFirst ? "Take them in and begin" : "Take them in"}
        quiet={
          onLeave && (
            <button type="button" className="link" onClick={onLeave}>
              Leave it as it is
            </button>
          )
        }
      />
    </form>
  );
}
