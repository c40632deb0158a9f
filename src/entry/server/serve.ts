import { randomBytes } from "node:crypto";
import { createServer, type IncomingMessage, type Server, type ServerResponse } from "node:http";
import type { AddressInfo } from "node:net";
import { basename } from "node:path";
import { fileURLToPath } from "node:url";
import type { LiveSitting } from "#jobs/live-sitting";
import { accessOf } from "./access.ts";
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

const keepAliveMs = 15_000;

/**
 * Serves one sitting's page on loopback.
 *
 * @param port - 0 for any free one.
 */
export async function serveSitting(
  live: LiveSitting,
  port = 0,
  pages: string = pagesFolder,
): Promise<OpenServer> {
  const token = randomBytes(24).toString("base64url");
  const streams = new Set<ServerResponse>();
  const server = createServer((request, response) => {
    answer(request, response).catch(() => {
      if (!response.headersSent) response.writeHead(500).end();
      else response.destroy();
    });
  });

  async function answer(request: IncomingMessage, response: ServerResponse): Promise<void> {
    for (const [name, value] of Object.entries(headers)) response.setHeader(name, value);
    const refuse = (status: number, why: string): void =>
      void response.writeHead(status, { "Content-Type": "text/plain; charset=utf-8" }).end(`${why}\n`);
    const access = accessOf(request, token, (server.address() as AddressInfo).port);
    if (access.say === "refuse") return refuse(access.status, access.why);
    if (request.method !== "GET" && request.method !== "HEAD") return refuse(405, "This page only reads.");
    const url = new URL(request.url ?? "/", "http://localhost");
    if (access.say === "enter") {
      response.writeHead(303, { "Set-Cookie": access.cookie, Location: "./" }).end();
      return;
    }
    let path: string;
    try {
      path = decodeURIComponent(url.pathname).slice(1);
    } catch {
      return refuse(400, "That address is not spelt as an address.");
    }
    if (path === "api/sitting") {
      response.setHeader("Cache-Control", "no-store");
      response
        .writeHead(200, { "Content-Type": "application/json; charset=utf-8" })
        .end(JSON.stringify(live.page()));
      return;
    }
    if (path === "api/progress") return follow(request, response);
    const below = path.startsWith("files/")
      ? await fileBelow(live.folder, path.slice("files/".length))
      : await fileBelow(pages, path === "" ? "index.html" : path);
    if (below === undefined) return refuse(404, "There is nothing at this address.");
    await sendFile(request, response, below, {
      ...(url.searchParams.has("download") ? { download: basename(below) } : {}),
      immutable: path.startsWith("assets/"),
    });
  }

  /** Server-sent events: the page as it is now, and again after each change. */
  function follow(request: IncomingMessage, response: ServerResponse): void {
    response.writeHead(200, { "Content-Type": "text/event-stream", "Cache-Control": "no-store" });
    const send = (): void => void response.write(`event: sitting\ndata: ${JSON.stringify(live.page())}\n\n`);
    const stop = live.onChange(send);
    const beat = setInterval(() => response.write(": still here\n\n"), keepAliveMs);
    streams.add(response);
    request.on("close", () => {
      stop();
      clearInterval(beat);
      streams.delete(response);
    });
    send();
  }

  await listen(server, port);
  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}/?key=${token}`,
    close: async () => {
      for (const stream of streams) stream.destroy();
      server.closeAllConnections();
      await new Promise<void>((resolve) => server.close(() => resolve()));
    },
  };
}

const listen = (server: Server, port: number): Promise<void> =>
  new Promise((resolve, reject) => {
    server.once("error", reject);
    server.listen(port, "127.0.0.1", () => resolve());
  });
