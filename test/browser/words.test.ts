import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import { finishedForAll, untilSettled } from "./open-sitting.ts";

/* Transcripts and marks beside the braid: brought in, read, gone to, handed over and taken back. */

const sitting = finishedForAll();

async function open(locale = "en-GB"): Promise<{ page: Page; complaints: string[] }> {
  const opened = await sitting.open({ locale });
  await untilSettled(opened.page);
  return opened;
}

const patient = { timeout: 100_000, interval: 300 };
const block = (page: Page) => page.getByRole("region", { name: "Words and marks" });
const timeOf = (page: Page) =>
  page
    .getByRole("slider", { name: "Place in the cut" })
    .first()
    .evaluate((slide) => Number((slide as HTMLInputElement).value));
const captions = join("handover", "captions.vtt");
const told = () => readFileSync(join(sitting.folder, captions), "utf8");

describe("a transcript", () => {
  it("is dropped beside the braid, shown at its time, gone to, handed over as captions, and taken back", {
    timeout: 200_000,
  }, async () => {
    const { page, complaints } = await open();
    // Camera A's own time; the cut opens on it at 0:14.9.
    const srt = "1\n00:00:17,000 --> 00:00:19,500\nThe wheel turns both ways.\n";
    const data = await page.evaluateHandle((text) => {
      const transfer = new DataTransfer();
      transfer.items.add(new File([text], "A001.srt"));
      return transfer;
    }, srt);
    for (const event of ["dragenter", "dragover", "drop"])
      await block(page).dispatchEvent(event, { dataTransfer: data });
    await block(page).getByText("A001.srt: one line.").waitFor();
    // It counts the time of the recording that is called like it.
    const counts = block(page).getByRole("combobox", { name: "A001.srt counts the time of" });
    expect(await counts.evaluate((one) => (one as HTMLSelectElement).selectedOptions[0]!.text)).toBe(
      "A001.mov",
    );
    const line = page.getByRole("button", { name: /^Said at 0:02: The wheel turns both ways/ });
    await line.waitFor(patient);
    await line.click();
    await expect.poll(() => timeOf(page)).toBeCloseTo(2.1, 0);
    await expect.poll(() => existsSync(join(sitting.folder, captions)), patient).toBe(true);
    expect(told()).toMatch(/00:00:02\.\d{3} --> 00:00:04\.\d{3}\nThe wheel turns both ways\./);
    await page.keyboard.press("Control+z");
    await line.waitFor({ state: "detached", ...patient });
    await expect.poll(() => existsSync(join(sitting.folder, captions)), patient).toBe(false);
    expect(complaints).toEqual([]);
  });

  it("that is none is refused in a sentence, and changes nothing", async () => {
    const { page } = await open();
    const path = block(page).getByRole("textbox", { name: "Or its path" });
    await path.fill(join(sitting.folder, "sitting.json"));
    await path.press("Enter");
    await block(page).getByRole("alert").filter({ hasText: "not called like a transcript" }).waitFor();
    const data = await page.evaluateHandle(() => {
      const transfer = new DataTransfer();
      transfer.items.add(new File(["Dear miller, the wheel stands still."], "letter.vtt"));
      return transfer;
    });
    await block(page).dispatchEvent("drop", { dataTransfer: data });
    await block(page).getByRole("alert").filter({ hasText: "neither WebVTT nor SRT" }).waitFor();
    expect(await block(page).getByRole("combobox").count()).toBe(0);
  });
});

describe("a mark", () => {
  it("is set at the play line by keys, stands beside the braid, and is taken out again", async () => {
    const { page } = await open();
    await page.getByRole("slider", { name: "Place in the cut" }).first().fill("16");
    const words = block(page).getByRole("textbox", { name: "Mark this moment" });
    await words.fill("the hand on the wheel");
    await words.press("Enter");
    const mark = page.getByRole("button", { name: /^Mark at 0:16: the hand on the wheel/ });
    await mark.waitFor();
    await page.getByRole("slider", { name: "Place in the cut" }).first().fill("2");
    await mark.press("Enter");
    await expect.poll(() => timeOf(page)).toBeCloseTo(16, 1);
    await block(page).getByRole("button", { name: "Take out the mark the hand on the wheel" }).click();
    await mark.waitFor({ state: "detached" });
  });
});

describe("in another locale", () => {
  it("figures have its decimal mark, in sentences and in tables, and are read with it", async () => {
    const { page } = await open("de-DE");
    expect(await page.locator("#handover .verdict").textContent()).toMatch(/−17,\d LUFS|−18,\d LUFS/);
    expect(await page.locator("#colour .verdict").textContent()).toMatch(/\d,\d/);
    expect(await page.locator("#colour .verdict").textContent()).not.toMatch(/\d\.\d/);
    const pause = page.getByRole("textbox", { name: "Longest pause inside an answer" });
    expect(await pause.inputValue()).toBe("1,2");
    await pause.fill("1,5");
    await pause.press("Enter");
    await expect.poll(() => pause.inputValue()).toBe("1,5");
    await page.keyboard.press("Control+z");
    await expect.poll(() => pause.inputValue()).toBe("1,2");
  });
});
