import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { expect, it } from "vitest";
import { finishedForAll } from "./open-sitting.ts";

/*
 * As somebody new would: two recordings are dropped on the page, every chapter says its sentence, a corner of the chart
 * is put right, an angle is changed and stands in the edit list, the change is taken back, and the cut is played.
 */

const sitting = finishedForAll();
const { open } = sitting;

/** Opens the form of a new sitting. */
async function newForm(page: Page) {
  await page.getByRole("button", { name: "Other sittings" }).click();
  return page.getByRole("form", { name: "A new sitting" });
}

/** Lets go of a file over a place of the form, as a hand would: the file is one of the first sitting's own. */
async function drop(page: Page, place: RegExp, file: string): Promise<void> {
  await page.evaluate(() => {
    const held = Object.assign(document.createElement("input"), { type: "file", id: "held", hidden: true });
    document.body.append(held);
  });
  await page.locator("#held").setInputFiles(join(sitting.folder, file));
  const data = await page.evaluateHandle(() => {
    const held = document.querySelector<HTMLInputElement>("#held")!;
    const transfer = new DataTransfer();
    transfer.items.add(held.files![0]!);
    held.remove();
    return transfer;
  });
  const target = page.getByRole("group", { name: place });
  for (const event of ["dragenter", "dragover", "drop"])
    await target.dispatchEvent(event, { dataTransfer: data });
}

interface Told {
  readonly title: string;
  readonly folder: string;
  readonly running: boolean;
  readonly recordings: readonly { readonly device: string }[];
  readonly chapters: readonly { readonly name: string; readonly state: string; readonly verdict: string }[];
}
const told = (page: Page): Promise<Told> =>
  page.evaluate(async () => (await (await fetch("api/sitting")).json()) as Told);
// A whole sitting is measured, maybe beside the other tests of a busy machine.
const patient = { timeout: 300_000, interval: 100 };
/** A picture that has to be decoded on a busy machine. */
const soon = { timeout: 30_000, interval: 100 };
const region = (page: Page, name: string) => page.getByRole("region", { name, exact: true });

it("two recordings that are dropped become a cut that is put right, played and handed over", {
  timeout: 600_000,
}, async () => {
  const { page, complaints } = await open();
  const form = await newForm(page);
  await form.getByLabel("Title").fill("The miller's second day");
  await drop(page, /^Camera A/, "originals/A/A001.mov");
  await drop(page, /^Camera B/, "originals/B/B001.mp4");
  expect(await form.getByText("A001.mov").isVisible()).toBe(true);
  await form.getByRole("button", { name: "Make it and begin" }).click();
  // A sitting of the same name may be open already: the form goes when the new one is there.
  await form.waitFor({ state: "hidden", ...patient });

  // It opens by itself, and every chapter comes to its sentence.
  await page.getByRole("heading", { level: 1, name: "The miller's second day" }).waitFor(patient);
  await expect
    .poll(
      async () =>
        (await told(page)).chapters.filter(
          ({ name, state }) => !["room", "kit", "day"].includes(name) && state !== "settled",
        ),
      patient,
    )
    .toEqual([]);
  const { chapters, folder } = await told(page);
  const editList = () => readFileSync(join(folder, "handover", "cut.edl"), "utf8");
  const before = editList();
  expect(folder).toMatch(/Gemel[/\\]The miller's second day( \d+)?$/);
  const sentences: Record<string, RegExp> = {
    Cards: /cop(?:y|ied)|safe|erase/i,
    Clock: /began|late|early|ms/,
    Watch: /Camera/,
    Voice: /lav|boom|LUFS/,
    Colour: /camera|colour|patch/i,
    Story: /cuts? inside|answer/,
    Handover: /files are ready; the first cut runs 0:\d\d/,
  };
  for (const [name, sentence] of Object.entries(sentences)) {
    expect(chapters.find((c) => c.name === name.toLowerCase())?.verdict).toMatch(sentence);
    expect(await region(page, name).locator(".verdict").textContent()).toMatch(sentence);
  }

  // The chart's corner, by hand.
  await page.getByRole("button", { name: "Correct the corners, camera B" }).click();
  const ring = page.getByRole("button", { name: /^dark skin's corner/ });
  await ring.press("ArrowLeft");
  await page.getByRole("button", { name: "Measure with these corners" }).click();
  const chart = page.getByRole("region", { name: "The chart, as found" });
  await expect.poll(() => chart.textContent(), patient).toMatch(/by hand/);

  // An angle in the braid, in the edit list, and back.
  const reels = (list: string) => [...list.matchAll(/^\d{3,}\s+(\S+)\s+V/gm)].map((m) => m[1]);
  const braid = region(page, "The cut, shot by shot");
  const other = braid.getByRole("button", { name: /^Show camera [AB] from 0:00/ });
  const camera = /camera ([AB])/.exec((await other.getAttribute("aria-label"))!)![1]!;
  await other.click();
  await braid.getByRole("button", { name: new RegExp(`^Camera ${camera}, 0:00.*you chose`) }).waitFor();
  await expect.poll(() => reels(editList())[0], patient).not.toBe(reels(before)[0]);

  // Played as it is now: time goes on, and the picture switches with the angle.
  await page
    .getByRole("button", { name: /^Play from/ })
    .first()
    .click();
  const screen = page.getByLabel("The first cut", { exact: true });
  const time = () =>
    screen.evaluate((one) => {
      const video = one.matches("video") ? one : one.querySelector("video[data-on]");
      return (video as HTMLVideoElement).currentTime;
    });
  await expect.poll(time, soon).toBeGreaterThan(0.5);
  const picture = () =>
    screen.evaluate((one) => {
      const video = (one.matches("video") ? one : one.querySelector("video[data-on]")) as HTMLVideoElement;
      const canvas = Object.assign(document.createElement("canvas"), { width: 16, height: 9 });
      const context = canvas.getContext("2d")!;
      context.drawImage(video, 0, 0, 16, 9);
      return [...context.getImageData(0, 0, 16, 9).data];
    });
  const first = await picture();
  const secondShot = await braid
    .getByRole("button", { name: /^Camera [AB], 0:/ })
    .nth(1)
    .getAttribute("aria-label");
  const at = /0:(\d\d)/.exec(secondShot!)![1]!;
  await page
    .getByRole("slider", { name: "Place in the cut" })
    .first()
    .fill(String(Number(at) + 1));
  // Two moments of one angle differ by under 3 of 255; two angles by over 10.
  await expect
    .poll(async () => {
      const now = await picture();
      return now.reduce((sum, v, i) => sum + Math.abs(v - first[i]!), 0) / now.length;
    }, soon)
    .toBeGreaterThan(6);

  await page.keyboard.press("Control+z");
  await page.keyboard.press("Control+z");
  await expect.poll(() => chart.textContent(), patient).not.toMatch(/by hand/);
  await expect.poll(editList, patient).toBe(before);
  expect(complaints).toEqual([]);
});

it("recordings that are named by their paths are worked from where they lie", {
  timeout: 400_000,
}, async () => {
  const { page } = await open();
  // Another sitting may be open from the test before; the originals of the first lie where they lay.
  const form = await newForm(page);
  await form.getByLabel("Title").fill("Where they lie");
  const paths = (place: RegExp) => form.getByRole("group", { name: place }).getByRole("textbox");
  await paths(/^Camera A/).fill(join(sitting.folder, "originals", "A", "A001.mov"));
  await paths(/^Camera B/).fill(join(sitting.folder, "originals", "B", "B009.mp4"));
  await form.getByRole("checkbox", { name: /where they lie/ }).check();
  await form.getByRole("button", { name: "Make it and begin" }).click();
  // A path that leads nowhere is said, and nothing is made.
  await form.getByRole("alert").filter({ hasText: "B009.mp4" }).waitFor();
  await paths(/^Camera B/).fill("");
  await form.getByRole("button", { name: "Make it and begin" }).click();
  await page.getByRole("heading", { level: 1, name: "Where they lie" }).waitFor(patient);

  // The other card comes later, when the first has been looked at.
  await expect.poll(async () => (await told(page)).recordings.length, patient).toBe(1);
  await page.getByRole("button", { name: "Add recordings" }).click();
  const more = page.getByRole("form", { name: "More recordings" });
  await more
    .getByRole("group", { name: /^Camera B/ })
    .getByRole("textbox")
    .fill(join(sitting.folder, "originals", "B", "B001.mp4"));
  await more.getByRole("button", { name: /^Take them in/ }).click();
  await expect
    .poll(async () => (await told(page)).recordings.map(({ device }) => device).sort(), patient)
    .toEqual(["A", "B"]);
  await expect
    .poll(async () => (await told(page)).chapters.find(({ name }) => name === "clock")?.state, patient)
    .toBe("settled");
  await page.getByRole("button", { name: "Stop the work" }).click();
  await expect.poll(async () => (await told(page)).running, patient).toBe(false);
});
