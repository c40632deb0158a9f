import { readdirSync, readFileSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { extname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import type { SittingPage } from "#documents/page";
import { longPage } from "./pages-sitting.ts";
import type { BenchRow } from "./row.ts";

/*
 * The page over an invented sitting of two hours, in a real browser. The references are the budgets that the page is
 * built to.
 */

const pages = fileURLToPath(new URL("../pages/", import.meta.url));
const types: Readonly<Record<string, string>> = {
  ".html": "text/html",
  ".js": "text/javascript",
  ".css": "text/css",
  ".svg": "image/svg+xml",
  ".woff2": "font/woff2",
};
const still =
  '<svg xmlns="http://www.w3.org/2000/svg" width="320" height="180"><rect width="320" height="180" fill="#567"/></svg>';

/** Serves the built page and one sitting on loopback. */
async function serve(page: SittingPage): Promise<{ address: string; close(): void }> {
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

/** Milliseconds from a press on a faded picture to the end of the frame that shows the cut chosen anew. */
const changeAngle = `(async () => {
  document.documentElement.style.scrollBehavior = "auto";
  document.getElementById("story").scrollIntoView();
  while (!document.querySelector("#story button.unused")) await new Promise(requestAnimationFrame);
  await new Promise((done) => setTimeout(done, 300));
  const button = document.querySelector("#story button.unused");
  const from = performance.now();
  button.click();
  await new Promise((done) => requestAnimationFrame(() => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = done;
    port2.postMessage(0);
  }));
  return performance.now() - from;
})()`;

/** Scrolls down the braid, 80 px a frame; milliseconds of main-thread work of each frame. */
const scroll = `(async () => {
  document.documentElement.style.scrollBehavior = "auto";
  document.getElementById("story").scrollIntoView();
  const works = [];
  for (let i = 0; i < 400; i++) {
    works.push(await new Promise((done) => requestAnimationFrame(() => {
      const from = performance.now();
      scrollBy(0, 80);
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = () => done(performance.now() - from);
      port2.postMessage(0);
    })));
  }
  return works;
})()`;

const quantile = (values: readonly number[], share: number): number =>
  values.toSorted((a, b) => a - b)[Math.min(values.length - 1, Math.floor(values.length * share))]!;

export default async function* bench(): AsyncIterable<BenchRow> {
  const scripts = readdirSync(join(pages, "assets")).filter((name) => /^index-.*\.js$/.test(name));
  yield {
    chapter: "pages",
    what: "script of the first load, compressed",
    unit: "kB",
    ours:
      scripts.reduce((sum, name) => sum + gzipSync(readFileSync(join(pages, "assets", name))).length, 0) /
      1000,
    reference: "the budget",
    theirs: 300,
  };
  const { chromium } = await import("playwright-core");
  const { default: packaged } = await import("@sparticuz/chromium");
  const browser = await chromium.launch({
    executablePath: await packaged.executablePath(),
    args: ["--no-sandbox"],
    headless: true,
  });
  const server = await serve(longPage("still.svg"));
  try {
    const starts: number[] = [];
    const changes: number[] = [];
    let works: number[] = [];
    for (let round = 0; round < 5; round++) {
      const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
      await page.goto(server.address);
      await page.waitForSelector("h1", { state: "visible" });
      await page.waitForSelector("#story");
      starts.push(await page.evaluate<number>("performance.now()"));
      if (round === 0) works = await page.evaluate<number[]>(scroll);
      else changes.push(await page.evaluate<number>(changeAngle));
      await page.close();
    }
    const row = (what: string, ours: number, theirs: number): BenchRow => ({
      chapter: "pages",
      what,
      unit: "ms",
      ours,
      reference: "the budget",
      theirs,
    });
    yield row("two hours of cut: address opened, to a braid that answers", quantile(starts, 0.5), 1000);
    yield row("two hours of cut: an angle changed, to the frame showing it", quantile(changes, 0.5), 100);
    yield row("braid with words scrolled, main thread a frame: median", quantile(works, 0.5), 8);
    yield row("braid with words scrolled, main thread a frame: 95th %", quantile(works, 0.95), 8);
  } finally {
    await browser.close();
    server.close();
  }
}
