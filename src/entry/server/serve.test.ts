import { mkdir, mkdtemp, rm, symlink, writeFile } from "node:fs/promises";
import { get, type IncomingMessage, request } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { SittingPage } from "#documents/page";
import type { LiveSitting } from "#jobs/live-sitting";
import { byteRange } from "./send-file.ts";
import { type OpenServer, serveSitting } from "./serve.ts";

let folder: string;
let server: OpenServer;
let port: number;
let cookie: string;
const listeners = new Set<() => void>();

const live: LiveSitting = {
  folder: "",
  page: () => ({ title: "The tide-mill loft" }) as SittingPage,
  onChange: (listener) => {
    listeners.add(listener);
    return () => listeners.delete(listener);
  },
  run: () => Promise.reject(new Error("not run here")),
  cancel: () => {},
};

/** One raw request: nothing is normalised, so that a path can be as bad as it likes. */
const ask = (
  path: string,
  headers: Record<string, string> = {},
  method = "GET",
): Promise<{ status: number; headers: IncomingMessage["headers"]; body: string }> =>
  new Promise((resolve, reject) => {
    request(
      { host: "127.0.0.1", port, path, method, headers: { host: `127.0.0.1:${port}`, ...headers } },
      (response) => {
        const chunks: Buffer[] = [];
        response.on("data", (chunk: Buffer) => chunks.push(chunk));
        response.on("end", () =>
          resolve({
            status: response.statusCode ?? 0,
            headers: response.headers,
            body: Buffer.concat(chunks).toString(),
          }),
        );
      },
    )
      .on("error", reject)
      .end();
  });
const inside = (path: string, headers: Record<string, string> = {}, method = "GET") =>
  ask(path, { cookie, ...headers }, method);

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "gemel-serve-"));
  await mkdir(join(folder, "sitting", "handover"), { recursive: true });
  await mkdir(join(folder, "pages"));
  await writeFile(join(folder, "pages", "index.html"), "<title>page</title>");
  await writeFile(join(folder, "sitting", "handover", "first-cut.mp4"), "0123456789");
  await writeFile(join(folder, "sitting", ".lock"), "hidden");
  await writeFile(join(folder, "secret.txt"), "secret");
  await symlink(join(folder, "secret.txt"), join(folder, "sitting", "link.txt"));
  server = await serveSitting({ ...live, folder: join(folder, "sitting") }, 0, join(folder, "pages"));
  const address = new URL(server.address);
  port = Number(address.port);
  const entered = await ask(`/${address.search}`);
  cookie = entered.headers["set-cookie"]![0]!.split(";")[0]!;
});
afterAll(async () => {
  await server.close();
  await rm(folder, { recursive: true });
});

describe("the server", () => {
  it("listens on loopback alone", () => {
    expect(new URL(server.address).hostname).toBe("127.0.0.1");
  });

  it("takes the key from the address once and keeps it in a cookie that other sites and scripts cannot use", async () => {
    const entered = await ask(`/${new URL(server.address).search}`);
    expect(entered.status).toBe(303);
    expect(entered.headers.location).toBe("./");
    expect(entered.headers["set-cookie"]![0]).toMatch(/HttpOnly; SameSite=Strict/);
  });

  it.each([
    ["without the key", "/api/sitting", {}],
    ["with a wrong key", "/?key=wrong", {}],
    ["with a wrong cookie", "/api/sitting", { cookie: "gemel=wrong" }],
  ])("refuses a request %s", async (_, path, headers) => {
    expect((await ask(path, headers)).status).toBe(403);
  });

  it("refuses a name that is not its own, so that a rebound name finds nothing", async () => {
    expect((await inside("/api/sitting", { host: `tide-mill.example:${port}` })).status).toBe(403);
    expect((await inside("/api/sitting", { host: `localhost:${port}` })).status).toBe(200);
  });

  it("refuses a request that a page of another site makes, key or not", async () => {
    expect((await inside("/api/sitting", { origin: "http://tide-mill.example" })).status).toBe(403);
    expect((await inside("/api/sitting", { "sec-fetch-site": "cross-site" })).status).toBe(403);
    expect((await inside("/api/sitting", { origin: `http://127.0.0.1:${port}` })).status).toBe(200);
  });

  it("changes nothing by any method", async () => {
    for (const method of ["POST", "PUT", "DELETE", "PATCH"])
      expect((await inside("/api/sitting", {}, method)).status).toBe(405);
  });

  it.each([
    "/files/../secret.txt",
    "/files/%2e%2e/secret.txt",
    "/files/..%2fsecret.txt",
    "/files/..%5csecret.txt",
    "/files/%252e%252e/secret.txt",
    "/files//etc/passwd",
    "/files/handover/../../secret.txt",
    "/files/link.txt",
    "/files/.lock",
    "/files/handover/first-cut.mp4%00.txt",
    "/files/handover",
    "/../secret.txt",
  ])("does not read %s", async (path) => {
    const { status, body } = await inside(path);
    expect(status).toBe(404);
    expect(body).not.toContain("secret");
  });

  it("answers a range of a recording, so that a player can seek", async () => {
    const part = await inside("/files/handover/first-cut.mp4", { range: "bytes=2-5" });
    expect([part.status, part.headers["content-range"], part.body]).toEqual([206, "bytes 2-5/10", "2345"]);
    expect((await inside("/files/handover/first-cut.mp4", { range: "bytes=10-" })).status).toBe(416);
  });

  it("offers a file for saving under its own name", async () => {
    const { headers } = await inside("/files/handover/first-cut.mp4?download");
    expect(headers["content-disposition"]).toContain("first-cut.mp4");
  });

  it("lets no other site frame it, read it or run in it", async () => {
    const { headers } = await inside("/");
    expect(headers["content-security-policy"]).toContain("frame-ancestors 'none'");
    expect(headers["x-content-type-options"]).toBe("nosniff");
    expect(headers["cross-origin-resource-policy"]).toBe("same-origin");
    expect(headers["access-control-allow-origin"]).toBeUndefined();
  });

  it("sends the page at once and again after each change", async () => {
    const heard: string[] = [];
    const stream = get({
      host: "127.0.0.1",
      port,
      path: "/api/progress",
      headers: { host: `127.0.0.1:${port}`, cookie },
    });
    const twice = new Promise<void>((resolve) =>
      stream.on("response", (response) =>
        response.on("data", (chunk: Buffer) => {
          heard.push(chunk.toString());
          if (heard.length === 1) for (const listener of listeners) listener();
          if (heard.length === 2) resolve();
        }),
      ),
    );
    await twice;
    stream.destroy();
    expect(heard.every((event) => event.startsWith("event: sitting\ndata: {"))).toBe(true);
  });
});

describe("byteRange, against RFC 9110 section 14.1.2", () => {
  // Printed there for a representation of 10 000 bytes.
  it.each([
    ["bytes=0-499", { from: 0, to: 499 }],
    ["bytes=500-999", { from: 500, to: 999 }],
    ["bytes=-500", { from: 9500, to: 9999 }],
    ["bytes=9500-", { from: 9500, to: 9999 }],
    ["bytes=10000-", null],
    [undefined, undefined],
    ["lines=1-2", undefined],
  ])("%s", (header, expected) => {
    expect(byteRange(header, 10_000)).toEqual(expected);
  });
});
