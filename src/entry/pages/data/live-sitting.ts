import { useCallback, useEffect, useRef } from "react";
import type { SittingPage } from "#documents/page";
import type { ServerEvents } from "#documents/routes";
import { ask, Refused } from "./ask.ts";
import { holdPage, holdProgress, holdSaid, type Line, readHeld, setHeld, useHeld } from "./held-sitting.ts";
import { sendWaiting } from "./say.ts";

const waits = [1, 2, 4, 8, 15];

/** Seconds to wait before the n-th try (from 0). */
function waitSeconds(tries: number): number {
  return waits[Math.min(tries, waits.length - 1)]!;
}

const on: { [Name in keyof ServerEvents]: (news: ServerEvents[Name]) => void } = {
  sitting: holdPage,
  progress: holdProgress,
  said: holdSaid,
};

/**
 * The sitting, kept fresh: once by `api/sitting`, then by the messages of `api/progress`. A lost line is told and tried
 * again, and after it comes back the sitting is read anew, for nothing says what was missed.
 */
export function useLiveSitting(): { page: SittingPage | null; line: Line; tryNow: () => void } {
  const { page, line } = useHeld();
  const tries = useRef(0);
  const connect = useRef<() => void>(() => {});

  useEffect(() => {
    let stopped = false;
    let source: EventSource | null = null;
    let timer: ReturnType<typeof setTimeout> | undefined;

    const lost = (why: string) => {
      if (stopped) return;
      source?.close();
      clearTimeout(timer);
      const seconds = waitSeconds(tries.current++);
      setHeld({ line: { state: "lost", why, nextTry: Date.now() + seconds * 1000 } });
      timer = setTimeout(() => connect.current(), seconds * 1000);
    };

    connect.current = () => {
      clearTimeout(timer);
      source?.close();
      ask("api/sitting").then(
        (fresh) => {
          if (stopped) return;
          holdPage(fresh);
          source = new EventSource("api/progress");
          source.addEventListener("open", () => {
            tries.current = 0;
            setHeld({ line: { state: "live", why: "", nextTry: 0 } });
            sendWaiting();
          });
          for (const [name, hold] of Object.entries(on))
            source.addEventListener(name, (message) =>
              (hold as (news: unknown) => void)(JSON.parse((message as MessageEvent<string>).data)),
            );
          source.addEventListener("error", () =>
            lost(
              readHeld().waiting.length > 0
                ? "The page has lost touch with Gemel. What you said waits here, and is kept as soon as the line is back."
                : "The page has lost touch with Gemel; what it shows may be old.",
            ),
          );
        },
        (error: unknown) =>
          lost(error instanceof Refused ? error.message : "The page cannot reach Gemel on this machine."),
      );
    };
    connect.current();
    return () => {
      stopped = true;
      clearTimeout(timer);
      source?.close();
    };
  }, []);

  const tryNow = useCallback(() => {
    tries.current = 0;
    connect.current();
  }, []);
  return { page, line, tryNow };
}
