import { cpSync, mkdtempSync, rmSync } from "node:fs";
import { request as ask, createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, onTestFinished } from "vitest";
import type { SittingPage } from "#documents/page";
import { openBrowser } from "../helpers/browser.ts";
import { finishedSitting, made, sittingSources } from "../helpers/demo.ts";
import { readmeRun } from "../helpers/readme.ts";
import { startGemel } from "../helpers/run-gemel.ts";
import { sizes } from "./look-over.ts";

export interface ServedSitting {
  readonly folder: string;
  /** With the key: the address that `gemel start` printed. */
  readonly address: string;
  close(): Promise<void>;
}

/**
 * The finished sitting with the small copies that a page plays: made once, or each file of tests would encode them
 * anew beside what it looks at. Only read it.
 */
const playableSitting = (): Promise<string> => made("playable", sittingSources, makePlayable, readmeRun);

async function makePlayable(work: string): Promise<void> {
  cpSync(await finishedSitting(), work, { recursive: true, preserveTimestamps: true });
  const base = mkdtempSync(join(tmpdir(), "gemel-playable-"));
  const served = await serve(["start", work, "--no-browser"], base);
  try {
    const { headers } = await fetch(served.address, { redirect: "manual" });
    const cookie = headers.getSetCookie()[0]!.split(";")[0]!;
    const isReady = async (): Promise<boolean> => {
      const answer = await fetch(new URL("/api/sitting", served.address), { headers: { cookie } });
      const { running, recordings, proxies, chapters } = (await answer.json()) as SittingPage;
      const failed = chapters.find(({ state }) => state === "failed");
      if (failed) throw new Error(`The finished sitting cannot be served: ${failed.verdict}`);
      return !running && recordings.length > 0 && proxies.length === recordings.length;
    };
    while (!(await isReady())) await wait(250);
  } finally {
    await served.close();
    rmSync(base, { recursive: true, force: true });
  }
}

/** Serves a copy of the finished demo sitting by the built program, as a person would. */
async function serveFinished(): Promise<ServedSitting> {
  // Whoever works on the pages names a sitting that is finished already, and saves the minutes.
  const finished = process.env["GEMEL_FINISHED_SITTING"] ?? (await playableSitting());
  const base = mkdtempSync(join(tmpdir(), "gemel-pages-"));
  const folder = join(base, "tide-mill");
  // With their times, the recordings are known again without being read.
  cpSync(finished, folder, { recursive: true, preserveTimestamps: true });
  return await serveFolder(folder, base);
}

/** Serves a sitting that lies in a folder of the test's own, which goes when it is closed. */
export async function serveFolder(folder: string, base: string): Promise<ServedSitting> {
  const served = await serve(["start", folder, "--no-browser"], base);
  return {
    folder,
    address: served.address,
    close: async () => {
      await served.close();
      rmSync(base, { recursive: true, force: true });
    },
  };
}

/** How a window is opened. */
interface Window {
  readonly size?: readonly [number, number];
  readonly theme?: "paper" | "dim";
  readonly locale?: string;
}

/** The finished demo sitting, served for all tests of a file, in a browser of theirs. */
export interface OpenedFinished {
  /** The copy that is served: what a test changes, it takes back. */
  readonly folder: string;
  readonly address: string;
  /** A window without motion, in light colours unless a theme was chosen; closed when the test ends. */
  newContext(how?: Window): Promise<BrowserContext>;
  /** The sitting's page in a window of its own. */
  open(how?: Window): ReturnType<typeof openPage>;
}

/** Opens the finished sitting before a file's tests, and closes all of it after them. */
export function finishedForAll(): OpenedFinished {
  let sitting: ServedSitting | undefined;
  let browser: Browser | undefined;
  beforeAll(async () => {
    sitting = await serveFinished();
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    await sitting?.close();
  });
  const newContext: OpenedFinished["newContext"] = async ({
    size = sizes[0],
    theme,
    locale = "en-GB",
  } = {}) => {
    const [width, height] = size;
    const context = await browser!.newContext({
      viewport: { width, height },
      locale,
      reducedMotion: "reduce",
      colorScheme: "light",
    });
    onTestFinished(() => context.close());
    if (theme) await context.addInitScript((kept) => localStorage.setItem("gemel.theme", kept), theme);
    return context;
  };
  return {
    get folder() {
      return sitting!.folder;
    },
    get address() {
      return sitting!.address;
    },
    newContext,
    open: async (how) => openPage(await newContext(how), sitting!.address),
  };
}

/** Starts the built program and waits for the address of its page. */
export async function serve(
  args: readonly string[],
  cwd: string,
): Promise<{ address: string; close(): Promise<void> }> {
  const running = startGemel(args, cwd);
  const address = await new Promise<string>((resolve, reject) => {
    let out = "";
    running.process.stdout!.on("data", (chunk: Buffer) => {
      out += chunk.toString();
      const found = /http:\/\/\S+/.exec(out)?.[0];
      if (found) resolve(found);
    });
    void running.ended.then(({ code, err }) =>
      reject(new Error(`gemel ${args.join(" ")} ended with ${code}: ${err}`)),
    );
  });
  return {
    address,
    close: async () => {
      running.process.kill("SIGINT");
      await running.ended;
    },
  };
}

/** A page of its own, with everything that the browser complains of. */
export async function openPage(
  context: BrowserContext,
  address: string,
): Promise<{ page: Page; complaints: string[] }> {
  const page = await context.newPage();
  const complaints: string[] = [];
  page.on("console", (message) => {
    if (["error", "warning"].includes(message.type())) complaints.push(message.text());
  });
  page.on("pageerror", (error) => complaints.push(error.message));
  await page.goto(address);
  // The first heading stands there while the sitting is still on its way; its chapters do not.
  await page.getByRole("region", { name: "Story", exact: true }).waitFor();
  return { page, complaints };
}

/** Waits until everything is measured: what a test waits for then is its own doing. */
export async function untilSettled(page: Page): Promise<void> {
  await page.waitForFunction(
    async () => !((await (await fetch("api/sitting")).json()) as { running: boolean }).running,
    null,
    { timeout: 280_000, polling: 500 },
  );
}

/** A line between page and server that can be cut and mended. */
export async function cuttableLine(address: string): Promise<{
  readonly address: string;
  cut(): Promise<void>;
  mend(): Promise<void>;
  close(): Promise<void>;
}> {
  const target = new URL(address);
  const open = (): Server =>
    createServer((incoming, outgoing) => {
      const headers = { ...incoming.headers, host: target.host };
      if (headers.origin) headers.origin = target.origin;
      const forwarded = ask(
        { host: target.hostname, port: target.port, path: incoming.url, method: incoming.method, headers },
        (answer) => {
          outgoing.writeHead(answer.statusCode ?? 502, answer.headers);
          answer.pipe(outgoing);
        },
      );
      forwarded.on("error", () => outgoing.destroy());
      outgoing.on("close", () => forwarded.destroy());
      incoming.pipe(forwarded);
    });
  let server = open();
  const listen = (port: number): Promise<void> =>
    new Promise((resolve) => server.listen(port, "127.0.0.1", () => resolve()));
  await listen(0);
  const { port } = server.address() as AddressInfo;
  const cut = async (): Promise<void> => {
    server.closeAllConnections();
    await new Promise<void>((resolve) => server.close(() => resolve()));
  };
  return {
    address: `http://127.0.0.1:${port}${target.pathname}${target.search}`,
    cut,
    mend: async () => {
      server = open();
      await listen(port);
    },
    close: cut,
  };
}
