import { useCallback, useEffect, useRef, useState } from "react";
import type { SittingPage } from "#documents/page";
import { keepUnchanged } from "./keep-unchanged.ts";

/** How the page stands with the program behind it. */
export interface Line {
  readonly state: "first" | "live" | "lost";
  /** Why, in a sentence; only when lost. */
  readonly why: string;
  /** When the next try is made, ms since 1970; only when lost. */
  readonly nextTry: number;
}

const waits = [1, 2, 4, 8, 15];

/** Seconds to wait before the n-th try (from 0). */
export function waitSeconds(tries: number): number {
  return waits[Math.min(tries, waits.length - 1)]!;
}

/**
 * The sitting, kept fresh: once by `api/sitting`, then by every `sitting` message of `api/progress`. A lost line is
 * told and tried again, and after it comes back the sitting is read anew, for nothing says what was missed.
 */
export function useLiveSitting(): { page: SittingPage | null; line: Line; tryNow: () => void } {
  const [page, setPage] = useState<SittingPage | null>(null);
  const [line, setLine] = useState<Line>({ state: "first", why: "", nextTry: 0 });
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
      setLine({ state: "lost", why, nextTry: Date.now() + seconds * 1000 });
      timer = setTimeout(() => connect.current(), seconds * 1000);
    };

    const read = async () => {
      const answer = await fetch("api/sitting", {
        headers: { accept: "application/json" },
        cache: "no-store",
      });
      if (answer.status === 401 || answer.status === 403)
        throw new Error("This address lacks its key. Open the address that Gemel printed on the terminal.");
      if (!answer.ok) throw new Error(`Gemel answered ${answer.status} to the page.`);
      return (await answer.json()) as SittingPage;
    };

    connect.current = () => {
      clearTimeout(timer);
      source?.close();
      read().then(
        (fresh) => {
          if (stopped) return;
          setPage((old) => keepUnchanged(old, fresh));
          source = new EventSource("api/progress");
          source.addEventListener("open", () => {
            tries.current = 0;
            setLine({ state: "live", why: "", nextTry: 0 });
          });
          source.addEventListener("sitting", (message) => {
            const fresh = JSON.parse((message as MessageEvent<string>).data) as SittingPage;
            setPage((old) => keepUnchanged(old, fresh));
          });
          source.addEventListener("error", () =>
            lost("The page has lost touch with Gemel; what it shows may be old."),
          );
        },
        (error: unknown) =>
          lost(
            error instanceof TypeError || !(error instanceof Error)
              ? "The page cannot reach Gemel on this machine."
              : error.message,
          ),
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
