import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { AxeResults } from "axe-core";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from "vitest";
import { loftPlan } from "#demo/loft-plan";
import type { SittingPage } from "#documents/page";
import type { RoomResult } from "#documents/room-result";
import { openBrowser, softwareGraphics } from "../helpers/browser.ts";
import { openPage, serve } from "./open-sitting.ts";

const screenshots = fileURLToPath(new URL("../../.cache/screenshots/", import.meta.url));
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** A sitting that is planned and not filmed yet, served by the built program. */
async function servePlanned(
  plan: object | null = loftPlan,
): Promise<{ folder: string; address: string; close(): Promise<void> }> {
  const base = mkdtempSync(join(tmpdir(), "gemel-room-"));
  const folder = join(base, "sitting");
  mkdirSync(folder);
  writeFileSync(
    join(folder, "sitting.json"),
    JSON.stringify({
      kind: "gemel.sitting",
      version: 1,
      title: "The tide-mill loft",
      createdAt: "2025-11-06T09:00:00Z",
      cards: [],
      places: ["originals"],
      roles: [],
      decisions: { loudnessTarget: -18, truePeakCeiling: -1, keepQuestions: false, longestPause: 1.2 },
      ...(plan ? { plan } : {}),
    }),
  );
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

let browser: Browser;
/** One sitting for all tests that change nothing. */
let onlyRead: ReturnType<typeof servePlanned> | undefined;
beforeAll(async () => {
  browser = await openBrowser(softwareGraphics);
});
afterAll(async () => {
  await browser?.close();
  await (await onlyRead)?.close();
});

async function open(
  plan?: object | null,
  {
    size = [1440, 900] as readonly [number, number],
    theme = "paper" as "paper" | "dim",
    graphics = false,
    isOnlyRead = false,
  } = {},
): Promise<{ page: Page; complaints: string[]; folder: string }> {
  const sitting = isOnlyRead ? await (onlyRead ??= servePlanned(plan)) : await servePlanned(plan);
  if (!isOnlyRead) onTestFinished(() => sitting.close());
  const context = await browser.newContext({
    viewport: { width: size[0], height: size[1] },
    locale: "en-GB",
    reducedMotion: "reduce",
    colorScheme: "light",
  });
  onTestFinished(() => context.close());
  await context.addInitScript((kept) => localStorage.setItem("gemel.theme", kept), theme);
  if (!graphics)
    await context.addInitScript(() => {
      const own = HTMLCanvasElement.prototype.getContext;
      HTMLCanvasElement.prototype.getContext = function (
        this: HTMLCanvasElement,
        kind: string,
        ...rest: unknown[]
      ) {
        return kind.startsWith("webgl")
          ? null
          : (own as (...of: unknown[]) => unknown).call(this, kind, ...rest);
      } as typeof own;
    });
  const opened = await openPage(context, sitting.address);
  await opened.page.getByRole("region", { name: "Room", exact: true }).scrollIntoViewIfNeeded();
  return { ...opened, folder: sitting.folder };
}

const room = (page: Page) => page.getByRole("region", { name: "Room", exact: true });
const thing = (page: Page, name: RegExp) => room(page).getByRole("button", { name });
const saidPlan = (folder: string): typeof loftPlan =>
  (JSON.parse(readFileSync(join(folder, "sitting.json"), "utf8")) as { plan: typeof loftPlan }).plan;

describe("the plan on the page", () => {
  it("a camera dragged half a metre nearer says its new distance at once; undo puts it back", async () => {
    const { page, folder } = await open();
    const cameraA = thing(page, /^Camera A:/);
    await cameraA.scrollIntoViewIfNeeded();
    const before = await cameraA.getAttribute("aria-label");
    const box = (await cameraA.boundingBox())!;
    // To scale: metres of the room in pixels, by two things whose places are known.
    const sitter = (await thing(page, /^the miller:|^sitter:/).boundingBox())!;
    const [a, s] = [loftPlan.cameras[0]!.at, loftPlan.sitter.at];
    const middle = (b: { y: number; height: number }): number => b.y + b.height / 2;
    const pixelsPerMetre = (middle(box) - middle(sitter)) / (s[1] - a[1]);
    expect(pixelsPerMetre).toBeGreaterThan(20);
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await page.mouse.move(x, y);
    await page.mouse.down();
    for (let i = 1; i <= 10; i++) await page.mouse.move(x, y - (i / 10) * 0.5 * pixelsPerMetre);
    await page.mouse.up();
    await expect.poll(() => cameraA.getAttribute("aria-label")).not.toBe(before);
    await expect.poll(() => saidPlan(folder).cameras[0]!.at[1]).toBeCloseTo(a[1] + 0.5, 1);
    // It went to the grid of 5 cm.
    const moved = saidPlan(folder).cameras[0]!.at[1];
    expect(Math.abs(moved * 20 - Math.round(moved * 20))).toBeLessThan(1e-6);
    await page
      .getByRole("button", { name: /^Undo: camera A.s place/ })
      .first()
      .click();
    await expect.poll(() => cameraA.getAttribute("aria-label")).toBe(before);
    await expect.poll(() => saidPlan(folder).cameras[0]!.at).toEqual(a);
  });

  it("arrows move 5 cm, Shift 50 cm, brackets turn", async () => {
    const { page, folder } = await open();
    const at = loftPlan.interviewer.at;
    await thing(page, /^interviewer:/).focus();
    await page.keyboard.press("ArrowRight");
    await expect.poll(() => saidPlan(folder).interviewer.at[0]).toBeCloseTo(at[0] + 0.05, 6);
    await page.keyboard.press("Shift+ArrowUp");
    await expect.poll(() => saidPlan(folder).interviewer.at[1]).toBeCloseTo(at[1] + 0.5, 6);
    await page.keyboard.press("]");
    await expect
      .poll(() => saidPlan(folder).interviewer.heading)
      .toBeCloseTo((loftPlan.interviewer.heading + 5) % 360, 6);
    await page.keyboard.press("Control+z");
    await expect
      .poll(() => saidPlan(folder).interviewer.heading)
      .toBeCloseTo(loftPlan.interviewer.heading, 6);
  });

  it("a figure that is typed counts, in any unit", async () => {
    const { page, folder } = await open();
    await thing(page, /^Camera A:/).click();
    const height = room(page).getByRole("textbox", { name: "Lens height" });
    await height.fill("4'6\"");
    await height.press("Enter");
    // 4 ft 6 in = 1.3716 m, exactly [1959 agreement], kept to the millimetre.
    await expect.poll(() => saidPlan(folder).cameras[0]!.height).toBeCloseTo(1.372, 6);
    await expect.poll(() => height.inputValue()).toBe("1.37 m");
  });

  it("the sun moves with the hour, the cameras' pictures are finished, and go into the report", async () => {
    const { page, complaints, folder } = await open(loftPlan, { graphics: true });
    const hour = room(page).getByRole("slider", { name: /^The sun at/ });
    const drawn = () => room(page).locator("svg path.sun").first().getAttribute("d");
    const before = await drawn();
    await hour.fill(String(Number(await hour.getAttribute("min")) + 45));
    await expect.poll(drawn).not.toBe(before);
    const picture = room(page).getByRole("img", { name: "What camera A sees" });
    await picture.scrollIntoViewIfNeeded();
    await expect.poll(() => picture.getAttribute("data-finished"), { timeout: 60_000 }).toBe("yes");
    const spread = await picture.evaluate((canvas) => {
      const { width, height } = canvas as HTMLCanvasElement;
      const { data } = (canvas as HTMLCanvasElement).getContext("2d")!.getImageData(0, 0, width, height);
      let [low, high] = [255, 0];
      for (let i = 0; i < data.length; i += 4)
        [low, high] = [Math.min(low, data[i]!), Math.max(high, data[i]!)];
      return high - low;
    });
    // A picture of a lit room holds dark and light.
    expect(spread).toBeGreaterThan(120);
    await room(page).getByRole("button", { name: "Put these pictures in the report" }).click();
    await room(page)
      .getByRole("button", { name: "These pictures are in the report" })
      .waitFor({ timeout: 60_000 });
    const drawings = () =>
      page.evaluate(
        async () =>
          ((await (await fetch("api/sitting")).json()) as SittingPage).chapters.find(
            ({ name }) => name === "room",
          )?.result as RoomResult | undefined,
      );
    await expect
      .poll(async () => (await drawings())?.drawings?.frames.map((f) => f.isRendered))
      .toEqual([true, true]);
    for (const { path } of (await drawings())!.drawings!.frames) {
      const png = readFileSync(join(folder, path));
      // Breadth as the header has it. [PNG-3] 11.2.1
      expect(png.readUInt32BE(16)).toBeGreaterThanOrEqual(960);
      mkdirSync(screenshots, { recursive: true });
      writeFileSync(join(screenshots, `frame-${path.split("-").at(-1)}`), png);
    }
    expect(complaints).toEqual([]);
  });

  it("without graphics, the cameras see in lines", async () => {
    const { page } = await open(loftPlan, { isOnlyRead: true });
    const lines = room(page).getByRole("img", { name: "What camera A sees, as a line drawing" });
    await lines.waitFor();
    expect(await lines.locator("path").count()).toBeGreaterThan(30);
  });

  it("three stagings are proposed; the one that is taken is said, and can be taken back", async () => {
    const { page, folder } = await open();
    await room(page).getByRole("button", { name: "Propose three stagings" }).click();
    const take = room(page).getByRole("button", { name: "Take this one" });
    await expect.poll(() => take.count(), { timeout: 60_000 }).toBe(3);
    await take.first().click();
    await expect.poll(() => saidPlan(folder).cameras[0]!.at).not.toEqual(loftPlan.cameras[0]!.at);
    await page
      .getByRole("button", { name: /^Undo: the staging/ })
      .first()
      .click();
    await expect.poll(() => saidPlan(folder).cameras[0]!.at).toEqual(loftPlan.cameras[0]!.at);
  });

  it("a sitting without a plan gets one with a press, and Kit adds it up", async () => {
    const { page, folder } = await open(null);
    await room(page).getByRole("button", { name: "Make a plan" }).click();
    await thing(page, /^Camera A:/).waitFor();
    await expect.poll(() => saidPlan(folder)?.cameras.length).toBe(2);
    const kit = page.getByRole("region", { name: "Kit", exact: true });
    await kit.getByRole("heading", { name: /^What to pack/ }).waitFor();
  });
});

describe.each(["paper", "dim"] as const)("Room and Kit in %s", (theme) => {
  it.each([
    [1440, 900],
    [1024, 768],
    [390, 844],
  ] as const)("at %i by %i keep inside the window, and axe has nothing to say", async (width, height) => {
    const { page } = await open(loftPlan, { size: [width, height], theme, isOnlyRead: true });
    await page.waitForTimeout(500);
    for (const name of ["room", "kit"]) {
      await page.locator(`#${name}`).scrollIntoViewIfNeeded();
      mkdirSync(screenshots, { recursive: true });
      await page.locator(`#${name}`).screenshot({ path: join(screenshots, `${name}-${width}-${theme}.png`) });
    }
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
    await page.evaluate(axe);
    const { violations } = await page.evaluate<AxeResults>("axe.run('#room, #kit')");
    expect(
      violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html.slice(0, 120)).join(" | ")}`),
    ).toEqual([]);
  });
});
