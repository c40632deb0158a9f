import { mkdirSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { describe, expect, it, onTestFinished } from "vitest";
import { lookOver, screenshots, sizes } from "./look-over.ts";
import { cuttableLine, finishedForAll, openPage } from "./open-sitting.ts";

const sitting = finishedForAll();
const { newContext, open } = sitting;

const chapter = (page: Page, name: string) => page.getByRole("region", { name, exact: true });
const braid = (page: Page) => page.getByRole("region", { name: "The cut, shot by shot" });

/** Seconds of the first cut on one of its screens. */
const timeOf = (page: Page, name: string): Promise<number> =>
  page.getByLabel(name, { exact: true }).evaluate((video) => (video as HTMLVideoElement).currentTime);

/** The picture on a screen, 32 by 18 grey values. */
const pictureOf = (page: Page, name: string): Promise<number[]> =>
  page.getByLabel(name, { exact: true }).evaluate((video) => {
    const canvas = new OffscreenCanvas(32, 18);
    const pen = canvas.getContext("2d")!;
    pen.drawImage(video as HTMLVideoElement, 0, 0, 32, 18);
    const { data } = pen.getImageData(0, 0, 32, 18);
    return Array.from(
      { length: 32 * 18 },
      (_, i) => (data[i * 4]! + data[i * 4 + 1]! + data[i * 4 + 2]!) / 3,
    );
  });
const difference = (p: readonly number[], q: readonly number[]): number =>
  p.reduce((sum, value, i) => sum + Math.abs(value - q[i]!), 0) / p.length;

// What the demo's truth.json puts in: three files, a gap, 7 s of lost focus, a rustle, a chart, three joins.
const verdicts: readonly (readonly [string, RegExp])[] = [
  ["Cards", /files are copied and verified/],
  ["Clock", /^Camera B.s second file began 34\.9\d s after camera A/],
  ["Watch", /Camera A held its focus.*Camera B lost focus for 7 s at 0:53/],
  ["Voice", /^The lav carried the voice/],
  ["Colour", /^Camera B now agrees with camera A/],
  ["Story", /have become forty-\w+\. All three cuts inside the sitter.s answers change camera/],
  ["Handover", /files are ready; the first cut runs 0:4\d/],
];

describe("the page of a finished sitting", () => {
  it("opens every chapter with its verdict", async () => {
    const { page } = await open();
    const contents = page.getByRole("navigation", { name: "Contents" });
    for (const [name, says] of verdicts) {
      const verdict = chapter(page, name).getByRole("paragraph").filter({ hasText: says }).first();
      await verdict.scrollIntoViewIfNeeded();
      expect(await verdict.isVisible()).toBe(true);
      expect(await contents.getByRole("link", { name: new RegExp(`${name}.*settled`) }).count()).toBe(1);
    }
  });

  it("complains of nothing while it is read from top to end", async () => {
    const { page, complaints } = await open();
    const bottom = await page.evaluate(() => document.documentElement.scrollHeight);
    for (let y = 0; y < bottom; y += 600) {
      await page.mouse.wheel(0, 600);
      await page.waitForTimeout(30);
    }
    await page.waitForFunction(() => [...document.images].every((image) => image.complete));
    const blank = await page.evaluate(() =>
      [...document.images].filter((image) => image.complete && image.naturalWidth === 0).map((i) => i.src),
    );
    expect(blank).toEqual([]);
    expect(complaints).toEqual([]);
  });

  it("plays the first cut: time goes on and the picture changes with the angle", async () => {
    const { page } = await open();
    await page.getByRole("button", { name: "Play from 0:00" }).first().click();
    await expect.poll(() => timeOf(page, "The first cut")).toBeGreaterThan(1);
    const wide = await pictureOf(page, "The first cut");
    await page.getByRole("slider", { name: "Place in the cut" }).first().fill("10");
    await expect.poll(() => timeOf(page, "The first cut")).toBeGreaterThan(10.5);
    const tight = await pictureOf(page, "The first cut");
    // Two moments of one angle differ by under 3 of 255; two angles by over 10.
    expect(difference(wide, tight)).toBeGreaterThan(8);
    await page.getByRole("button", { name: /^Stop/ }).first().click();
    const still = await timeOf(page, "The first cut");
    await page.waitForTimeout(300);
    expect(await timeOf(page, "The first cut")).toBe(still);
  });

  it("plays from the shot of the braid that is pressed", async () => {
    const { page } = await open();
    await braid(page)
      .getByRole("button", { name: /^Camera B, 0:21/ })
      .click();
    await expect.poll(() => timeOf(page, "The first cut, beside its braid")).toBeGreaterThan(21);
    expect(await timeOf(page, "The first cut, beside its braid")).toBeLessThan(26);
  });

  it("says that the line is lost, and mends itself", async () => {
    const line = await cuttableLine(sitting.address);
    onTestFinished(() => line.close());
    const { page } = await openPage(await newContext(), line.address);
    await page.waitForTimeout(300);
    await line.cut();
    const told = page.getByRole("status").filter({ hasText: /lost touch with Gemel|cannot reach Gemel/ });
    await told.waitFor();
    expect(await page.getByRole("button", { name: "Try now" }).isVisible()).toBe(true);
    // What was read stays to be read.
    expect(await chapter(page, "Clock").isVisible()).toBe(true);
    await line.mend();
    await page.getByRole("button", { name: "Try now" }).click();
    await told.waitFor({ state: "detached" });
  });
});

describe("on paper", () => {
  it("the first sheet shows the cut's first picture in the player's place", async () => {
    const { page } = await open();
    const picture = page.getByAltText("The cut as it opens");
    expect(await picture.isVisible()).toBe(false);
    await page.emulateMedia({ media: "print" });
    await expect.poll(() => picture.evaluate((one) => (one as HTMLImageElement).naturalWidth)).toBe(1280);
    expect(await picture.isVisible()).toBe(true);
    expect(await page.getByLabel("The first cut", { exact: true }).isVisible()).toBe(false);
  });
});

describe("motion", () => {
  const moves = (page: Page) =>
    page.evaluate(() => ({
      scrolls: getComputedStyle(document.documentElement).scrollBehavior,
      slow: [...document.querySelectorAll("*")].filter((one) => {
        const { transitionDuration, animationDuration } = getComputedStyle(one);
        return `${transitionDuration}, ${animationDuration}`
          .split(", ")
          .some((s) => Number.parseFloat(s) > 0.01);
      }).length,
    }));

  it("is none where the reader wants none", async () => {
    const { page } = await open();
    expect(await moves(page)).toEqual({ scrolls: "auto", slow: 0 });
    await page.emulateMedia({ reducedMotion: "no-preference" });
    expect((await moves(page)).scrolls).toBe("smooth");
  });
});

describe("the keys of the page", () => {
  it("D dims it, and the choice is remembered", async () => {
    const { page } = await open();
    const paper = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    expect(await paper()).toBe("rgb(244, 243, 238)");
    await page.keyboard.press("d");
    expect(await paper()).toBe("rgb(19, 20, 22)");
    await page.reload();
    await page.getByRole("heading", { level: 1 }).waitFor();
    expect(await paper()).toBe("rgb(19, 20, 22)");
    await page.keyboard.press("d");
    expect(await paper()).toBe("rgb(244, 243, 238)");
  });

  it("1 to 0 go to the ten chapters and take the focus there", async () => {
    const { page } = await open();
    const names = ["Room", "Kit", "Day", "Cards", "Clock", "Watch", "Voice", "Colour", "Story", "Handover"];
    for (const [i, name] of names.entries()) {
      await page.keyboard.press(String((i + 1) % 10));
      const focused = await page.evaluate(() =>
        document.activeElement?.getAttribute("aria-labelledby")?.replace("-name", ""),
      );
      expect(focused).toBe(name.toLowerCase());
      const top = await chapter(page, name).evaluate((element) => element.getBoundingClientRect().top);
      expect(Math.abs(top)).toBeLessThan(name === "Handover" ? 900 : 120);
    }
  });

  it("N and P step through the findings", async () => {
    const { page } = await open();
    const focused = () => page.evaluate(() => document.activeElement?.textContent ?? "");
    await page.keyboard.press("n");
    // The worst finding comes first.
    expect(await focused()).toMatch(/^†?will be seen or heard: /);
    const first = await focused();
    await page.keyboard.press("n");
    expect(await focused()).not.toBe(first);
    await page.keyboard.press("p");
    expect(await focused()).toBe(first);
  });

  it("Space plays the cut and stops it", async () => {
    const { page } = await open();
    await page.keyboard.press("Space");
    await expect.poll(() => timeOf(page, "The first cut")).toBeGreaterThan(0.3);
    await page.keyboard.press("Space");
    await expect
      .poll(() =>
        page
          .getByLabel("The first cut", { exact: true })
          .evaluate((video) => (video as HTMLVideoElement).paused),
      )
      .toBe(true);
  });

  it("? lists them, and letters can be turned off", async () => {
    const { page } = await open();
    await page.keyboard.press("?");
    const dialog = page.getByRole("dialog", { name: "Keys" });
    await dialog.waitFor();
    await dialog.getByRole("checkbox").uncheck();
    await page.keyboard.press("Escape");
    await dialog.waitFor({ state: "hidden" });
    await page.keyboard.press("d");
    expect(await page.evaluate(() => document.documentElement.dataset["theme"])).toBe("paper");
  });
});

describe.each(sizes)("at %i by %i", (width, height) => {
  it("breaks no rule of WCAG 2.2 that axe knows, in either theme, and nothing sticks out sideways; pictures are kept", async () => {
    const { page } = await open({ size: [width, height], theme: "paper" });
    for (const theme of ["paper", "dim"] as const) {
      await page.evaluate((name) => {
        document.documentElement.dataset["theme"] = name;
      }, theme);
      // The dim changes colours alone.
      const { wrong, passed } = await lookOver(page, undefined, theme === "paper" ? "all" : "contrast");
      expect(wrong).toEqual([]);
      // A check that looked at nothing would pass too.
      expect(passed).toBeGreaterThan(theme === "paper" ? 20 : 0);
      const folder = join(screenshots, `${width}-${theme}`);
      mkdirSync(folder, { recursive: true });
      for (const id of ["sitting", "cards", "clock", "watch", "voice", "colour", "story", "handover"]) {
        await page.evaluate((place) => document.getElementById(place)!.scrollIntoView(), id);
        await page.waitForTimeout(60);
        await page.screenshot({ path: join(folder, `${id}.png`) });
      }
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(width);
    }
  });
});
