import type { IncomingMessage } from "node:http";
import type { z } from "zod";
import { badRequest, Refused } from "./refusal.ts";

/** No request that is JSON needs more than this, bytes. */
const mostBytes = 1_000_000;

/**
 * Refuses a body of another type than the address takes. A page of another site can post a form or plain text unasked,
 * but not these types: for them a browser asks first, and nothing here ever says yes. [ASVS 5.0.0: 3.5.2]
 */
export function checkContentType(request: IncomingMessage, wanted: string): void {
  const type = (request.headers["content-type"] ?? "").split(";")[0]!.trim().toLowerCase();
  if (type === wanted) return;
  throw new Refused(415, {
    code: "CONTENT_TYPE",
    says: `This address takes ${wanted}, not ${type === "" ? "a body of no type" : type}.`,
  });
}

/**
 * The whole body of a request.
 *
 * @throws Refused 413 where it is longer than `most` bytes.
 */
export async function readBytes(request: IncomingMessage, most: number): Promise<Buffer> {
  const tooLarge = (): Refused =>
    new Refused(
      413,
      { code: "BODY_TOO_LARGE", says: `A request may be ${most / 1e6} MB long, not longer.` },
      { Connection: "close" },
    );
  if (Number(request.headers["content-length"] ?? 0) > most) throw tooLarge();
  const blocks: Buffer[] = [];
  let bytes = 0;
  for await (const block of request as AsyncIterable<Buffer>) {
    bytes += block.length;
    if (bytes > most) throw tooLarge();
    blocks.push(block);
  }
  return Buffer.concat(blocks);
}

/** The body of a request as JSON of this shape. */
export async function readJson<Schema extends z.ZodType>(
  request: IncomingMessage,
  schema: Schema,
): Promise<z.output<Schema>> {
  checkContentType(request, "application/json");
  const bytes = await readBytes(request, mostBytes);
  let value: unknown;
  try {
    value = JSON.parse(bytes.toString("utf8"));
  } catch {
    throw badRequest("The body of this request is not JSON.");
  }
  return check(value, schema, "The request");
}

/** The query of an address in this shape. */
export const readQuery = <Schema extends z.ZodType>(url: URL, schema: Schema): z.output<Schema> =>
  check(Object.fromEntries(url.searchParams), schema, "The address");

function check<Schema extends z.ZodType>(value: unknown, schema: Schema, what: string): z.output<Schema> {
  const parsed = schema.safeParse(value);
  if (parsed.success) return parsed.data;
  const { path, message } = parsed.error.issues[0]!;
  const where = path.length === 0 ? "" : ` at ${path.map(String).join(".")}`;
  throw badRequest(
    `${what} is not what it should be${where}: ${message.charAt(0).toLowerCase()}${message.slice(1)}.`,
  );
}
