import { mkdirSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import { sitting as invented } from "../../src/entry/pages/fixture/sitting.ts";
import { lookOver, screenshots, sizes } from "./look-over.ts";
import { finishedForAll, openPage, untilSettled } from "./open-sitting.ts";

/*
 * What lies over the page and what it looks like before, while and after it went wrong: each is read by axe in both
 * themes at three sizes, and the focus goes in, stays in and comes back.
 */

const sitting = finishedForAll();
const { newContext, open } = sitting;

const inTheme = (page: Page, theme: "paper" | "dim") =>
  page.evaluate((name) => {
    document.documentElement.dataset["theme"] = name;
  }, theme);

/** All rules on paper; in the dim only what the theme changes. */
async function isClean(page: Page, where?: string): Promise<void> {
  await inTheme(page, "paper");
  const all = await lookOver(page, where);
  expect(all.wrong).toEqual([]);
  expect(all.passed).toBeGreaterThan(5);
  await inTheme(page, "dim");
  expect((await lookOver(page, where, "contrast")).wrong).toEqual([]);
  await inTheme(page, "paper");
}

async function keepPicture(page: Page, width: number, name: string): Promise<void> {
  const folder = join(screenshots, `${width}-paper`);
  mkdirSync(folder, { recursive: true });
  await page.screenshot({ path: join(folder, `${name}.png`) });
}

/** On the phone the contents lie behind a button. */
async function contents(page: Page, width: number): Promise<void> {
  if (width < 700) await page.getByRole("button", { name: "Contents", exact: true }).click();
}

describe.each(sizes)("at %i by %i", (width, height) => {
  it("dialogs, editors and open creases break no rule that axe knows", async () => {
    const { page, complaints } = await open({ size: [width, height] });
    await untilSettled(page);
    await contents(page, width);
    await page.getByRole("button", { name: "Other sittings" }).click();
    await page.getByRole("form", { name: "A new sitting" }).waitFor();
    await page.getByText(/It goes into/).waitFor();
    await isClean(page, "dialog[open]");
    await keepPicture(page, width, "sittings");
    await page.keyboard.press("Escape");

    await page.keyboard.press("?");
    await page.getByRole("dialog", { name: "Keys" }).waitFor();
    await isClean(page, "dialog[open]");
    await keepPicture(page, width, "keys");
    await page.keyboard.press("Escape");

    await page.getByRole("button", { name: "Add recordings" }).click();
    await isClean(page, "#cards");
    await page.getByRole("button", { name: "Correct the corners, camera B" }).click();
    await page.getByRole("button", { name: /^dark skin's corner/ }).waitFor();
    await isClean(page, "#colour");
    await keepPicture(page, width, "corners");
    const braid = page.getByRole("region", { name: "The cut, shot by shot" });
    await braid
      .getByRole("button", { name: /^unfold/ })
      .first()
      .click();
    await isClean(page, "#story");
    await keepPicture(page, width, "crease");
    await page.getByRole("button", { name: "Rename" }).click();
    await isClean(page, "#sitting");
    await keepPicture(page, width, "rename");
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(width);
    expect(complaints).toEqual([]);
  });

  it.each(["empty", "working", "failed"] as const)("a sitting that is %s breaks no rule", async (state) => {
    const context = await newContext({ size: [width, height] });
    const told = JSON.stringify(invented(state));
    await context.route("**/api/sitting", (route) =>
      route.fulfill({ contentType: "application/json", body: told }),
    );
    await context.route("**/files/**", (route) => route.fulfill({ status: 200, body: "" }));
    // The line stays open and says nothing.
    await context.addInitScript(() => {
      class Silent extends EventTarget {
        close(): void {}
      }
      Object.assign(globalThis, {
        EventSource: class extends Silent {
          constructor() {
            super();
            setTimeout(() => this.dispatchEvent(new Event("open")), 0);
          }
        },
      });
    });
    const { page } = await openPage(context, sitting.address);
    await isClean(page);
    await keepPicture(page, width, state);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(width);
  });
});

describe("the focus", () => {
  const inside = (page: Page) =>
    page.evaluate(() => document.activeElement?.closest("dialog")?.getAttribute("aria-labelledby") ?? null);
  const named = (page: Page) =>
    page.evaluate(
      () => document.activeElement?.getAttribute("aria-label") ?? document.activeElement?.textContent ?? "",
    );

  it.each([
    ["Other sittings", "sittings-name"],
    ["All keys", "keys-name"],
  ])("goes into the dialog of “%s”, stays in it, and comes back", async (button, dialog) => {
    const { page } = await open();
    await page.getByRole("button", { name: button }).focus();
    await page.keyboard.press("Enter");
    await expect.poll(() => inside(page)).toBe(dialog);
    // Out of the page into the browser's own controls is allowed; into the page behind is not.
    for (let i = 0; i < 40; i++) {
      await page.keyboard.press("Tab");
      const where = await page.evaluate(() =>
        document.activeElement === document.body || document.activeElement?.closest("dialog") ? "in" : "out",
      );
      expect(where).toBe("in");
    }
    await page.keyboard.press("Escape");
    expect(await named(page)).toContain(button);
  });

  it("goes into an editor that opens in the page, and back to its button", async () => {
    const { page } = await open();
    const add = page.getByRole("button", { name: "Add recordings" });
    await add.focus();
    await page.keyboard.press("Enter");
    expect(await named(page)).toMatch(/recordings/);
    await page.getByRole("button", { name: "Leave it as it is" }).press("Enter");
    await expect.poll(() => named(page)).toBe("Add recordings");
    const correct = page.getByRole("button", { name: "Correct the corners, camera B" });
    await correct.focus();
    await page.keyboard.press("Enter");
    await expect.poll(() => named(page)).toMatch(/Where the chart is/);
    await page.getByRole("button", { name: "Leave it as it was" }).press("Enter");
    await expect.poll(() => named(page)).toMatch(/Correct the corners, camera B/);
  });
});
