import { readFileSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { extname, join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Browser } from "playwright-core";
import type { SittingPage } from "#documents/page";

/** The built page. */
export const pages = fileURLToPath(new URL("../pages/", import.meta.url));
const types: Readonly<Record<string, string>> = {
  ".html": "text/html",
  ".js": "text/javascript",
  ".css": "text/css",
  ".svg": "image/svg+xml",
  ".woff2": "font/woff2",
};
const still =
  '<svg xmlns="http://www.w3.org/2000/svg" width="320" height="180"><rect width="320" height="180" fill="#567"/></svg>';

/** Serves the built page and one sitting on loopback; nothing that is said is kept. */
export async function serve(page: SittingPage): Promise<{ address: string; close(): void }> {
  const body = JSON.stringify(page);
  const server = createServer((request, response) => {
    const path = new URL(request.url ?? "/", "http://bench").pathname.slice(1);
    const send = (type: string, content: string | Buffer): void =>
      void response.writeHead(200, { "content-type": type }).end(content);
    if (path === "api/sitting") send("application/json", body);
    else if (path === "api/progress")
      response.writeHead(200, { "content-type": "text/event-stream" }).write(": open\n\n");
    else if (path.startsWith("api/"))
      response
        .writeHead(503, { "content-type": "application/json" })
        .end('{"code":"BENCH","says":"Nothing is kept here."}');
    else if (path.startsWith("files/")) send("image/svg+xml", still);
    else {
      const file = join(pages, path === "" ? "index.html" : path);
      send(types[extname(file)] ?? "application/octet-stream", readFileSync(file));
    }
  });
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", () => resolve()));
  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}/`,
    close: () => {
      server.closeAllConnections();
      server.close();
    },
  };
}

/** The browser that a package carries, its graphics drawn by the processor: the same everywhere. */
export async function openBrowser(args: readonly string[] = []): Promise<Browser> {
  const { chromium } = await import("playwright-core");
  const { default: packaged } = await import("@sparticuz/chromium");
  return await chromium.launch({
    executablePath: await packaged.executablePath(),
    args: ["--no-sandbox", ...args],
    headless: true,
  });
}

/** The value below which this share of all lies. */
export const quantile = (values: readonly number[], share: number): number =>
  values.toSorted((a, b) => a - b)[Math.min(values.length - 1, Math.floor(values.length * share))]!;
