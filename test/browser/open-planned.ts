import { mkdirSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, onTestFinished } from "vitest";
import { loftPlan } from "#demo/loft-plan";
import { openBrowser, softwareGraphics } from "../helpers/browser.ts";
import { openPage, type ServedSitting, serveFolder } from "./open-sitting.ts";

/** A sitting that is planned and not filmed yet, served by the built program. */
async function servePlanned(plan: object | null = loftPlan): Promise<ServedSitting> {
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
  return await serveFolder(folder, base);
}

/** How the page of a planned sitting is opened. */
interface How {
  readonly size?: readonly [number, number];
  readonly theme?: "paper" | "dim";
  /** Whether the browser can draw pictures; without, the cameras see in lines. */
  readonly graphics?: boolean;
  /** One sitting serves all tests that change nothing. */
  readonly isOnlyRead?: boolean;
}

/** A browser for a file's tests of what is planned; each test opens a sitting of its own with the plan, or none. */
export function plannedForAll(): {
  open(
    plan?: object | null,
    how?: How,
  ): Promise<{ readonly page: Page; readonly complaints: string[]; readonly folder: string }>;
} {
  let browser: Browser | undefined;
  let onlyRead: ReturnType<typeof servePlanned> | undefined;
  beforeAll(async () => {
    browser = await openBrowser(softwareGraphics);
  });
  afterAll(async () => {
    await browser?.close();
    await (await onlyRead)?.close();
  });
  return {
    open: async (
      plan,
      { size = [1440, 900], theme = "paper", graphics = false, isOnlyRead = false } = {},
    ) => {
      const sitting = isOnlyRead ? await (onlyRead ??= servePlanned(plan)) : await servePlanned(plan);
      if (!isOnlyRead) onTestFinished(() => sitting.close());
      const context = await browser!.newContext({
        viewport: { width: size[0], height: size[1] },
        locale: "en-GB",
        reducedMotion: "reduce",
        colorScheme: "light",
      });
      onTestFinished(() => context.close());
      await context.addInitScript((kept) => localStorage.setItem("gemel.theme", kept), theme);
      if (!graphics)
        // A browser that cannot draw in a worker.
        await context.addInitScript(() => {
          delete (globalThis as { OffscreenCanvas?: unknown }).OffscreenCanvas;
        });
      const opened = await openPage(context, sitting.address);
      await opened.page.getByRole("region", { name: "Room", exact: true }).scrollIntoViewIfNeeded();
      return { ...opened, folder: sitting.folder };
    },
  };
}

/** The plan as the sitting's document has it. */
export const saidPlan = (folder: string): typeof loftPlan =>
  (JSON.parse(readFileSync(join(folder, "sitting.json"), "utf8")) as { plan: typeof loftPlan }).plan;
