import { type ReactNode, useEffect, useRef } from "react";

const keys: readonly (readonly [string, string])[] = [
  ["1 to 0", "the chapters, Room to Handover"],
  ["N, P", "next, previous finding"],
  ["Enter", "the finding’s remedy"],
  ["Space", "play the cut, or stop it"],
  ["↑, ↓", "in the braid: the cut before, the cut after"],
  ["←, →", "in the braid: the shot on A, on B"],
  ["Delete", "in the braid: fold the shot away"],
  ["U", "in the braid: unfold the next crease, or fold it"],
  ["Ctrl Z", "take back what was said last"],
  ["Ctrl Y", "do it again"],
  ["D", "dim the page"],
  ["?", "this list"],
];

export function KeysDialog({
  isOpen,
  onClose,
  letters,
  onLetters,
}: {
  readonly isOpen: boolean;
  readonly onClose: () => void;
  readonly letters: boolean;
  readonly onLetters: (on: boolean) => void;
}): ReactNode {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const element = dialog.current;
    if (isOpen && element && !element.open) element.showModal();
    if (!isOpen && element?.open) element.close();
  }, [isOpen]);
  return (
    <dialog ref={dialog} className="keys" aria-labelledby="keys-name" onClose={onClose}>
      <h2 className="opener" id="keys-name" style={{ font: "600 19px/24px var(--serif)" }}>
        Keys
      </h2>
      <dl className="facts">
        {keys.map(([key, does]) => (
          <div key={key} style={{ display: "contents" }}>
            <dt>{does}</dt>
            <dd>
              <b>{key}</b>
            </dd>
          </div>
        ))}
      </dl>
      <label>
        <input type="checkbox" checked={letters} onChange={(event) => onLetters(event.target.checked)} />
        Single letters and figures act as keys
      </label>
      <button type="button" className="press" onClick={onClose}>
        Close
      </button>
    </dialog>
  );
}
