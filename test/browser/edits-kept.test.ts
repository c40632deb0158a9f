import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { describe, expect, it, onTestFinished } from "vitest";
import { cuttableLine, finishedForAll, openPage } from "./open-sitting.ts";

/*
 * What a person says is never lost: not while the program is away, not when the page is closed over it, and not
 * silently when another page said otherwise meanwhile.
 */

const sitting = finishedForAll();
const { newContext, open } = sitting;

async function newLine(): ReturnType<typeof cuttableLine> {
  const line = await cuttableLine(sitting.address);
  onTestFinished(() => line.close());
  return line;
}

const document = () =>
  JSON.parse(readFileSync(join(sitting.folder, "sitting.json"), "utf8")) as {
    title: string;
    story?: { angles: { camera: string }[] };
    decisions: { longestPause: number; keepQuestions: boolean; loudnessTarget: number };
  };
const cameras = () => (document().story?.angles ?? []).map(({ camera }) => camera);
const braid = (page: Page) => page.getByRole("region", { name: "The cut, shot by shot" });
const firstShot = (page: Page) =>
  braid(page)
    .getByRole("button", { name: /^Camera ., 0:00/ })
    .getAttribute("aria-label");
const showB = (page: Page) =>
  braid(page)
    .getByRole("button", { name: /^Show camera B from 0:00/ })
    .click();
const isLost = (page: Page) =>
  page
    .getByRole("status")
    .filter({ hasText: /lost touch with Gemel|cannot reach Gemel/ })
    .waitFor();

async function rename(page: Page, title: string): Promise<void> {
  await page.getByRole("button", { name: "Rename" }).click();
  await page.getByRole("textbox", { name: "Title of the sitting" }).fill(title);
  await page.keyboard.press("Enter");
}

describe("an edit made while the program is away", () => {
  it("shows at once, waits, and is kept when the line is back", async () => {
    const line = await newLine();
    const { page } = await openPage(await newContext(), line.address);
    expect(await firstShot(page)).toMatch(/^Camera A/);
    await line.cut();
    await isLost(page);
    await showB(page);
    await expect.poll(() => firstShot(page)).toMatch(/^Camera B/);
    await page.getByRole("status").filter({ hasText: "Waits for the line." }).first().waitFor();
    expect(cameras()).toEqual([]);
    await line.mend();
    await page.getByRole("button", { name: "Try now" }).click();
    await expect.poll(cameras).toEqual(["B"]);
    await page.getByRole("status").filter({ hasText: "All is kept." }).first().waitFor();
    await page.keyboard.press("Control+z");
    await expect.poll(cameras).toEqual([]);
  });

  it("outlives the page: opened again, it is kept", async () => {
    const line = await newLine();
    const context = await newContext();
    const { page } = await openPage(context, line.address);
    await line.cut();
    await isLost(page);
    await showB(page);
    await expect.poll(() => firstShot(page)).toMatch(/^Camera B/);
    await page.close({ runBeforeUnload: false });
    expect(cameras()).toEqual([]);
    await line.mend();
    const { page: again } = await openPage(context, line.address);
    await expect.poll(cameras).toEqual(["B"]);
    await again.keyboard.press("Control+z");
    await expect.poll(cameras).toEqual([]);
  });
});

describe("two pages that say otherwise", () => {
  it("are told of it: what came first stays, and the other reader hears why", async () => {
    const line = await newLine();
    const { page: away } = await openPage(await newContext(), line.address);
    const { page: here } = await open();
    await line.cut();
    await isLost(away);
    await rename(away, "The loft, evening");
    await rename(here, "The loft, morning");
    await expect.poll(() => document().title).toBe("The loft, morning");
    // What speaks of something else is no conflict.
    await showB(away);
    await line.mend();
    await away.getByRole("button", { name: "Try now" }).click();
    const told = away.getByRole("alert").filter({ hasText: /In another place the title/ });
    await told.waitFor();
    expect(await told.textContent()).toMatch(/so the title "The loft, evening" was not done/);
    await away.getByRole("heading", { level: 1, name: "The loft, morning" }).waitFor();
    await expect.poll(cameras).toEqual(["B"]);
    await told.getByRole("button", { name: "Put this away" }).click();
    await told.waitFor({ state: "detached" });
    await away.keyboard.press("Control+z");
    await expect.poll(cameras).toEqual([]);
    await away.keyboard.press("Control+z");
    await expect.poll(() => document().title).toBe("tide-mill");
  });
});

describe("what can be said of the whole sitting", () => {
  it("by keys alone: its title, questions, the longest pause and the loudness; each taken back by one undo", async () => {
    const { page, complaints } = await open();
    await page.getByRole("button", { name: "Rename" }).focus();
    await page.keyboard.press("Enter");
    await page.keyboard.press("Control+a");
    await page.keyboard.type("The wheel");
    await page.keyboard.press("Escape");
    // Left as it was, and the focus is back where it came from.
    expect(await page.evaluate(() => globalThis.document.activeElement?.textContent)).toBe("Rename");
    expect(document().title).toBe("tide-mill");
    await rename(page, "The wheel");
    await expect.poll(() => document().title).toBe("The wheel");
    await expect.poll(() => page.title()).toBe("The wheel · Gemel");

    const story = page.getByRole("region", { name: "Story", exact: true });
    await story.getByRole("checkbox", { name: /^The interviewer.s questions/ }).press("Space");
    await expect.poll(() => document().decisions.keepQuestions).toBe(true);
    const pause = story.getByRole("textbox", { name: "Longest pause inside an answer" });
    await pause.press("ArrowUp");
    await expect.poll(() => document().decisions.longestPause).toBe(1.4);
    await pause.fill("2,5");
    await pause.press("Enter");
    await expect.poll(() => document().decisions.longestPause).toBe(2.5);

    const handover = page.getByRole("region", { name: "Handover", exact: true });
    await handover.getByRole("radio", { name: /EBU R 128/ }).press("Space");
    await expect.poll(() => document().decisions.loudnessTarget).toBe(-23);
    for (let i = 0; i < 5; i++) await page.keyboard.press("Control+z");
    await expect
      .poll(() => [document().title, document().decisions])
      .toEqual([
        "tide-mill",
        expect.objectContaining({ keepQuestions: false, longestPause: 1.2, loudnessTarget: -18 }),
      ]);
    expect(complaints).toEqual([]);
  });
});
