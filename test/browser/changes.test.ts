import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import { finishedForAll } from "./open-sitting.ts";

/*
 * What a person changes on the page: it shows at once, is kept in sitting.json, reaches the files that are handed over,
 * and can be taken back. Each test takes back what it did.
 */

const sitting = finishedForAll();
const { open } = sitting;

const braid = (page: Page) => page.getByRole("region", { name: "The cut, shot by shot" });
const firstShot = (page: Page) => braid(page).getByRole("button", { name: /^Camera ., 0:00/ });
const said = () =>
  (
    JSON.parse(readFileSync(join(sitting.folder, "sitting.json"), "utf8")) as {
      story?: { angles: { camera: string }[]; kept: unknown[]; folded: unknown[] };
      charts?: { corners: number[][] }[];
    }
  ).story ?? { angles: [], kept: [], folded: [] };
const editList = () => readFileSync(join(sitting.folder, "handover", "cut.edl"), "utf8");
/** The reel of the first event of the edit list, which is the card's file. */
const firstReel = () => /^001\s+(\S+)/m.exec(editList())?.[1] ?? "";
const isIdle = (page: Page) =>
  page.evaluate(async () => !((await (await fetch("api/sitting")).json()) as { running: boolean }).running);
/** Rendering a cut anew takes its time on a busy machine. */
const patient = { timeout: 100_000, interval: 500 };
const settle = (page: Page) => expect.poll(() => isIdle(page), patient).toBe(true);

describe("an angle changed in the braid", () => {
  it("shows at once, is kept, reaches the edit list, and is undone", { timeout: 280_000 }, async () => {
    const { page, complaints } = await open();
    await settle(page);
    const before = firstReel();
    expect(await firstShot(page).getAttribute("aria-label")).toMatch(/^Camera A/);
    await braid(page)
      .getByRole("button", { name: /^Show camera B from 0:00/ })
      .click();
    expect(await firstShot(page).getAttribute("aria-label")).toMatch(/^Camera B.*you chose camera B here/);
    await expect.poll(() => said().angles.map(({ camera }) => camera)).toEqual(["B"]);
    // The join after it still changes camera: the rest was chosen again around it.
    await expect
      .poll(() => page.getByRole("region", { name: "Story", exact: true }).textContent())
      .toMatch(/(Both|All [a-z]+) cuts inside the sitter.s answers change camera/);
    await expect.poll(firstReel, patient).not.toBe(before);
    await page.keyboard.press("Control+z");
    await expect.poll(() => firstShot(page).getAttribute("aria-label")).toMatch(/^Camera A/);
    await expect.poll(() => said().angles).toEqual([]);
    await expect.poll(firstReel, patient).toBe(before);
    expect(complaints).toEqual([]);
  });

  it("is changed by a key, by drawing the ribbon across, and seen on another page", async () => {
    const { page } = await open();
    const other = await open();
    await firstShot(page).focus();
    await page.keyboard.press("ArrowRight");
    await expect.poll(() => firstShot(page).getAttribute("aria-label")).toMatch(/^Camera B/);
    await expect.poll(() => firstShot(other.page).getAttribute("aria-label")).toMatch(/^Camera B/);
    // Drawn back to the left column, by the ribbon's own stretch at the right.
    const shot = await firstShot(page).boundingBox();
    const { x, y, height } = shot!;
    await page.mouse.move(x - 6, y + height / 2);
    await page.mouse.down();
    await page.mouse.move(x - 50, y + height / 2, { steps: 4 });
    await page.mouse.up();
    await expect.poll(() => firstShot(page).getAttribute("aria-label")).toMatch(/^Camera A/);
    await page.keyboard.press("Control+z");
    await page.keyboard.press("Control+z");
    await expect.poll(() => said().angles).toEqual([]);
  });
});

describe("a crease", () => {
  it("opens on a press and gives back what it holds", async () => {
    const { page } = await open();
    const lengthOf = async () =>
      (await braid(page)
        .getByRole("button", { name: /^Camera/ })
        .last()
        .getAttribute("aria-label"))!;
    const before = await lengthOf();
    await braid(page)
      .getByRole("button", { name: /^unfold/ })
      .first()
      .click();
    await braid(page)
      .getByRole("button", { name: /^Give back the sitter/ })
      .first()
      .click();
    await expect.poll(lengthOf).not.toBe(before);
    await expect.poll(() => said().kept.length).toBe(1);
    await page
      .getByRole("button", { name: /^Undo: giving back/ })
      .first()
      .click();
    await expect.poll(lengthOf).toBe(before);
    await expect.poll(() => said().kept).toEqual([]);
  });
});

describe("a cut that was changed", () => {
  it("plays from the small copies: time goes on and the angle switches", async () => {
    const { page } = await open();
    await expect
      .poll(
        () =>
          page.evaluate(
            async () =>
              ((await (await fetch("api/sitting")).json()) as { proxies: unknown[] }).proxies.length,
          ),
        patient,
      )
      .toBe(3);
    await braid(page)
      .getByRole("button", { name: /^Show camera B from 0:00/ })
      .click();
    const screen = page.getByLabel("The first cut, beside its braid", { exact: true });
    await expect.poll(() => screen.locator("video").count()).toBe(2);
    const onScreen = () =>
      screen.evaluate((box) => {
        const video = box.querySelector<HTMLVideoElement>("video[data-on]")!;
        return { address: video.currentSrc, time: video.currentTime, paused: video.paused };
      });
    await braid(page)
      .getByRole("button", { name: /^Camera B, 0:00/ })
      .click();
    await expect.poll(async () => (await onScreen()).paused, { timeout: 10_000 }).toBe(false);
    const first = await onScreen();
    await expect
      .poll(async () => (await onScreen()).time, { timeout: 10_000 })
      .toBeGreaterThan(first.time + 0.5);
    // Through the end of the first shot, at about 0:09, to camera A.
    await expect.poll(async () => (await onScreen()).address, { timeout: 30_000 }).not.toBe(first.address);
    expect((await onScreen()).paused).toBe(false);
    await page.keyboard.press("Control+z");
    await expect.poll(() => said().angles).toEqual([]);
  });
});

describe("a new sitting", () => {
  it("says what is missing rather than making an empty one", async () => {
    const { page } = await open();
    await page.getByRole("button", { name: "Other sittings" }).click();
    const form = page.getByRole("form", { name: "A new sitting" });
    await form.getByRole("button", { name: "Make it and begin" }).click();
    await form.getByRole("alert").filter({ hasText: "no title" }).waitFor();
    await form.getByLabel("Title").fill("Second day");
    await form.getByRole("button", { name: "Make it and begin" }).click();
    await form.getByRole("alert").filter({ hasText: "no recordings" }).waitFor();
  });
});
