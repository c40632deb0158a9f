import { randomBytes } from "node:crypto";
import { createServer, type IncomingMessage, type Server, type ServerResponse } from "node:http";
import type { AddressInfo } from "node:net";
import { basename } from "node:path";
import { fileURLToPath } from "node:url";
import type { Studio } from "#jobs/studio";
import { accessOf } from "./access.ts";
import { apiRoutes } from "./answer-api.ts";
import { openFollowers } from "./follow.ts";
import { badRequest, Refused, refusedFrom, sendRefusal } from "./refusal.ts";
import { fileBelow, sendFile } from "./send-file.ts";

export interface OpenServer {
  /** With the key: whoever has this address is let in. */
  readonly address: string;
  close(): Promise<void>;
}

/** Built pages lie beside the built program. */
const pagesFolder = fileURLToPath(new URL("../../../pages/", import.meta.url));

const headers: Readonly<Record<string, string>> = {
  "Content-Security-Policy":
    "default-src 'self'; img-src 'self' data:; style-src 'self' 'unsafe-inline'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'; form-action 'none'",
  "X-Content-Type-Options": "nosniff",
  "Referrer-Policy": "no-referrer",
  "Cross-Origin-Resource-Policy": "same-origin",
  "Cross-Origin-Opener-Policy": "same-origin",
};

/** A file of the sitting may be anybody's work: opened by itself it runs nothing and reads nothing. [ASVS 5.0.0: 3.2.1] */
const filePolicy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; media-src 'self'; sandbox";
/** Results are named by what they were made of: what lies there never changes. */
const namedByContent = /^measured\/(?:[a-z]+|remembered)\/[0-9a-f]{24}\//;
const headersTimeoutMs = 30_000;

/**
 * Serves the pages and the open sitting on loopback.
 *
 * @param port - 0 for any free one.
 */
export async function serveStudio(
  studio: Studio,
  port = 0,
  pages: string = pagesFolder,
): Promise<OpenServer> {
  const token = randomBytes(24).toString("base64url");
  const followers = openFollowers(studio);
  const routes = apiRoutes(studio);
  const server = createServer((request, response) => {
    answer(request, response).catch((error: unknown) => sendRefusal(response, refusedFrom(error)));
  });
  // A card's file may take an hour to come; only the head of a request has to be quick.
  server.requestTimeout = 0;
  server.headersTimeout = headersTimeoutMs;

  async function answer(request: IncomingMessage, response: ServerResponse): Promise<void> {
    for (const [name, value] of Object.entries(headers)) response.setHeader(name, value);
    const access = accessOf(request, token, (server.address() as AddressInfo).port);
    if (access.say === "refuse") throw new Refused(access.status, { code: "NOT_LET_IN", says: access.why });
    const url = new URL(request.url ?? "/", "http://localhost");
    const isReading = request.method === "GET" || request.method === "HEAD";
    if (access.say === "enter") {
      if (!isReading) throw notThisWay(request, "GET");
      response.writeHead(303, { "Set-Cookie": access.cookie, Location: "./" }).end();
      return;
    }
    const path = decoded(url.pathname).slice(1);
    if (path.startsWith("api/")) return await answerApi(request, response, url, path.slice("api/".length));
    if (!isReading) throw notThisWay(request, "GET");
    await answerFile(request, response, url, path);
  }

  async function answerApi(
    request: IncomingMessage,
    response: ServerResponse,
    url: URL,
    name: string,
  ): Promise<void> {
    if (name === "progress") {
      if (request.method !== "GET") throw notThisWay(request, "GET");
      return followers.add(request, response);
    }
    const route = Object.hasOwn(routes, name) ? routes[name] : undefined;
    if (!route) throw notThere();
    if (request.method !== route.method) throw notThisWay(request, route.method);
    await route.answer({ request, response, url });
  }

  async function answerFile(
    request: IncomingMessage,
    response: ServerResponse,
    url: URL,
    path: string,
  ): Promise<void> {
    const inSitting = path.startsWith("files/") ? path.slice("files/".length) : undefined;
    const below =
      inSitting === undefined
        ? await fileBelow(pages, path === "" ? "index.html" : path)
        : await fileBelow(studio.live().folder, inSitting);
    if (below === undefined) throw notThere();
    if (inSitting !== undefined) response.setHeader("Content-Security-Policy", filePolicy);
    await sendFile(request, response, below, {
      ...(url.searchParams.has("download") ? { download: basename(below) } : {}),
      immutable: path.startsWith("assets/") || namedByContent.test(inSitting ?? ""),
    });
  }

  await listen(server, port);
  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}/?key=${token}`,
    close: async () => {
      followers.close();
      server.closeAllConnections();
      await new Promise<void>((resolve) => server.close(() => resolve()));
    },
  };
}

const notThere = (): Refused =>
  new Refused(404, { code: "NOT_FOUND", says: "There is nothing at this address." });

const notThisWay = (request: IncomingMessage, allowed: string): Refused =>
  new Refused(
    405,
    { code: "METHOD", says: `This address takes ${allowed}, not ${request.method ?? "that"}.` },
    { Allow: allowed === "GET" ? "GET, HEAD" : allowed },
  );

function decoded(pathname: string): string {
  try {
    return decodeURIComponent(pathname);
  } catch {
    throw badRequest("That address is not spelt as an address.");
  }
}

const listen = (server: Server, port: number): Promise<void> =>
  new Promise((resolve, reject) => {
    server.once("error", reject);
    server.listen(port, "127.0.0.1", () => resolve());
  });
