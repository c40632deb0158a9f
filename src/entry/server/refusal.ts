import type { ServerResponse } from "node:http";
import type { SittingPage } from "#documents/page";
import type { Conflict, Refusal } from "#documents/routes";
import { ExplainedError } from "#errors/explained-error";

/** A request that is not answered as it wished; thrown anywhere on the way to an answer. */
export class Refused extends Error {
  readonly status: number;
  readonly refusal: Refusal | Conflict;
  readonly headers: Readonly<Record<string, string>>;

  constructor(status: number, refusal: Refusal | Conflict, headers: Readonly<Record<string, string>> = {}) {
    super(refusal.says);
    this.status = status;
    this.refusal = refusal;
    this.headers = headers;
  }
}

export const badRequest = (says: string): Refused => new Refused(400, { code: "REQUEST_INVALID", says });

/** 409: what was asked for rests on something that is not so any more; the page as it is now comes along. */
export const conflict = (code: string, says: string, page: SittingPage): Refused =>
  new Refused(409, { code, says, page });

/** An error in the terms of a request. What is our own fault is not told in detail (ASVS 5.0.0: 16.5.1). */
export function refusedFrom(error: unknown): Refused {
  if (error instanceof Refused) return error;
  if (!(error instanceof ExplainedError) || error.blame === "ours")
    return new Refused(500, {
      code: "INTERNAL",
      says: "Something in this program went wrong; nothing of yours was changed.",
      doNext: "Try once more; if it fails again, please report it.",
    });
  const { happened, means, doNext } = error.advice;
  const status = error.code === "USAGE" ? 400 : error.code === "DISK_FULL" ? 507 : 422;
  return new Refused(status, { code: error.code, says: happened, doNext: `${means} ${doNext}` });
}

export const sendJson = (response: ServerResponse, status: number, body: unknown): void => {
  response.setHeader("Cache-Control", "no-store");
  response.writeHead(status, { "Content-Type": "application/json; charset=utf-8" }).end(JSON.stringify(body));
};

/** Tells a refusal; a connection that has begun to answer otherwise is cut. */
export function sendRefusal(response: ServerResponse, { status, refusal, headers }: Refused): void {
  if (response.headersSent) {
    response.destroy();
    return;
  }
  for (const [name, value] of Object.entries(headers)) response.setHeader(name, value);
  sendJson(response, status, refusal);
}
