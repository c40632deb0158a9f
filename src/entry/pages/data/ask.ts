import type { Refusal, Routes } from "#documents/routes";

/** The server understood and said no; `message` is its sentence and what to do. */
export class Refused extends Error {
  readonly status: number;
  readonly refusal: Refusal;
  constructor(status: number, refusal: Refusal) {
    super(refusal.doNext ? `${refusal.says} ${refusal.doNext}` : refusal.says);
    this.status = status;
    this.refusal = refusal;
  }
}

/**
 * Asks the server behind this page.
 *
 * @throws Refused where it says no; TypeError where it cannot be reached.
 */
export async function ask<R extends keyof Routes>(
  route: R,
  ...[body]: Routes[R]["request"] extends null ? [] : [Routes[R]["request"]]
): Promise<Routes[R]["answer"]> {
  const answer = await fetch(
    route,
    body === undefined
      ? { headers: { accept: "application/json" }, cache: "no-store" }
      : {
          method: "POST",
          headers: { accept: "application/json", "content-type": "application/json" },
          body: JSON.stringify(body),
        },
  );
  if (answer.ok) return (await answer.json()) as Routes[R]["answer"];
  throw await refusalOf(answer);
}

/** A refusal as JSON where the server told one, else a sentence for the status. */
export async function refusalOf(answer: Response): Promise<Refused> {
  const says =
    answer.status === 401 || answer.status === 403
      ? "This address lacks its key. Open the address that Gemel printed on the terminal."
      : `Gemel answered ${answer.status} to the page.`;
  const told = (await answer.json().catch(() => null)) as Refusal | null;
  return new Refused(
    answer.status,
    told && typeof told.says === "string" && answer.status !== 403
      ? told
      : { code: `HTTP_${answer.status}`, says },
  );
}
