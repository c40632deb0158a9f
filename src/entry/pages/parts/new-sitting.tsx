import { type ReactNode, useId, useState } from "react";
import { ask } from "../data/ask.ts";
import { PlanFirst } from "../room/plan-first.tsx";
import { RecordingDrops, TakeOver, useGivenRecordings } from "./recording-drops.tsx";

/** A sitting made of recordings that are dropped here, chosen, or named by their paths. */
export function NewSitting({
  inFolder,
  onMade,
}: {
  readonly inFolder: string;
  readonly onMade: () => void;
}): ReactNode {
  const [title, setTitle] = useState("");
  const [backup, setBackup] = useState("");
  const [inPlace, setInPlace] = useState(false);
  const recordings = useGivenRecordings();
  const titleId = useId();
  const backupId = useId();

  const make = async () => {
    const name = title.trim();
    if (!name)
      return recordings.complain("The sitting has no title yet. Write one; it can be changed later.");
    if (recordings.isEmpty)
      return recordings.complain(
        "There are no recordings yet. Drop files on a camera, or write the path of its card.",
      );
    const isMade = await recordings.take({ title: name }, (devices, draft) =>
      ask("api/sittings", {
        title: name,
        devices,
        ...(draft ? { draft } : {}),
        ...(backup.trim() ? { backups: [backup.trim()] } : {}),
        ...(inPlace ? { inPlace: true } : {}),
      }),
    );
    if (isMade) onMade();
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
      <RecordingDrops recordings={recordings} />
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
      <PlanFirst title={title} onMade={onMade} />
      <TakeOver
        recordings={recordings}
        text="Make it and begin"
        quiet={inFolder && <span className="quiet path">It goes into {inFolder}.</span>}
      />
    </form>
  );
}
