import { type ErrorCode, errorCodes } from "./error-codes.ts";

/** What a person is told: what happened, what it means for them, what to do next. */
export interface Advice {
  readonly happened: string;
  readonly means: string;
  readonly doNext: string;
}

/** Who has to act: the input or the call (exit 2), or us (exit 3). */
export type Blame = "input" | "ours";

/**
 * The one error class that carries advice.
 *
 * `code` is permanent, so that a search always finds it; `facts` is data for programs. A wrong
 * type passed by our own code is a bug and stays a plain `TypeError`.
 */
export class ExplainedError extends Error {
  override readonly name = "ExplainedError";
  readonly code: ErrorCode;
  readonly advice: Advice;
  readonly facts: Readonly<Record<string, unknown>>;

  constructor(
    code: ErrorCode,
    advice: Advice,
    facts: Readonly<Record<string, unknown>> = {},
    options?: { cause?: unknown },
  ) {
    super(`${advice.happened} ${advice.means} ${advice.doNext}`, options);
    this.code = code;
    this.advice = advice;
    this.facts = facts;
  }

  get blame(): Blame {
    return errorCodes[this.code];
  }

  /** A copy that survives the trip between processes as JSON. */
  toJSON(): SerialisedError {
    return { code: this.code, advice: this.advice, facts: this.facts };
  }
}

export interface SerialisedError {
  readonly code: ErrorCode;
  readonly advice: Advice;
  readonly facts: Readonly<Record<string, unknown>>;
}

/** Rebuilds what {@link ExplainedError.toJSON} sent. */
export function explainedErrorFrom(sent: SerialisedError): ExplainedError {
  return new ExplainedError(sent.code, sent.advice, sent.facts);
}
