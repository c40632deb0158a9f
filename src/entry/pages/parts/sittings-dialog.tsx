import { type ReactNode, useEffect, useRef, useState } from "react";
import type { HomePage } from "#documents/routes";
import { ask } from "../data/ask.ts";
import { sayWhy } from "../data/upload.ts";
import { day } from "../words/numbers.ts";
import { NewSitting } from "./new-sitting.tsx";

/** Other sittings: those of late, one by its folder, and a new one. */
export function SittingsDialog({
  isOpen,
  onClose,
}: {
  readonly isOpen: boolean;
  readonly onClose: () => void;
}): ReactNode {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const element = dialog.current;
    if (isOpen && element && !element.open) element.showModal();
    if (!isOpen && element?.open) element.close();
  }, [isOpen]);
  return (
    <dialog ref={dialog} className="keys sittings" aria-labelledby="sittings-name" onClose={onClose}>
      <header className="opener">
        <h2 id="sittings-name">Sittings</h2>
        <span className="question">Which one?</span>
        <button type="button" className="link" onClick={onClose}>
          Close
        </button>
      </header>
      {isOpen && <Inside onClose={onClose} />}
    </dialog>
  );
}

function Inside({ onClose }: { readonly onClose: () => void }): ReactNode {
  const [home, setHome] = useState<HomePage | null>(null);
  const [problem, setProblem] = useState("");
  const [folder, setFolder] = useState("");
  useEffect(() => {
    ask("api/home").then(setHome, (error: unknown) => setProblem(sayWhy(error)));
  }, []);
  const open = (which: string) => {
    setProblem("");
    ask("api/open", { folder: which }).then(onClose, (error: unknown) => setProblem(sayWhy(error)));
  };
  return (
    <div className="sittings-parts">
      {problem && (
        <p role="alert" className="said none-needed">
          {problem}
        </p>
      )}
      <NewSitting inFolder={home?.newSittingsIn ?? ""} onMade={onClose} />
      <div>
        <h3>Of late</h3>
        {home && home.recent.length === 0 && <p className="quiet">None yet but this one.</p>}
        <ul className="recent">
          {home?.recent.map((sitting) => (
            <li key={sitting.folder}>
              <div>
                <span className="name">{sitting.title}</span>{" "}
                <span className="least">{day(sitting.openedAt)}</span>
                <br />
                <span className="path quiet">{sitting.folder}</span>
              </div>
              {sitting.folder === home.open ? (
                <span className="quiet">open</span>
              ) : sitting.isThere ? (
                <button
                  type="button"
                  className="link"
                  aria-label={`Open ${sitting.title}`}
                  onClick={() => open(sitting.folder)}
                >
                  Open
                </button>
              ) : (
                <span className="quiet">not there now</span>
              )}
            </li>
          ))}
        </ul>
        <form
          className="one-line"
          onSubmit={(event) => {
            event.preventDefault();
            if (folder.trim()) open(folder.trim());
          }}
        >
          <label htmlFor="open-folder">A sitting by its folder</label>
          <input
            id="open-folder"
            type="text"
            value={folder}
            onChange={(event) => setFolder(event.target.value)}
            placeholder="/films/tide-mill"
          />
          <button type="submit" className="link">
            Open
          </button>
        </form>
      </div>
    </div>
  );
}
