import { ExplainedError, explainedErrorFrom, type SerialisedError } from "#errors/explained-error";

/** An error as plain data, to send between processes. */
export function explainedErrorOr(error: unknown): SerialisedError | { message: string } {
  if (error instanceof ExplainedError) return error.toJSON();
  return { message: error instanceof Error ? (error.stack ?? error.message) : String(error) };
}

/** The error again, on the other side. */
export function errorFromSent(sent: unknown): Error {
  if (sent && typeof sent === "object" && "code" in sent && "advice" in sent)
    return explainedErrorFrom(sent as SerialisedError);
  const message = sent && typeof sent === "object" && "message" in sent ? String(sent.message) : String(sent);
  return new Error(message);
}
