import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";
import type { AxeResults } from "axe-core";
import type { Page } from "playwright-core";

/** Where pictures of the screens are kept, to be looked at. */
export const screenshots = fileURLToPath(new URL("../../.cache/screenshots/", import.meta.url));

/** The windows that every screen is looked at in. */
export const sizes = [
  [1440, 900],
  [1024, 768],
  [390, 844],
] as const;

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const rules = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

/** What axe finds wrong with a page, or with one part of it: "rule: places". And how many rules looked at something. */
export async function lookOver(
  page: Page,
  where?: string,
  how: "all" | "contrast" = "all",
): Promise<{ wrong: string[]; passed: number }> {
  if (!(await page.evaluate(() => "axe" in globalThis))) await page.evaluate(axe);
  const results = await page.evaluate(
    ([part, only]) =>
      (
        globalThis as unknown as { axe: { run(where: Document | string, how: object): Promise<AxeResults> } }
      ).axe.run(part ?? document, { runOnly: only, resultTypes: ["violations", "passes"] }),
    [where, how === "all" ? rules : { type: "rule", values: ["color-contrast"] }] as const,
  );
  return {
    wrong: results.violations.flatMap(({ id, nodes }) => {
      const told = nodes.filter(({ html }) => !(id === "target-size" && isOnPlan(html)));
      return told.length === 0 ? [] : [`${id}: ${told.map((n) => n.target.join(" ")).join(", ")}`];
    }),
    passed: results.passes.length,
  };
}

/** WCAG 2.2, 2.5.8 leaves out targets whose place is essential, as on a map: things on the plan stand where they stand. */
const isOnPlan = (html: string): boolean => /^<button[^>]* class="thing\b/.test(html);
