import { type DragEvent, type ReactNode, useId, useRef, useState } from "react";
import type { NewSittingRequest } from "#documents/routes";
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

/** A sitting made of recordings that are dropped here, chosen, or named by their paths. */
export function NewSitting({
  inFolder,
  onMade,
}: {
  readonly inFolder: string;
  readonly onMade: () => void;
}): ReactNode {
  const [title, setTitle] = useState("");
  const [given, setGiven] = useState<Record<Device, Given>>({ A: nothing, B: nothing, sound: nothing });
  const [backup, setBackup] = useState("");
  const [inPlace, setInPlace] = useState(false);
  const [problem, setProblem] = useState("");
  const [doing, setDoing] = useState("");
  const stop = useRef<AbortController | null>(null);
  const titleId = useId();
  const backupId = useId();
  const hasFiles = places.some(({ device }) => given[device].files.length > 0);

  const change = (device: Device, part: Partial<Given>) =>
    setGiven((old) => ({ ...old, [device]: { ...old[device], ...part } }));

  const make = async () => {
    const name = title.trim();
    if (!name) return setProblem("The sitting has no title yet. Write one; it can be changed later.");
    if (!places.some(({ device }) => given[device].files.length > 0 || pathsOf(given[device]).length > 0))
      return setProblem(
        "There are no recordings yet. Drop files on a camera, or write the path of its card.",
      );
    setProblem("");
    const controller = new AbortController();
    stop.current = controller;
    try {
      setDoing("Making the folder.");
      const draft = hasFiles ? await ask("api/drafts", { title: name }) : null;
      const devices: NewSittingRequest["devices"] = [];
      for (const { device, kind } of places) {
        const paths = pathsOf(given[device]);
        for (const file of given[device].files) {
          setDoing(`Taking over ${file.name}.`);
          const sent = await upload(
            draft!.draft,
            file,
            (share) => setDoing(`Taking over ${file.name}, ${percent(share)} of ${bytes(file.size)}.`),
            controller.signal,
          );
          paths.push(sent.path);
        }
        if (paths.length > 0) devices.push({ device, kind, paths });
      }
      setDoing("Opening it.");
      await ask("api/sittings", {
        title: name,
        devices,
        ...(draft ? { draft: draft.draft } : {}),
        ...(backup.trim() ? { backups: [backup.trim()] } : {}),
        ...(inPlace ? { inPlace: true } : {}),
      });
      onMade();
    } catch (error) {
      if (!(error instanceof DOMException && error.name === "AbortError")) setProblem(sayWhy(error));
    } finally {
      stop.current = null;
      setDoing("");
    }
  };

  return (
    <form
      className="new-sitting"
      aria-label="A new sitting"
      onSubmit={(event) => {
        event.preventDefault();
        void make();
      }}
    >
      <h3>A new one</h3>
      <div className="one-line">
        <label htmlFor={titleId}>Title</label>
        <input id={titleId} type="text" value={title} onChange={(event) => setTitle(event.target.value)} />
      </div>
      <div className="drops">
        {places.map((place) => (
          <Drop
            key={place.device}
            {...place}
            given={given[place.device]}
            onChange={(part) => change(place.device, part)}
          />
        ))}
      </div>
      <div className="one-line">
        <label htmlFor={backupId}>A second copy to</label>
        <input
          id={backupId}
          type="text"
          value={backup}
          placeholder="a folder on another drive"
          onChange={(event) => setBackup(event.target.value)}
        />
      </div>
      <label className="tick">
        <input type="checkbox" checked={inPlace} onChange={(event) => setInPlace(event.target.checked)} />
        Work from named files where they lie, without a copy
      </label>
      {problem && (
        <p role="alert" className="said none-needed">
          {problem}
        </p>
      )}
      <div className="actions">
        <button type="submit" className="press" disabled={doing !== ""}>
          {doing === "" ? "Make it and begin" : "At work"}
        </button>
        {doing !== "" && (
          <>
            <span role="status">{doing}</span>
            <button type="button" className="link" onClick={() => stop.current?.abort()}>
              Stop
            </button>
          </>
        )}
        {doing === "" && inFolder && <span className="quiet path">It goes into {inFolder}.</span>}
      </div>
    </form>
  );
}

const pathsOf = ({ paths }: Given): string[] =>
  paths
    .split("\n")
    .map((line) => line.trim().replace(/^["'](.*)["']$/, "$1"))
    .filter((line) => line !== "");

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
      <label htmlFor={pathsId}>Or paths of files or of the card, one a line</label>
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
