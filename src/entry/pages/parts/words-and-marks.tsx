import { type ReactNode, useId, useState } from "react";
import type { StoryResult } from "#documents/chapter-results";
import type { SittingPage } from "#documents/page";
import type { Said } from "#documents/said";
import { bringTranscript } from "../data/bring-transcript.ts";
import { cutPlayer, cutTime } from "../data/cut-player.ts";
import { say } from "../data/say.ts";
import { sayWhy } from "../data/upload.ts";
import { Pennant } from "../figures/braid-words.tsx";
import { fileName } from "../words/addresses.ts";
import { eventAt, sittingToProgram } from "../words/cut-time.ts";
import { counted } from "../words/numbers.ts";
import { clockTime } from "../words/times.ts";

/** Transcripts that were brought in, moments that were pointed at, and how to bring and point. */
export function WordsAndMarks({
  story,
  said,
  page,
}: {
  readonly story: StoryResult;
  readonly said: Said;
  readonly page: SittingPage;
}): ReactNode {
  const [isOver, setOver] = useState(false);
  const [told, setTold] = useState("");
  const [problem, setProblem] = useState("");
  const [path, setPath] = useState("");
  const filesId = useId();
  const pathId = useId();
  const bring = (from: File | string) => {
    setProblem("");
    setTold("");
    bringTranscript(from).then(
      ({ name, lines, leftOut }) => {
        setPath("");
        setTold(
          `${name}: ${counted(lines, "line")}${leftOut > 0 ? `; ${counted(leftOut, "cue")} could not be read` : ""}.`,
        );
      },
      (error: unknown) => setProblem(sayWhy(error)),
    );
  };
  return (
    <section
      className={isOver ? "choices words-and-marks over" : "choices words-and-marks"}
      aria-label="Words and marks"
      onDragEnter={(event) => {
        if (![...event.dataTransfer.types].includes("Files")) return;
        event.preventDefault();
        setOver(true);
      }}
      onDragOver={(event) => {
        if ([...event.dataTransfer.types].includes("Files")) event.preventDefault();
      }}
      onDragLeave={() => setOver(false)}
      onDrop={(event) => {
        event.preventDefault();
        setOver(false);
        for (const file of event.dataTransfer.files) bring(file);
      }}
    >
      <h3>Words and marks</h3>
      {said.transcripts.length > 0 && (
        <ul className="rows">
          {said.transcripts.map(({ file, name, recording }) => (
            <li key={file}>
              <span className="path">{name}</span>
              <select
                aria-label={`${name} counts the time of`}
                value={recording ?? ""}
                onChange={(event) =>
                  say({
                    kind: "transcript",
                    file,
                    as: { name, recording: event.target.value === "" ? null : event.target.value },
                  })
                }
              >
                <option value="">the sitting</option>
                {page.recordings.map((one) => (
                  <option key={one.hash} value={one.hash}>
                    {fileName(one.path)}
                  </option>
                ))}
              </select>
              <button
                type="button"
                className="link"
                aria-label={`Take out ${name}`}
                onClick={() => say({ kind: "transcript", file, as: null })}
              >
                take out
              </button>
            </li>
          ))}
        </ul>
      )}
      <p>
        <input
          id={filesId}
          className="unseen"
          type="file"
          accept=".vtt,.srt,text/vtt"
          aria-label="Choose a transcript"
          onChange={(event) => {
            for (const file of event.target.files ?? []) bring(file);
            event.target.value = "";
          }}
        />
        Drop a transcript here (WebVTT, SRT), or{" "}
        <label htmlFor={filesId} className="link choose">
          choose it
        </label>
      </p>
      <form
        className="one-line"
        onSubmit={(event) => {
          event.preventDefault();
          if (path.trim()) bring(path.trim());
        }}
      >
        <label htmlFor={pathId}>Or its path</label>
        <input id={pathId} type="text" value={path} onChange={(event) => setPath(event.target.value)} />
        <button type="submit" className="link">
          Bring it in
        </button>
      </form>
      {told && <p role="status">{told}</p>}
      {problem && (
        <p role="alert" className="said">
          {problem}
        </p>
      )}
      {said.marks.length > 0 && (
        <ul className="rows">
          {said.marks.map(({ at, words }) => {
            const time = sittingToProgram(story.events, at);
            return (
              <li key={at}>
                <Pennant />
                {time === null ? (
                  <span className="least">left out</span>
                ) : (
                  <button
                    type="button"
                    className="link tnum"
                    aria-label={`Go to the mark at ${clockTime(time)}`}
                    onClick={() => cutPlayer.seek(time)}
                  >
                    {clockTime(time)}
                  </button>
                )}
                <span className="said">{words}</span>
                <button
                  type="button"
                  className="link"
                  aria-label={`Take out the mark ${words}`}
                  onClick={() => say({ kind: "mark", at, words: null })}
                >
                  take out
                </button>
              </li>
            );
          })}
        </ul>
      )}
      <MarkHere story={story} />
    </section>
  );
}

/** Points at the moment under the play line, in words. */
function MarkHere({ story }: { readonly story: StoryResult }): ReactNode {
  const [words, setWords] = useState("");
  const id = useId();
  const mark = () => {
    const time = cutTime();
    const event = story.events[Math.max(0, eventAt(story.events, time + 1e-6))];
    if (!event || words.trim() === "") return;
    const at = event.sittingStart + Math.max(0, time - event.start);
    say({ kind: "mark", at: Math.round(at * 1000) / 1000, words: words.trim().slice(0, 400) });
    setWords("");
  };
  return (
    <form
      className="one-line"
      onSubmit={(event) => {
        event.preventDefault();
        mark();
      }}
    >
      <label htmlFor={id}>Mark this moment</label>
      <input
        id={id}
        type="text"
        value={words}
        maxLength={400}
        placeholder="what is there"
        onChange={(event) => setWords(event.target.value)}
      />
      <button type="submit" className="link" disabled={words.trim() === ""}>
        Mark
      </button>
    </form>
  );
}
