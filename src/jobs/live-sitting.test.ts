import { mkdir, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import type { ChapterName } from "#documents/chapter-results";
import { type CannedExecutor, cannedExecutor } from "../../test/helpers/canned-executor.ts";
import { type LiveSitting, openLiveSitting } from "./live-sitting.ts";
import { newSitting, writeSitting } from "./sitting-store.ts";

let folder: string;
let executor: CannedExecutor;
let live: LiveSitting;

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "gemel-live-"));
  const cards = ["A", "B"].map((device) => ({ device, kind: "camera" as const, paths: [`cards/${device}`] }));
  for (const device of ["A", "B"]) {
    await mkdir(join(folder, "cards", device), { recursive: true });
    await writeFile(join(folder, "cards", device, `${device}001.mp4`), `film ${device}`);
  }
  await writeSitting(folder, newSitting("The tide-mill loft", cards, [], new Date(0)));
  executor = cannedExecutor();
  live = await openLiveSitting(folder, executor, { proxies: true });
});
afterEach(async () => {
  executor.hold = null;
  await live.cancel();
  await rm(folder, { recursive: true });
});

const chapter = (name: ChapterName) => live.page().chapters.find((one) => one.name === name)!;
const resultOf = (name: "story") =>
  chapter(name).result as { events: { camera: string; sittingStart: number }[] } | null;
/** Waits as long as a busy machine may need: work begins a moment after what asks for it, and then takes its time. */
const until = (holds: () => void) => vi.waitFor(holds, { timeout: 20_000 });
const quiet = () => until(() => expect(live.page().running).toBe(false));
const gate = () => {
  let open = (): void => {};
  const opened = new Promise<void>((resolve) => {
    open = resolve;
  });
  return { opened, open };
};

describe("an open sitting", () => {
  it("measures only what depends on a change, by itself", async () => {
    await live.run();
    expect(new Set(executor.measured)).toEqual(
      new Set(["clock", "watch", "voice", "colour", "story", "handover"]),
    );
    executor.measured.length = 0;
    const { revision } = live.said();
    await live.say(revision, { kind: "angle", from: 4, to: 9, camera: "B" });
    await until(() => expect(executor.measured).toEqual(["story", "handover"]));
    await quiet();
    expect(resultOf("story")!.events[0]!.camera).toBe("B");
    executor.measured.length = 0;
    await live.say(live.said().revision, { kind: "title", title: "The loft again" });
    await until(() => expect(executor.measured).toEqual(["handover"]));
  });

  it("goes back to what was measured before, without measuring, when a change is undone", async () => {
    await live.run();
    await live.say(live.said().revision, { kind: "fold", from: 20, to: 25 });
    await until(() => expect(executor.measured.filter((name) => name === "handover")).toHaveLength(2));
    await quiet();
    executor.measured.length = 0;
    const before = resultOf("story")!.events.length;
    await live.undo(live.said().revision);
    await until(() => expect(resultOf("story")!.events.length).toBeLessThan(before));
    await quiet();
    expect(executor.measured).not.toContain("story");
  });

  it("takes many quick changes together, and a new one takes the place of a run that goes on", async () => {
    await live.run();
    executor.measured.length = 0;
    const { opened, open } = gate();
    let held = 0;
    executor.hold = async (name) => {
      if (name !== "story") return;
      held++;
      if (held === 1) await opened;
    };
    for (let i = 0; i < 5; i++)
      await live.say(live.said().revision, { kind: "angle", from: 4 + i, to: 5 + i, camera: "B" });
    await until(() => expect(held).toBe(1));
    expect(chapter("story").state).toBe("working");
    expect(chapter("handover").progress).toMatchObject({ doing: "waiting for story", secondsLeft: null });
    await live.say(live.said().revision, { kind: "angle", from: 20, to: 24, camera: "A" });
    await until(() => expect(executor.measured).toEqual(["story", "handover"]));
    open();
    await quiet();
    expect(executor.measured).toEqual(["story", "handover"]);
    expect(chapter("story").state).toBe("settled");
  });

  it("stops when asked, says so, and goes on when run again", async () => {
    executor.hold = (name) => (name === "voice" ? new Promise(() => {}) : Promise.resolve());
    const run = live.run();
    run.catch(() => {});
    await until(() => expect(chapter("voice").state).toBe("working"));
    await live.cancel();
    await expect(run).rejects.toMatchObject({ code: "CANCELLED" });
    expect(chapter("voice")).toMatchObject({ state: "failed", verdict: expect.stringContaining("stopped") });
    expect(live.page().running).toBe(false);
    executor.hold = null;
    await live.run();
    // This sitting has no plan: Room and Kit have nothing to do.
    const planned = ["room", "kit"];
    const others = live.page().chapters.filter(({ name }) => !planned.includes(name));
    expect(others.every(({ state }) => state === "settled")).toBe(true);
  });

  it("shows what kept the whole job from being done", async () => {
    await rm(join(folder, "cards"), { recursive: true });
    await expect(live.run()).rejects.toThrow();
    expect(chapter("cards")).toMatchObject({ state: "failed", result: null });
    expect(chapter("cards").verdict).toContain("cards");
  });

  it("makes copies that play in a page once the cut is there, and finds them again", async () => {
    await live.run();
    await until(() => expect(live.page().proxies).toHaveLength(2));
    const [proxy] = live.page().proxies;
    expect(await readFile(join(folder, proxy!.path), "utf8")).toContain("proxy of");
    expect(proxy!.path).toMatch(/^measured\/proxies\/[0-9a-f]{24}\/proxy\.mp4$/);
    await writeFile(join(folder, proxy!.path), "kept");
    const again = await openLiveSitting(folder, executor, { proxies: true });
    await again.run();
    await until(() => expect(again.page().proxies).toEqual(live.page().proxies));
    expect(await readFile(join(folder, proxy!.path), "utf8")).toBe("kept");
  });

  it("gives a frame of a recording that it has, and none of another", async () => {
    await live.run();
    const { hash } = live.page().recordings[0]!;
    const file = (await live.frame(hash, 3.2, 640))!;
    expect(await readFile(file, "utf8")).toContain("frame of");
    expect(await live.frame("xxh128:none", 3.2, 640)).toBeUndefined();
  });

  it("tells what is said, how work goes, and everything, each as such", async () => {
    const heard: string[] = [];
    // Without copies that play in a page, nothing goes on once the run has ended but the news of its end.
    live = await openLiveSitting(folder, executor);
    await live.run();
    await new Promise((told) => live.onChange(told));
    live.onChange((what) => heard.push(what));
    await live.say(live.said().revision, { kind: "loudness", loudnessTarget: -16 });
    await until(() => expect(heard).toContain("sitting"));
    expect(heard[0]).toBe("said");
  });
});
