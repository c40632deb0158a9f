import { cpSync, mkdtempSync, rmSync } from "node:fs";
import { request as ask, createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { BrowserContext, Page } from "playwright-core";
import { finishedSitting } from "../helpers/demo.ts";
import { startGemel } from "../helpers/run-gemel.ts";

export interface ServedSitting {
  readonly folder: string;
  /** With the key: the address that `gemel start` printed. */
  readonly address: string;
  close(): Promise<void>;
}

/** Serves a copy of the finished demo sitting by the built program, as a person would. */
export async function serveFinished(): Promise<ServedSitting> {
  // Whoever works on the pages names a sitting that is finished already, and saves the minutes.
  const finished = process.env["GEMEL_FINISHED_SITTING"] ?? (await finishedSitting());
  const base = mkdtempSync(join(tmpdir(), "gemel-pages-"));
  const folder = join(base, "sitting");
  cpSync(finished, folder, { recursive: true });
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
