import { basename } from "node:path";
import { ExplainedError } from "#errors/explained-error";

/** Slowest reading and decoding that still counts as working, and the wait that any file is granted. */
const grantedSeconds = 60;
const slowestBytesPerSecond = 4_000_000;
const slowestDecodingFactor = 20;
const slowestSeekBytesPerSecond = 20_000_000;

/**
 * How long the work on one file may take. Only time spent inside the library counts: a caller that looks at a
 * picture for a minute does not use it up. A call that hangs is left pending and {@link isStuck} turns true:
 * nothing it uses may then be freed, for the library is still at work on it.
 */
export class TimeLimit {
  readonly path: string;
  readonly seconds: number;
  readonly stallSeconds: number;
  #spent = 0;
  #resumedAt: number | undefined;
  #isStuck = false;
  #interrupt: (() => void) | undefined;

  /**
   * @param size - Bytes of the file and, where known, seconds of media to be decoded.
   */
  constructor(path: string, size: { readonly bytes: number; readonly seconds?: number }) {
    this.path = path;
    this.seconds =
      grantedSeconds + size.bytes / slowestBytesPerSecond + (size.seconds ?? 0) * slowestDecodingFactor;
    this.stallSeconds = grantedSeconds + size.bytes / slowestSeekBytesPerSecond;
  }

  get isStuck(): boolean {
    return this.#isStuck;
  }

  /** Called when a call hangs, so that a blocked read can give up. */
  onExpiry(interrupt: () => void): void {
    this.#interrupt = interrupt;
  }

  /**
   * Waits for one library call.
   *
   * @throws ExplainedError `MEDIA_TOO_SLOW`: the call hangs, or the file's whole time is used up.
   */
  async guard<Answer>(call: Promise<Answer>): Promise<Answer> {
    const startedAt = performance.now();
    let timer: NodeJS.Timeout | undefined;
    const expiry = new Promise<never>((_, reject) => {
      timer = setTimeout(() => {
        this.#isStuck = true;
        this.#interrupt?.();
        reject(this.#tooSlow());
      }, this.stallSeconds * 1000);
    });
    try {
      return await Promise.race([call, expiry]);
    } finally {
      clearTimeout(timer);
      this.#spent += performance.now() - startedAt;
      if (this.#spent > this.seconds * 1000 && !this.#isStuck) this.#failWhenOver();
    }
  }

  /** Marks the begin of work that blocks this thread; see {@link check}. */
  resume(): void {
    this.#resumedAt = performance.now();
  }

  /** Counts the time since {@link resume} or the last check. */
  check(): void {
    const now = performance.now();
    if (this.#resumedAt !== undefined) this.#spent += now - this.#resumedAt;
    this.#resumedAt = now;
    this.#failWhenOver();
  }

  #failWhenOver(): void {
    if (this.#spent > this.seconds * 1000) throw this.#tooSlow();
  }

  #tooSlow(): ExplainedError {
    const name = basename(this.path);
    return new ExplainedError(
      "MEDIA_TOO_SLOW",
      {
        happened: `Reading ${name} was given up after ${Math.round(Math.max(this.#spent / 1000, this.#isStuck ? this.stallSeconds : 0))} seconds.`,
        means:
          "Its drive answers too slowly, or the file is damaged in a way that never ends. Nothing was changed.",
        doNext:
          "Copy the file to a fast local disk and give the same command again; if it still stops there, use another copy.",
      },
      { path: this.path, limitSeconds: this.seconds, stallSeconds: this.stallSeconds },
    );
  }
}
