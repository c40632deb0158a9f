import { existsSync } from "node:fs";
import { mkdir, mkdtemp, readdir, readFile, rm, symlink, writeFile } from "node:fs/promises";
import { type ClientRequest, get, type IncomingMessage, request } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from "vitest";
import type { SaidState, SittingPage } from "#documents/page";
import type { Conflict, HomePage } from "#documents/routes";
import type { Change } from "#documents/said";
import { newSitting, readSitting, writeSitting } from "#jobs/sitting-store";
import { openStudio, type Studio } from "#jobs/studio";
import { type CannedExecutor, cannedExecutor } from "../../../test/helpers/canned-executor.ts";
import { byteRange } from "./send-file.ts";
import { type OpenServer, serveStudio } from "./serve.ts";

let base: string;
let folder: string;
let executor: CannedExecutor;
let studio: Studio;
let server: OpenServer;
let port: number;
let cookie: string;

interface Answer {
  readonly status: number;
  readonly headers: IncomingMessage["headers"];
  readonly body: string;
}

/** One raw request: nothing is normalised, so that a path can be as bad as it likes. */
const ask = (
  path: string,
  headers: Record<string, string> = {},
  method = "GET",
  body?: string | Buffer,
): Promise<Answer> =>
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
      .end(body);
  });
const inside = (path: string, headers: Record<string, string> = {}, method = "GET", body?: string | Buffer) =>
  ask(path, { cookie, ...headers }, method, body);
/** A request as the page makes it. */
async function post<T = { code: string; says: string }>(
  route: string,
  body: unknown,
  headers: Record<string, string> = {},
): Promise<{ status: number; answer: T }> {
  const own = { "content-type": "application/json", origin: `http://127.0.0.1:${port}`, ...headers };
  const { status, body: text } = await inside(`/api/${route}`, own, "POST", JSON.stringify(body));
  return { status, answer: JSON.parse(text) as T };
}
const read = async <T>(route: string): Promise<T> => JSON.parse((await inside(`/api/${route}`)).body) as T;
const page = () => read<SittingPage>("sitting");
const say = <T = SaidState>(revision: string, change: Change) => post<T>("said", { revision, change });
const idle = () => vi.waitFor(async () => expect((await page()).running).toBe(false), { timeout: 5000 });

async function makeSitting(at: string, title: string): Promise<void> {
  for (const device of ["A", "B"]) {
    await mkdir(join(at, "cards", device), { recursive: true });
    await writeFile(join(at, "cards", device, `${device}001.mp4`), `film ${device} of ${title}`);
  }
  const cards = ["A", "B"].map((device) => ({ device, kind: "camera" as const, paths: [`cards/${device}`] }));
  await writeSitting(at, newSitting(title, cards, [], new Date(0)));
}

async function start(): Promise<void> {
  executor = cannedExecutor();
  studio = await openStudio({ folder, executor, home: join(base, "home") });
  server = await serveStudio(studio, 0, join(base, "pages"));
  const address = new URL(server.address);
  port = Number(address.port);
  const entered = await ask(`/${address.search}`);
  cookie = entered.headers["set-cookie"]![0]!.split(";")[0]!;
}
async function stop(): Promise<void> {
  executor.hold = null;
  await server.close();
  await studio.close();
}
async function setUp(): Promise<void> {
  base = await mkdtemp(join(tmpdir(), "gemel-serve-"));
  vi.stubEnv("XDG_CONFIG_HOME", join(base, "config"));
  folder = join(base, "sitting");
  await makeSitting(folder, "The tide-mill loft");
  await mkdir(join(folder, "handover"));
  await mkdir(join(base, "pages"));
  await writeFile(join(base, "pages", "index.html"), "<title>page</title>");
  await writeFile(join(folder, "handover", "first-cut.mp4"), "0123456789");
  await writeFile(join(folder, "handover", "report.html"), "<script>alert(1)</script>");
  await writeFile(join(folder, ".hidden"), "hidden");
  await writeFile(join(base, "secret.txt"), "secret");
  await symlink(join(base, "secret.txt"), join(folder, "link.txt"));
  await start();
}
async function tearDown(): Promise<void> {
  await stop();
  vi.unstubAllEnvs();
  await rm(base, { recursive: true });
}

/** Every address but `open` that changes something and takes JSON. */
const jsonRoutes = [
  "said",
  "undo",
  "redo",
  "run",
  "cancel",
  "drafts",
  "sittings",
  "recordings",
  "transcript-path",
];

describe("the server's door", () => {
  beforeAll(setUp);
  afterAll(tearDown);

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
    ["for the stream without the key", "/api/progress", {}],
    ["for a file without the key", "/files/handover/first-cut.mp4", {}],
    ["for the page without the key", "/", {}],
  ])(
    "refuses a request %s",
    async (_, path, headers) => {
      expect((await ask(path, headers)).status).toBe(403);
    },
    10_000,
  );

  it("refuses a change without the key, before it looks at what is asked", async () => {
    const { status } = await ask("/api/run", { "content-type": "application/json" }, "POST", "{}");
    expect(status).toBe(403);
    expect(executor.measured).toEqual([]);
  });

  it("refuses a name that is not its own, so that a rebound name finds nothing", async () => {
    for (const host of [`tide-mill.example:${port}`, "127.0.0.1", `127.0.0.1:${port + 1}`])
      expect((await inside("/api/sitting", { host })).status).toBe(403);
    expect((await inside("/api/sitting", { host: `localhost:${port}` })).status).toBe(200);
    const headers = { host: `tide-mill.example:${port}`, "content-type": "application/json" };
    expect((await inside("/api/run", headers, "POST", "{}")).status).toBe(403);
    const forwarded = { host: `tide-mill.example:${port}`, "x-forwarded-host": `127.0.0.1:${port}` };
    expect((await inside("/api/sitting", forwarded)).status).toBe(403);
  });

  it.each([
    ["another site's origin", { origin: "http://tide-mill.example" }],
    ["an origin that hides itself", { origin: "null" }],
    ["this machine's other port", { origin: "http://127.0.0.1:1" }],
    ["a secure twin of this address", { origin: "https://127.0.0.1" }],
    ["another site by its fetch header", { "sec-fetch-site": "cross-site" }],
    ["a sister site by its fetch header", { "sec-fetch-site": "same-site" }],
  ])("refuses what comes from %s, key or not, for reading and for changing", async (_, headers) => {
    expect((await inside("/api/sitting", headers)).status).toBe(403);
    expect((await post("run", {}, headers)).status).toBe(403);
    expect(executor.measured).toEqual([]);
  });

  it("takes what comes from its own page", async () => {
    const own = { origin: `http://127.0.0.1:${port}`, "sec-fetch-site": "same-origin" };
    expect((await inside("/api/sitting", own)).status).toBe(200);
  });

  it("never tells a browser that another site may ask", async () => {
    const headers = { origin: "http://tide-mill.example", "access-control-request-method": "POST" };
    const answer = await inside("/api/said", headers, "OPTIONS");
    expect(answer.status).toBe(403);
    for (const name of Object.keys(answer.headers)) expect(name).not.toMatch(/^access-control/);
  });

  it.each(["text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", ""])(
    "refuses a change whose body is %s, which a form of another site could send",
    async (type) => {
      const headers: Record<string, string> = type === "" ? {} : { "content-type": type };
      for (const route of [...jsonRoutes, "open"])
        expect((await inside(`/api/${route}`, headers, "POST", "{}")).status).toBe(415);
      for (const address of ["uploads?draft=x&name=y", "transcripts?name=y"])
        expect((await inside(`/api/${address}`, headers, "POST", "{}")).status).toBe(415);
    },
  );

  it("changes nothing by a method that only reads, and reads nothing by one that changes", async () => {
    for (const route of [...jsonRoutes, "uploads", "transcripts", "open"])
      for (const method of ["GET", "HEAD", "PUT", "DELETE", "PATCH"]) {
        const answer = await inside(`/api/${route}`, {}, method);
        expect([answer.status, answer.headers.allow]).toEqual([405, "POST"]);
      }
    for (const method of ["POST", "PUT", "DELETE", "PATCH"]) {
      for (const path of [
        "/api/sitting",
        "/api/home",
        "/api/progress",
        "/api/frame",
        "/",
        "/files/sitting.json",
      ])
        expect((await inside(path, { "content-type": "application/json" }, method)).status).toBe(405);
      expect((await ask(`/${new URL(server.address).search}`, {}, method)).status).toBe(405);
    }
    expect(executor.measured).toEqual([]);
  });

  it("reads no more of a body than a request can need", async () => {
    const long = JSON.stringify({ folder: "x".repeat(1_100_000) });
    const headers = { "content-type": "application/json" };
    expect((await inside("/api/open", headers, "POST", long)).status).toBe(413);
    const chunked = { ...headers, "transfer-encoding": "chunked" };
    expect((await inside("/api/open", chunked, "POST", long)).status).toBe(413);
  });

  it.each([
    "/files/../secret.txt",
    "/files/%2e%2e/secret.txt",
    "/files/..%2fsecret.txt",
    "/files/..%5csecret.txt",
    "/files/%252e%252e/secret.txt",
    "/files//etc/passwd",
    "/files/C:/Windows/win.ini",
    "/files/handover/../../secret.txt",
    "/files/link.txt",
    "/files/.hidden",
    "/files/handover/first-cut.mp4%00.txt",
    "/files/handover",
    "/../secret.txt",
    "/api/toString",
    "/api/",
  ])("does not read %s", async (path) => {
    const { status, body } = await inside(path);
    expect(status).toBe(404);
    expect(body).not.toContain("secret");
  });

  it("says of an address that is not one that it is not", async () => {
    expect((await inside("/files/%E0%A4%A")).status).toBe(400);
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

  it("lets no other site frame it, read it or run in it, and a file of the sitting run nothing", async () => {
    const { headers } = await inside("/");
    expect(headers["content-security-policy"]).toContain("frame-ancestors 'none'");
    expect(headers["x-content-type-options"]).toBe("nosniff");
    expect(headers["cross-origin-resource-policy"]).toBe("same-origin");
    expect(headers["access-control-allow-origin"]).toBeUndefined();
    const report = await inside("/files/handover/report.html");
    expect(report.headers["content-security-policy"]).toMatch(/default-src 'none'.*sandbox$/);
  });

  it.each([
    ["no JSON at all", "{", /not JSON/],
    ["no body", "", /not JSON/],
    ["no revision", { change: { kind: "title", title: "x" } }, /revision/],
    ["a change of no known kind", { revision: "x", change: { kind: "paint" } }, /change\.kind/],
    [
      "a stretch that ends before it begins",
      { revision: "x", change: { kind: "keep", from: 5, to: 4 } },
      /ends after/,
    ],
    ["a stretch of no number", { revision: "x", change: { kind: "keep", from: "5", to: 6 } }, /change\.from/],
    [
      "three corners",
      { revision: "x", change: { kind: "chart", hash: "h", at: 1, corners: [[0, 0]] } },
      /corners/,
    ],
    ["an empty title", { revision: "x", change: { kind: "title", title: "  " } }, /title/],
  ])("answers %s with 400 and one clear sentence", async (_, body, sentence) => {
    const text = typeof body === "string" ? body : JSON.stringify(body);
    const answer = await inside("/api/said", { "content-type": "application/json" }, "POST", text);
    const { code, says } = JSON.parse(answer.body) as { code: string; says: string };
    expect([answer.status, code]).toEqual([400, "REQUEST_INVALID"]);
    expect(says).toMatch(sentence);
    expect(says).toMatch(/^[A-Z][^\n]*\.$/);
  });
});

/** Follows the stream of events until it is stopped. */
function follow(): { events: { name: string; data: unknown }[]; stop(): void } {
  const events: { name: string; data: unknown }[] = [];
  let rest = "";
  const stream: ClientRequest = get({
    host: "127.0.0.1",
    port,
    path: "/api/progress",
    headers: { host: `127.0.0.1:${port}`, cookie },
  });
  stream.on("response", (response) => {
    response.setEncoding("utf8");
    response.on("data", (chunk: string) => {
      const parts = (rest + chunk).split("\n\n");
      rest = parts.pop()!;
      for (const part of parts) {
        const found = /^event: (\w+)\ndata: (.*)$/s.exec(part);
        if (found) events.push({ name: found[1]!, data: JSON.parse(found[2]!) });
      }
    });
    response.on("error", () => {});
  });
  stream.on("error", () => {});
  return { events, stop: () => stream.destroy() };
}

describe("two pages on one sitting", () => {
  beforeEach(setUp);
  afterEach(tearDown);

  it("see each other's changes, and what comes of them", async () => {
    await post("run", {});
    await idle();
    const other = follow();
    await vi.waitFor(() => expect(other.events.map(({ name }) => name)).toContain("sitting"));
    executor.hold = async (name, tell) => {
      if (name !== "story") return;
      await new Promise((resolve) => setTimeout(resolve, 250));
      tell({ done: 0.4, doing: "choosing what stays" });
      await new Promise((resolve) => setTimeout(resolve, 250));
    };
    const first = other.events.find(({ name }) => name === "sitting")!.data as SittingPage;
    const { status, answer } = await say(first.revision, { kind: "angle", from: 4, to: 9, camera: "B" });
    expect(status).toBe(200);
    expect(answer.undo).toBe("camera B from 0:04 to 0:09");
    await vi.waitFor(() => expect(other.events).toContainEqual({ name: "said", data: answer }), {
      timeout: 5000,
    });
    await vi.waitFor(
      () => {
        const newest = other.events.findLast(({ name }) => name === "sitting")!.data as SittingPage;
        const story = newest.chapters.find(({ name }) => name === "story")!.result as unknown as {
          events: { camera: string }[];
        };
        expect([newest.revision, story.events[0]!.camera]).toEqual([answer.revision, "B"]);
      },
      { timeout: 5000 },
    );
    expect(other.events.find(({ name }) => name === "progress")!.data).toMatchObject({
      running: true,
      chapters: expect.arrayContaining([
        {
          name: "story",
          state: "working",
          progress: { done: 0.4, doing: "choosing what stays", secondsLeft: null },
        },
      ]),
    });
    other.stop();
  });

  it("are told where they contradict each other, with the page as it is now, and nothing is overwritten", async () => {
    const { revision } = await page();
    await say(revision, { kind: "title", title: "The loft, first half" });
    const { status, answer } = await say<Conflict>(revision, { kind: "title", title: "Another" });
    expect([status, answer.code]).toEqual([409, "SAID_CONFLICT"]);
    expect(answer.says).toContain("The loft, first half");
    expect(answer.page.said.title).toBe("The loft, first half");
    expect((await readSitting(folder)).title).toBe("The loft, first half");
    const second = await say(revision, { kind: "loudness", loudnessTarget: -16 });
    expect([second.status, second.answer.said.loudnessTarget]).toEqual([200, -16]);
  });

  it("undo and redo, not past the beginning, and not what a page has not seen", async () => {
    const { revision } = await page();
    const said = (await say(revision, { kind: "keepQuestions", keepQuestions: true })).answer;
    expect((await post<Conflict>("undo", { revision })).answer.code).toBe("SAID_CONFLICT");
    const undone = (await post<SaidState>("undo", { revision: said.revision })).answer;
    expect([undone.said.keepQuestions, undone.undo, undone.redo]).toEqual([
      false,
      null,
      "keeping the questions",
    ]);
    const past = await post<Conflict>("undo", { revision: undone.revision });
    expect([past.status, past.answer.code]).toEqual([409, "SAID_NOTHING_LEFT"]);
    const redone = (await post<SaidState>("redo", { revision: undone.revision })).answer;
    expect(redone.said).toEqual(said.said);
  });

  it("find every edit again after the server was ended and started", async () => {
    const { revision } = await page();
    const said = (await say(revision, { kind: "fold", from: 20, to: 25 })).answer;
    await stop();
    await start();
    const again = await page();
    expect(again.said).toEqual(said.said);
    expect(again.revision).toBe(said.revision);
    expect((await post<SaidState>("undo", { revision: again.revision })).answer.said.story.folded).toEqual(
      [],
    );
  });

  it("start and stop the work", async () => {
    executor.hold = (name) => (name === "voice" ? new Promise(() => {}) : Promise.resolve());
    expect(await post("run", {})).toEqual({ status: 202, answer: { running: true } });
    await vi.waitFor(async () =>
      expect((await page()).chapters.find(({ name }) => name === "voice")!.state).toBe("working"),
    );
    expect(await post("cancel", {})).toEqual({ status: 200, answer: { running: false } });
  });

  it("show one frame of a recording, and refuse what is no moment or no recording", async () => {
    await post("run", {});
    await idle();
    const { hash } = (await page()).recordings[0]!;
    const frame = await inside(`/api/frame?hash=${encodeURIComponent(hash)}&at=3.2`);
    expect([frame.status, frame.headers["content-type"]]).toEqual([200, "image/jpeg"]);
    expect((await inside(`/api/frame?hash=${encodeURIComponent(hash)}&at=-3`)).status).toBe(400);
    expect((await inside("/api/frame?hash=../../secret&at=1")).status).toBe(404);
  });
});

describe("home", () => {
  beforeEach(setUp);
  afterEach(tearDown);
  const upload = (draft: string, name: string, bytes: string, headers: Record<string, string> = {}) =>
    inside(
      `/api/uploads?${new URLSearchParams({ draft, name })}`,
      { "content-type": "application/octet-stream", ...headers },
      "POST",
      bytes,
    );
  const cameras = (...paths: string[]) =>
    paths.map((path, i) => ({ device: "AB"[i]!, kind: "camera" as const, paths: [path] }));

  it("opens another sitting in place of the one that is open, for every page, and remembers both", async () => {
    const other = join(base, "other");
    await makeSitting(other, "The loft in winter");
    const follower = follow();
    expect(await post("open", { folder: other })).toEqual({ status: 200, answer: { folder: other } });
    await vi.waitFor(() =>
      expect((follower.events.findLast(({ name }) => name === "sitting")!.data as SittingPage).folder).toBe(
        other,
      ),
    );
    follower.stop();
    await idle();
    expect((await page()).title).toBe("The loft in winter");
    await rm(folder, { recursive: true });
    const { recent, open } = await read<HomePage>("home");
    expect(open).toBe(other);
    expect(recent.map(({ title, isThere }) => [title, isThere])).toEqual([
      ["The loft in winter", true],
      ["The tide-mill loft", false],
    ]);
    expect(existsSync(join(base, "config", "gemel", "recent.json"))).toBe(true);
  });

  it("keeps the open one where the other is none, and says what is wrong", async () => {
    const wrong = await post("open", { folder: base });
    expect([wrong.status, wrong.answer.code]).toEqual([422, "FILE_MISSING"]);
    expect((await post("open", { folder: "sitting" })).status).toBe(400);
    expect((await page()).folder).toBe(folder);
  });

  it("takes more recordings into the sitting that is open, by their paths and by uploads into it", async () => {
    await post("run", {});
    await idle();
    const third = join(base, "A002.mp4");
    await writeFile(third, "film A of The second hour");
    expect(await post("recordings", { devices: cameras(third) })).toEqual({
      status: 201,
      answer: { folder },
    });
    await idle();
    const names = async () => (await page()).recordings.map(({ path }) => path.split("/").at(-1)).sort();
    expect(await names()).toEqual(["A001.mp4", "A002.mp4", "B001.mp4"]);
    const draft = await post<{ draft: string; folder: string }>("drafts", { title: "x", open: true });
    expect(draft.answer.folder).toBe(folder);
    const sent = await upload(draft.answer.draft, "C001.mp4", "film C of The tide-mill loft");
    const { path } = JSON.parse(sent.body) as { path: string };
    const devices = [{ device: "C", kind: "camera", paths: [path] }];
    expect((await post("recordings", { devices, draft: "another" })).status).toBe(422);
    expect((await post("recordings", { devices, draft: draft.answer.draft })).status).toBe(201);
    await idle();
    expect(await names()).toEqual(["A001.mp4", "A002.mp4", "B001.mp4", "C001.mp4"]);
    // A file that is not there is named, and the sitting stays as it was.
    const wrong = await post("recordings", { devices: cameras(join(base, "none.mp4")) });
    expect(wrong.status).toBe(422);
    expect((await readSitting(folder)).cards.flatMap(({ paths }) => paths)).not.toContain(
      join(base, "none.mp4"),
    );
  });

  it("takes a transcript, by its bytes or its path, keeps it, and serves it back", async () => {
    const vtt = "WEBVTT\n\n00:01.000 --> 00:02.000\nEbb.\n";
    const bytes = (body: string) =>
      inside("/api/transcripts?name=talk.vtt", { "content-type": "application/octet-stream" }, "POST", body);
    const taken = await bytes(vtt);
    expect(taken.status).toBe(201);
    const answer = JSON.parse(taken.body) as { file: string; lines: number };
    expect(answer).toMatchObject({ name: "talk.vtt", lines: 1, leftOut: 0, recording: null });
    expect((await inside(`/files/${answer.file}`)).body).toBe(vtt);
    const path = join(base, "talk.vtt");
    await writeFile(path, vtt);
    expect((await post<{ file: string }>("transcript-path", { path })).answer.file).toBe(answer.file);
    expect((await bytes("A letter.")).status).toBe(422);
    expect((await bytes("x".repeat(8_000_001))).status).toBe(413);
    expect((await post("transcript-path", { path: "talk.vtt" })).status).toBe(400);
    expect((await post("transcript-path", { path: join(base, "..", "secret") })).status).toBe(422);
    // It counts once it is said; one that lies elsewhere cannot be said.
    const as = { name: "talk.vtt", recording: null };
    const { revision } = await page();
    expect(
      (await say(revision, { kind: "transcript", file: answer.file, as })).answer.said.transcripts,
    ).toEqual([{ file: answer.file, ...as }]);
    const elsewhere = { kind: "transcript", file: "../../etc/passwd", as };
    expect((await post("said", { revision: (await page()).revision, change: elsewhere })).status).toBe(400);
  });

  it("makes a sitting of files named by their paths, opens it and runs it", async () => {
    const [a, b] = ["A", "B"].map((device) => join(folder, "cards", device, `${device}001.mp4`)) as [
      string,
      string,
    ];
    const { newSittingsIn } = await read<HomePage>("home");
    const made = await post<{ folder: string }>("sittings", {
      title: "Bread: a talk",
      devices: cameras(a, b),
    });
    expect(made.status).toBe(201);
    expect(made.answer.folder).toBe(join(newSittingsIn, "Bread_ a talk"));
    await idle();
    const now = await page();
    expect([now.title, now.folder]).toEqual(["Bread: a talk", made.answer.folder]);
    const isPlan = (name: string) => name === "room" || name === "kit";
    expect(now.chapters.filter(({ name, state }) => !isPlan(name) && state !== "settled")).toEqual([]);
    expect((await readSitting(made.answer.folder)).places).toEqual(["originals"]);
    // The originals are as they were, and another of the same title has a folder of its own.
    expect(await readFile(a, "utf8")).toBe("film A of The tide-mill loft");
    const twin = await post<{ folder: string }>("sittings", {
      title: "Bread: a talk",
      devices: cameras(a, b),
    });
    expect(twin.answer.folder).toBe(join(newSittingsIn, "Bread_ a talk 2"));
    await idle();
  });

  it("makes a sitting of files that were dropped, which lie in its inbox and are worked from there", async () => {
    const draft = await post<{ draft: string; folder: string }>("drafts", { title: "Bread" });
    expect(draft.status).toBe(201);
    const paths: string[] = [];
    for (const name of ["A001.mp4", "B001.mp4"]) {
      const answer = await upload(draft.answer.draft, name, `dropped ${name}`);
      expect(answer.status).toBe(201);
      paths.push((JSON.parse(answer.body) as { path: string }).path);
    }
    expect(paths[0]).toBe(join(draft.answer.folder, "inbox", "A001.mp4"));
    const devices = cameras(...paths);
    const made = await post("sittings", { title: "Bread", draft: draft.answer.draft, devices });
    expect(made).toEqual({ status: 201, answer: { folder: draft.answer.folder } });
    await idle();
    const { places, cards } = await readSitting(draft.answer.folder);
    expect([places, cards.map((card) => card.paths)]).toEqual([[], [["inbox/A001.mp4"], ["inbox/B001.mp4"]]]);
    expect((await page()).recordings).toHaveLength(2);
    expect((await upload(draft.answer.draft, "C001.mp4", "late")).status).toBe(422);
  });

  it("writes an upload under a name that no system chokes on and that leads nowhere else", async () => {
    const { answer } = await post<{ draft: string; folder: string }>("drafts", { title: "Names" });
    for (const name of [
      "../../secret.txt",
      "..\\..\\secret.txt",
      "/etc/passwd",
      "NUL.mov",
      ".hidden.mp4",
      "a\u0000b.mp4",
      "tide: mill?.mp4",
      "A001.mp4",
      "a001.MP4",
      " . ",
    ])
      expect((await upload(answer.draft, name, "x")).status).toBe(201);
    expect((await readdir(join(answer.folder, "inbox"))).sort()).toEqual(
      [
        "secret.txt",
        "secret-2.txt",
        "passwd",
        "_NUL.mov",
        "hidden.mp4",
        "a_b.mp4",
        "tide_ mill_.mp4",
        "A001.mp4",
        "a001-2.MP4",
        "recording",
      ].sort(),
    );
    expect(await readFile(join(base, "secret.txt"), "utf8")).toBe("secret");
  });

  it("keeps nothing of an upload that breaks off, or that the drive has no room for", async () => {
    const { answer } = await post<{ draft: string; folder: string }>("drafts", { title: "Broken" });
    await new Promise<void>((resolve) => {
      const half = request({
        host: "127.0.0.1",
        port,
        path: `/api/uploads?draft=${answer.draft}&name=A001.mp4`,
        method: "POST",
        headers: {
          host: `127.0.0.1:${port}`,
          cookie,
          "content-type": "application/octet-stream",
          "content-length": "1000000",
        },
      });
      half.on("error", () => {});
      half.on("close", () => resolve());
      half.write(Buffer.alloc(100_000), () => setTimeout(() => half.destroy(), 50));
    });
    await vi.waitFor(async () => expect(await readdir(join(answer.folder, "inbox"))).toEqual([]));
    const huge = await new Promise<number>((resolve, reject) => {
      const asked = request(
        {
          host: "127.0.0.1",
          port,
          path: `/api/uploads?draft=${answer.draft}&name=A001.mp4`,
          method: "POST",
          headers: {
            host: `127.0.0.1:${port}`,
            cookie,
            "content-type": "application/octet-stream",
            "content-length": String(9e15),
          },
        },
        (response) => {
          resolve(response.statusCode!);
          asked.destroy();
        },
      );
      asked.on("error", reject);
      asked.flushHeaders();
    });
    expect(huge).toBe(507);
    expect(await readdir(join(answer.folder, "inbox"))).toEqual([]);
  }, 10_000);

  it.each<[string, unknown, number, RegExp]>([
    ["no device", { title: "x", devices: [] }, 400, /devices/],
    ["one device twice", { title: "x", devices: [...cameras("/a"), ...cameras("/b")] }, 400, /once/],
    ["a relative path", { title: "x", devices: cameras("A001.mp4") }, 400, /whole path/],
    ["a file that is not there", { title: "x", devices: cameras("/nowhere/A001.mp4") }, 422, /no file/],
    ["a draft that is not known", { title: "x", draft: "d", devices: cameras("/a") }, 422, /not known/],
    [
      "a folder that has things in it",
      { title: "x", folder: tmpdir(), devices: cameras("/a") },
      422,
      /not empty/,
    ],
  ])("makes nothing of %s, and says why", async (_, body, status, sentence) => {
    const refused = await post("sittings", body);
    expect(refused.status).toBe(status);
    expect(refused.answer.says).toMatch(sentence);
    expect((await page()).folder).toBe(folder);
    expect(existsSync(join(base, "home", "Gemel", "x"))).toBe(false);
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
