import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import { openBrowser, pages, quantile, serve } from "./pages-browser.ts";
import { longPage } from "./pages-sitting.ts";
import type { BenchRow } from "./row.ts";

/*
 * The page over an invented sitting of two hours, in a real browser. The references are the budgets that the page is
 * built to.
 */

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
  const browser = await openBrowser();
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
