import type { Conflict } from "#documents/routes";
import type { Change } from "#documents/said";
import { ask, Refused } from "./ask.ts";
import { holdPage, holdSaid, readHeld, setHeld } from "./held-sitting.ts";
import { keep, readKept } from "./kept.ts";

/*
 * What a reader says goes to the server one change after the other, each on the revision that it was made on. A change
 * shows at once; it waits where the line is lost, also over a reload, and is told where it could not be made.
 */

interface Waiting {
  readonly change: Change;
  /** The revision that the reader saw; null where it was made on top of one that waited. */
  readonly revision: string | null;
}

let queue: Waiting[] = [];
/** What is on its way; whoever sends or takes back meanwhile waits for the same. */
let sending: Promise<void> | null = null;

const place = (): string => `waiting.${readHeld().page?.folder ?? ""}`;

function told(next: Waiting[]): void {
  queue = next;
  keep(place(), JSON.stringify(queue));
  setHeld({ waiting: queue.map(({ change }) => change) });
}

/** Makes one change: shown at once, kept by the server as soon as it can be. */
export function say(change: Change): void {
  const { page } = readHeld();
  if (!page) return;
  setHeld({ notice: "" });
  told([...queue, { change, revision: queue.length === 0 ? page.revision : null }]);
  void send();
}

let lastTakenBack: Promise<void> = Promise.resolve();

/** Takes the last change back, or does it again; one after the other, and after changes that are on their way. */
export function takeBack(route: "api/undo" | "api/redo"): Promise<void> {
  lastTakenBack = lastTakenBack.then(() => takeOneBack(route));
  return lastTakenBack;
}

async function takeOneBack(route: "api/undo" | "api/redo"): Promise<void> {
  await send();
  const { page } = readHeld();
  if (!page || queue.length > 0) return;
  try {
    holdSaid(await ask(route, { revision: page.revision }));
    setHeld({ notice: "" });
  } catch (error) {
    refused(error);
  }
}

/** Called when the line is there, first or again: what waits goes on its way. */
export function sendWaiting(): void {
  if (queue.length === 0) {
    try {
      const kept = JSON.parse(readKept(place()) ?? "[]") as Waiting[];
      if (Array.isArray(kept) && kept.length > 0) told(kept);
    } catch {
      // Kept by another release, or spoilt: there is nothing that could be sent.
    }
  }
  void send();
}

function send(): Promise<void> {
  sending ??= sendAll().finally(() => {
    sending = null;
  });
  return sending;
}

async function sendAll(): Promise<void> {
  for (let next = queue[0]; next; next = queue[0]) {
    const { page } = readHeld();
    if (!page) return;
    try {
      const state = await ask("api/said", {
        revision: next.revision ?? page.revision,
        change: next.change,
      });
      holdSaid(state);
      told(queue.slice(1));
    } catch (error) {
      if (!(error instanceof Refused)) return;
      told(queue.slice(1));
      refused(error);
    }
  }
}

function refused(error: unknown): void {
  if (error instanceof Refused && error.status === 409) {
    const { page } = error.refusal as Conflict;
    if (page) holdPage(page);
  }
  setHeld({
    notice:
      error instanceof Refused ? error.message : "Gemel cannot be reached, so this was not done. Try again.",
  });
}

// Nobody closes the page over a change that is kept nowhere but here.
addEventListener("beforeunload", (event) => {
  if (queue.length > 0) event.preventDefault();
});
