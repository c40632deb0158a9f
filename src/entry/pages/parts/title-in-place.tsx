import { type ReactNode, useEffect, useRef, useState } from "react";
import { say } from "../data/say.ts";

/** The sitting's title as the page's heading; a press turns it into a line to write on. */
export function TitleInPlace({ title }: { readonly title: string }): ReactNode {
  const [draft, setDraft] = useState<string | null>(null);
  const line = useRef<HTMLInputElement>(null);
  const button = useRef<HTMLButtonElement>(null);
  const isOpen = draft !== null;
  const wasOpen = useRef(false);
  useEffect(() => {
    if (isOpen) line.current?.select();
    else if (wasOpen.current) button.current?.focus();
    wasOpen.current = isOpen;
  }, [isOpen]);
  const leave = () => setDraft(null);
  const keep = () => {
    const wanted = draft?.trim() ?? "";
    if (wanted !== "" && wanted !== title) say({ kind: "title", title: wanted.slice(0, 200) });
    leave();
  };
  return (
    <>
      <h1 id="sitting-name" className={isOpen ? "unseen" : undefined}>
        {title}
      </h1>
      {draft === null ? (
        <button ref={button} type="button" className="link" onClick={() => setDraft(title)}>
          Rename
        </button>
      ) : (
        <form
          className="title-line"
          onSubmit={(event) => {
            event.preventDefault();
            keep();
          }}
        >
          <input
            ref={line}
            type="text"
            maxLength={200}
            aria-label="Title of the sitting"
            value={draft}
            onChange={(event) => setDraft(event.target.value)}
            onKeyDown={(event) => {
              if (event.key !== "Escape") return;
              event.stopPropagation();
              leave();
            }}
          />
          <button type="submit" className="link">
            Keep
          </button>
          <button type="button" className="link" onClick={leave}>
            Leave it
          </button>
        </form>
      )}
    </>
  );
}
