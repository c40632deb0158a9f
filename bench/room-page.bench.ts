import type { Browser, Page } from "playwright-core";
import { loftPlan } from "../demo/loft-plan.ts";
import { openBrowser, quantile, serve } from "./pages-browser.ts";
import { longPage } from "./pages-sitting.ts";
import type { BenchRow } from "./row.ts";

/*
 * Things of the plan dragged about in a real browser; the references are the budgets that the page is built to. Work of
 * the main thread is its processor time by the browser's own trace, so that it is the same whatever else the machine does.
 * The graphics are drawn by the processor: a picture takes longer here than on a machine with a graphics processor.
 */

const softwareGraphics = ["--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--ignore-gpu-blocklist"];
const steps = 40;

interface TraceEvent {
  readonly name: string;
  readonly ph: string;
  readonly pid: number;
  readonly tid: number;
  readonly ts: number;
  readonly dur?: number;
  readonly tdur?: number;
  readonly args?: { readonly name?: string; readonly data?: { readonly type?: string } };
}

/** Milliseconds of processor time of the page's main thread. */
interface Works {
  /** For each movement of the pointer: everything that is done until the next one, whichever frames it falls in. */
  readonly steps: readonly number[];
  /** For each frame that draws a step: everything since the frame before. */
  readonly frames: readonly number[];
}

function worksOf(trace: readonly TraceEvent[]): Works {
  const moves = trace.filter(
    ({ name, args }) => name === "EventDispatch" && args?.data?.type === "pointermove",
  );
  const { pid, tid } = moves[0]!;
  const own = trace.filter((event) => event.pid === pid && event.tid === tid && event.ph === "X");
  const tasks = own.filter(({ name }) => name === "RunTask").sort((a, b) => a.ts - b.ts);
  const within = (task: TraceEvent, name: string): boolean =>
    own.some((e) => e.name === name && e.ts >= task.ts && e.ts <= task.ts + (task.dur ?? 0));
  const frames: number[] = [];
  let sum = 0;
  for (const task of tasks) {
    if (task.ts < moves[0]!.ts) continue;
    sum += (task.tdur ?? 0) / 1000;
    if (!within(task, "Commit")) continue;
    if (within(task, "FireAnimationFrame")) frames.push(sum);
    sum = 0;
  }
  const steps = moves.slice(1, -1).map(({ ts }, i) => {
    const until = moves[i + 2]!.ts;
    return (
      tasks
        .filter((task) => task.ts + (task.dur ?? 0) > ts && task.ts + (task.dur ?? 0) <= until)
        .reduce((all, task) => all + (task.tdur ?? 0), 0) / 1000
    );
  });
  return { steps, frames };
}

/** A thing of the plan gripped and led in a circle, and let go where it was. */
async function drag(page: Page, name: RegExp): Promise<Works> {
  const thing = page.locator("#room").getByRole("button", { name });
  await thing.scrollIntoViewIfNeeded();
  const box = (await thing.boundingBox())!;
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  const at = (step: number): [number, number] => [
    x + 45 * Math.sin((step / steps) * 2 * Math.PI),
    y + 45 * (1 - Math.cos((step / steps) * 2 * Math.PI)) * 0.5,
  ];
  await page.mouse.move(x, y);
  await page.mouse.down();
  const round = async (): Promise<void> => {
    for (let step = 1; step <= steps; step++) {
      await page.mouse.move(...at(step));
      await page.waitForTimeout(90);
    }
  };
  // The first round warms what is compiled and drawn for the first time.
  await round();
  const browser = page.context().browser()!;
  await browser.startTracing(page, {
    categories: ["devtools.timeline", "disabled-by-default-devtools.timeline"],
  });
  await round();
  const { traceEvents } = JSON.parse((await browser.stopTracing()).toString()) as {
    traceEvents: TraceEvent[];
  };
  await page.keyboard.press("Escape");
  await page.mouse.up();
  return worksOf(traceEvents);
}

/**
 * Milliseconds from a change of the plan to the pixels of a camera's new coarse picture, read back: the graphics have done
 * their work by then. A function of the page: gripped thing, pixels to the right.
 */
const toPicture = `async (label, picture) => {
  const thing = [...document.querySelectorAll("#room .plan .thing")].find((one) => one.ariaLabel.startsWith(label));
  const canvas = document.querySelector('#room canvas[aria-label="' + picture + '"]');
  const pixels = () => {
    const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
    let sum = canvas.width * 7;
    for (let i = 0; i < data.length; i += 4) sum = (sum * 31 + data[i]) | 0;
    return sum;
  };
  const box = thing.getBoundingClientRect();
  const [x, y] = [box.left + box.width / 2, box.top + box.height / 2];
  const tell = (type, dx) => thing.dispatchEvent(new PointerEvent(type, { bubbles: true, pointerId: 1, button: 0, clientX: x + dx, clientY: y }));
  thing.setPointerCapture = () => {};
  tell("pointerdown", 0);
  const times = [];
  for (let i = 0; i < 16; i++) {
    const before = pixels();
    const from = performance.now();
    tell("pointermove", 12 * (1 + (i % 4)));
    while (pixels() === before && performance.now() - from < 3000) await new Promise(requestAnimationFrame);
    if (i > 3) times.push(performance.now() - from);
    await new Promise((done) => setTimeout(done, 60));
  }
  tell("pointermove", 0);
  tell("pointerup", 0);
  return times;
}`;

/** How to read the processor time that the browser's graphics have taken so far, ms. */
async function graphicsOf(browser: Browser): Promise<() => Promise<number>> {
  const session = await browser.newBrowserCDPSession();
  return async () => {
    const { processInfo } = await session.send("SystemInfo.getProcessInfo");
    return 1000 * processInfo.filter(({ type }) => type === "GPU").reduce((sum, p) => sum + p.cpuTime, 0);
  };
}

/** Measures each row when it is asked for. */
export default async function* bench(): AsyncIterable<BenchRow> {
  const browser = await openBrowser(softwareGraphics);
  const planned = longPage("still.svg");
  const server = await serve({
    ...planned,
    chapters: [],
    said: { ...planned.said, plan: loftPlan },
  });
  try {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    await page.goto(server.address);
    await page.evaluate(`(async () => {
      document.documentElement.style.scrollBehavior = "auto";
      while (!document.querySelector("#room canvas")) await new Promise(requestAnimationFrame);
      document.querySelector("#room .plan").scrollIntoView();
    })()`);
    // The pictures are rendered, not the line drawings that stand in for them.
    await page.waitForFunction(
      "document.querySelectorAll('#room canvas:not(.waits)').length >= 2",
      undefined,
      { timeout: 120_000 },
    );
    const row = (what: string, ours: number, theirs: number): BenchRow => ({
      chapter: "room-page",
      what,
      unit: "ms",
      ours,
      reference: "the budget",
      theirs,
    });
    for (const [what, name] of [
      ["sitter", /^the miller:/],
      ["camera", /^Camera A:/],
      ["light", /^key light/],
    ] as const) {
      const { steps: all, frames } = await drag(page, name);
      yield row(`${what} dragged, main thread a frame: median`, quantile(frames, 0.5), 8);
      yield row(`${what} dragged, main thread a frame: 95th %`, quantile(frames, 0.95), 8);
      yield row(`${what} dragged, with all that it causes: median`, quantile(all, 0.5), 8);
      yield row(`${what} dragged, with all that it causes: 95th %`, quantile(all, 0.95), 8);
    }
    const graphics = await graphicsOf(browser);
    await page.evaluate(`{
      const { prototype } = CanvasRenderingContext2D;
      const put = prototype.putImageData;
      window.pictures = 0;
      prototype.putImageData = function (...of) { window.pictures++; put.apply(this, of); };
    }`);
    const before = await graphics();
    const times = await page.evaluate<number[]>(`(${toPicture})("Camera A:", "What camera A sees")`);
    const worked = (await graphics()) - before;
    yield row(
      "a coarse picture (software), processor time of the graphics: mean",
      worked / (await page.evaluate<number>("window.pictures")),
      100,
    );
    yield row("camera moved, to its coarse picture (software): median", quantile(times, 0.5), 100);
    yield row("camera moved, to its coarse picture (software): worst", quantile(times, 1), 100);
  } finally {
    await browser.close();
    server.close();
  }
}
