import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import { finishedForAll } from "./open-sitting.ts";

/*
 * The evidence of Clock, Watch, Voice and Colour on the demo sitting, and what a person says against it: it shows at
 * once, is kept in sitting.json, is measured again, and can be taken back.
 */

const sitting = finishedForAll();
const { open } = sitting;

const chapter = (page: Page, name: string) => page.getByRole("region", { name, exact: true });
const said = () =>
  JSON.parse(readFileSync(join(sitting.folder, "sitting.json"), "utf8")) as {
    decisions: { microphoneDistances?: Record<string, number> };
    pictures?: { says: string }[];
    voice?: { sources: { source: string }[] };
  };
/** Measuring takes its time on a busy machine. */
const patient = { timeout: 120_000, interval: 300 };

describe("the evidence", () => {
  it("is drawn for every comparison, clap, range, microphone and patch, each with its sentence", async () => {
    const { page, complaints } = await open();
    const sentences: readonly (readonly [string, RegExp])[] = [
      ["Clock", /^B001\.mp4 on A001\.mov: \d+ of the \d+ stretches shown lie on the line/],
      ["Clock", /^B002\.mp4 on A001\.mov: \d+ of the \d+ stretches shown lie on the line/],
      ["Clock", /^Camera A, the frame as the clap is heard$/],
      ["Clock", /^Camera B, the frame as the clap is heard$/],
      ["Clock", /^It happened at .* and was heard at .*; the first frame that shows it begins at/],
      ["Watch", /^Camera B soft at 0:\d\d\.\d: before$/],
      ["Watch", /^Camera B soft at 0:\d\d\.\d: after$/],
      ["Voice", /^Loudness of lav, boom, dialogue, time running down/],
      ["Colour", /^Colours of the 24 patches without their lightness/],
      ["Colour", /^A, B as recorded and B matched, side by side; under them every patch/],
      ["Colour", /^The 6 greys of the chart, white at the top/],
    ];
    for (const [name, says] of sentences) {
      const figure = chapter(page, name).getByRole("img", { name: says }).first();
      await figure.scrollIntoViewIfNeeded();
      expect(await figure.isVisible()).toBe(true);
    }
    expect(complaints).toEqual([]);
  });
});

describe("a figure's table", () => {
  it("is made when it is opened", async () => {
    const { page } = await open();
    const story = chapter(page, "Story");
    expect(await story.getByRole("cell").count()).toBe(0);
    await story.getByText("The same as a table").first().click();
    await expect.poll(() => story.getByRole("rowheader", { name: "0:00" }).count()).toBeGreaterThan(0);
  });
});

describe("a microphone's distance", () => {
  it("is set by hand, moves the picture, and is undone", { timeout: 280_000 }, async () => {
    const { page, complaints } = await open();
    const clock = chapter(page, "Clock");
    const field = clock.getByRole("textbox", { name: "Camera B" });
    const before = await field.inputValue();
    await field.fill("3.5");
    await field.press("Enter");
    await expect.poll(() => said().decisions.microphoneDistances).toEqual({ B: 3.5 });
    const told = clock.getByText(/distances that were set: .*3[.,]5 m/);
    await expect.poll(() => told.count(), patient).toBe(1);
    await clock.getByRole("button", { name: /^Undo: 3[.,]5 m/ }).click();
    await expect.poll(() => field.inputValue(), patient).toBe(before);
    await expect.poll(() => told.count(), patient).toBe(0);
    expect(complaints).toEqual([]);
  });
});

describe("a range that Watch found", () => {
  it("is called fine, which the verdict then says, and is avoided again", { timeout: 280_000 }, async () => {
    const { page, complaints } = await open();
    const watch = chapter(page, "Watch");
    const shots = () =>
      page
        .getByRole("region", { name: "The cut, shot by shot" })
        .getByRole("button", { name: /^Camera [AB], 0:/ })
        .evaluateAll((all) => all.map((one) => one.getAttribute("aria-label")));
    const before = await shots();
    await watch.getByRole("button", { name: /^This is fine: Camera B soft/ }).click();
    // The cut chooses anew at once, before Watch has measured again: the shots beside that range are others now.
    expect(await shots()).not.toEqual(before);
    await expect.poll(() => said().pictures?.map(({ says }) => says)).toEqual(["fine"]);
    const held = watch.getByText(/^Cameras A and B held their focus, frame and light throughout\.$/);
    await expect.poll(() => held.count(), patient).toBe(1);
    expect(await watch.getByText(/you called it fine, and the cut may use it/).count()).toBe(1);
    await watch.getByRole("button", { name: /^Avoid it after all: Camera B soft/ }).click();
    await expect.poll(() => held.count(), patient).toBe(0);
    expect(said().pictures).toEqual([]);
    expect(complaints).toEqual([]);
  });
});

describe("a microphone for a stretch", () => {
  it("is chosen by hand, the dialogue follows, and it is left to Voice again", {
    timeout: 280_000,
  }, async () => {
    const { page, complaints } = await open();
    const voice = chapter(page, "Voice");
    const choice = voice.getByRole("group", { name: "Choose a microphone for a stretch" });
    await choice.getByRole("textbox", { name: "From" }).fill("0:10");
    await choice.getByRole("textbox", { name: "To" }).fill("0:20");
    await choice.getByRole("radio", { name: "both" }).check();
    await choice.getByRole("button", { name: "Use it there" }).click();
    expect(await voice.getByRole("listitem").filter({ hasText: "chosen by hand" }).count()).toBe(1);
    await expect.poll(() => said().voice?.sources.map(({ source }) => source)).toEqual(["both"]);
    const told = voice.getByText(/Both together carry 10 s, as you chose\./);
    await expect.poll(() => told.count(), patient).toBe(1);
    await voice.getByRole("button", { name: /^Leave it to Voice, 0:10/ }).click();
    await expect.poll(() => told.count(), patient).toBe(0);
    expect(complaints).toEqual([]);
  });
});

describe("the report", () => {
  it("opens by itself from the folder, whole, with every picture", async () => {
    const path = join(sitting.folder, "handover", "report.html");
    await expect.poll(() => existsSync(path), patient).toBe(true);
    const context = await sitting.newContext();
    const page = await context.newPage();
    const asked: string[] = [];
    page.on("request", (request) => asked.push(request.url()));
    await page.goto(pathToFileURL(path).href);
    expect(await page.getByRole("heading", { level: 2 }).allTextContents()).toEqual([
      "Cards",
      "Clock",
      "Watch",
      "Voice",
      "Colour",
      "Story",
    ]);
    const blank = await page.evaluate(() =>
      [...document.images].filter((image) => !image.complete || image.naturalWidth === 0).map((i) => i.src),
    );
    expect(blank).toEqual([]);
    expect(asked.every((url) => url.startsWith("file:"))).toBe(true);
  });
});
