import { type DragEvent, type ReactNode, useId, useRef, useState } from "react";
import type { DraftRequest, NewSittingRequest } from "#documents/routes";
import { ask } from "../data/ask.ts";
import { sayWhy, upload } from "../data/upload.ts";
import { hue } from "../words/devices.ts";
import { bytes, percent } from "../words/numbers.ts";

const places = [
  { device: "A", kind: "camera", name: "Camera A", hint: "usually the wider one" },
  { device: "B", kind: "camera", name: "Camera B", hint: "usually the tighter one" },
  { device: "sound", kind: "sound", name: "Recorder", hint: "where there was one" },
] as const;
type Device = (typeof places)[number]["device"];

interface Given {
  readonly files: readonly File[];
  /** Paths, one a line. */
  readonly paths: string;
}
const nothing: Given = { files: [], paths: "" };

/** What a person gave of each device's recordings, and how it is taken over. */
export interface GivenRecordings {
  readonly given: Readonly<Record<Device, Given>>;
  readonly change: (device: Device, part: Partial<Given>) => void;
  readonly isEmpty: boolean;
  /** What is being done, in a sentence; "" for nothing. */
  readonly doing: string;
  readonly problem: string;
  readonly complain: (problem: string) => void;
  readonly stop: () => void;
  /**
   * Sends files that were dropped or chosen, then asks with all of them.
   *
   * @returns Whether it was done; if not, `problem` says why, or it was stopped.
   */
  readonly take: (
    draft: DraftRequest,
    then: (devices: NewSittingRequest["devices"], draft: string | undefined) => Promise<unknown>,
  ) => Promise<boolean>;
}

export function useGivenRecordings(): GivenRecordings {
  const [given, setGiven] = useState<Record<Device, Given>>({ A: nothing, B: nothing, sound: nothing });
  const [problem, complain] = useState("");
  const [doing, setDoing] = useState("");
  const controller = useRef<AbortController | null>(null);
  const take: GivenRecordings["take"] = async (wish, then) => {
    complain("");
    const own = new AbortController();
    controller.current = own;
    try {
      const hasFiles = places.some(({ device }) => given[device].files.length > 0);
      setDoing("Making the folder.");
      const draft = hasFiles ? (await ask("api/drafts", wish)).draft : undefined;
      const devices: NewSittingRequest["devices"] = [];
      for (const { device, kind } of places) {
        const paths = pathsOf(given[device]);
        for (const file of given[device].files) {
          setDoing(`Taking over ${file.name}.`);
          const sent = await upload(
            draft!,
            file,
            (share) => setDoing(`Taking over ${file.name}, ${percent(share)} of ${bytes(file.size)}.`),
            own.signal,
          );
          paths.push(sent.path);
        }
        if (paths.length > 0) devices.push({ device, kind, paths });
      }
      setDoing("Opening it.");
      await then(devices, draft);
      setGiven({ A: nothing, B: nothing, sound: nothing });
      return true;
    } catch (error) {
      if (!(error instanceof DOMException && error.name === "AbortError")) complain(sayWhy(error));
      return false;
    } finally {
      controller.current = null;
      setDoing("");
    }
  };
  return {
    given,
    change: (device, part) => setGiven((old) => ({ ...old, [device]: { ...old[device], ...part } })),
    isEmpty: places.every(
      ({ device }) => given[device].files.length === 0 && pathsOf(given[device]).length === 0,
    ),
    doing,
    problem,
    complain,
    stop: () => controller.current?.abort(),
    take,
  };
}

const pathsOf = ({ paths }: Given): string[] =>
  paths
    .split("\n")
    .map((line) => line.trim().replace(/^["'](.*)["']$/, "$1"))
    .filter((line) => line !== "");

/** A place for each device's recordings. */
export function RecordingDrops({ recordings }: { readonly recordings: GivenRecordings }): ReactNode {
  return (
    <div className="drops">
      {places.map((place) => (
        <Drop
          key={place.device}
          {...place}
          given={recordings.given[place.device]}
          onChange={(part) => recordings.change(place.device, part)}
        />
      ))}
    </div>
  );
}

/** Why it was not done, the button that begins, and how it goes. */
export function TakeOver({
  recordings,
  text,
  quiet,
}: {
  readonly recordings: GivenRecordings;
  readonly text: string;
  /** Said beside the button while nothing is done. */
  readonly quiet?: ReactNode;
}): ReactNode {
  const { doing, problem, stop } = recordings;
  return (
    <>
      {problem && (
        <p role="alert" className="said none-needed">
          {problem}
        </p>
      )}
      <div className="actions">
        <button type="submit" className="press" disabled={doing !== ""}>
          {doing === "" ? text : "At work"}
        </button>
        {doing !== "" && (
          <>
            <span role="status">{doing}</span>
            <button type="button" className="link" onClick={stop}>
              Stop
            </button>
          </>
        )}
        {doing === "" && quiet}
      </div>
    </>
  );
}

/** One device: files are dropped on it, chosen with a button, or named by paths. */
function Drop({
  device,
  name,
  hint,
  given,
  onChange,
}: {
  readonly device: Device;
  readonly name: string;
  readonly hint: string;
  readonly given: Given;
  readonly onChange: (part: Partial<Given>) => void;
}): ReactNode {
  const [isOver, setOver] = useState(false);
  const pathsId = useId();
  const filesId = useId();
  const take = (list: FileList | null) => {
    if (list && list.length > 0) onChange({ files: [...given.files, ...list] });
  };
  const over = (event: DragEvent) => {
    if (![...event.dataTransfer.types].includes("Files")) return;
    event.preventDefault();
    setOver(true);
  };
  return (
    // Dropping is one of three ways; the button and the paths are the others.
    <fieldset
      className={isOver ? "drop over" : "drop"}
      onDragEnter={over}
      onDragOver={over}
      onDragLeave={() => setOver(false)}
      onDrop={(event) => {
        event.preventDefault();
        setOver(false);
        take(event.dataTransfer.files);
      }}
    >
      <legend>
        <b className={hue(device)}>{name}</b> <span className="quiet">{hint}</span>
      </legend>
      <input
        id={filesId}
        className="unseen"
        type="file"
        multiple
        accept="video/*,audio/*,.mxf,.mts,.m2ts"
        aria-label={`Choose files of ${name}`}
        onChange={(event) => {
          take(event.target.files);
          event.target.value = "";
        }}
      />
      <p>
        Drop files here, or{" "}
        <label htmlFor={filesId} className="link choose">
          choose them
        </label>
      </p>
      <ul>
        {given.files.map((file, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: one file may be given twice
          <li key={`${file.name}${i}`}>
            <span className="path">{file.name}</span> <span className="least">{bytes(file.size)}</span>{" "}
            <button
              type="button"
              className="link"
              aria-label={`Leave out ${file.name}`}
              onClick={() => onChange({ files: given.files.filter((_, j) => j !== i) })}
            >
              leave out
            </button>
          </li>
        ))}
      </ul>
      <label htmlFor={pathsId}>Or where they lie, one path a line</label>
      <textarea
        id={pathsId}
        rows={2}
        value={given.paths}
        spellCheck={false}
        onChange={(event) => onChange({ paths: event.target.value })}
      />
    </fieldset>
  );
}
