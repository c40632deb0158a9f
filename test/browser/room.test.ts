import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import { loftPlan } from "#demo/loft-plan";
import type { SittingPage } from "#documents/page";
import type { RoomResult } from "#documents/room-result";
import { lookOver, screenshots, sizes } from "./look-over.ts";
import { plannedForAll, saidPlan } from "./open-planned.ts";

const { open } = plannedForAll();

const room = (page: Page) => page.getByRole("region", { name: "Room", exact: true });
const thing = (page: Page, name: RegExp) => room(page).getByRole("button", { name });
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

  it("a drag leaves the drawing as it would be drawn anew, and each thing's button on it; Escape puts it back", async () => {
    const { page } = await open();
    const drawn = () =>
      page.evaluate(() => ({
        svg: document.querySelector("#room .plan .drawing svg")!.textContent,
        paths: [...document.querySelectorAll("#room .plan .drawing [d]")].map((p) => p.getAttribute("d")),
        things: [...document.querySelectorAll<HTMLElement>("#room .plan .thing")].map(
          (one) => `${one.ariaLabel} ${one.style.transform}`,
        ),
      }));
    const before = await drawn();
    const lead = async () => {
      const grip = thing(page, /^the miller:|^sitter:/);
      await grip.scrollIntoViewIfNeeded();
      const box = (await grip.boundingBox())!;
      const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
      await page.mouse.move(x, y);
      await page.mouse.down();
      for (let i = 1; i <= 8; i++) {
        await page.mouse.move(x + 5 * i, y - 3 * i);
        await page.waitForTimeout(30);
      }
    };
    await lead();
    await expect.poll(drawn).not.toEqual(before);
    await page.keyboard.press("Escape");
    await page.mouse.up();
    await expect.poll(drawn).toEqual(before);
    await lead();
    await page.mouse.up();
    await page
      .getByRole("button", { name: /^Undo: the sitter.s place/ })
      .first()
      .waitFor();
    const after = await drawn();
    expect(after).not.toEqual(before);
    await page.reload();
    await thing(page, /^Camera A:/).waitFor();
    await expect.poll(drawn).toEqual(after);
  });

  it("what is wished for, glasses and outlets are said from the page", async () => {
    const { page, folder } = await open();
    await room(page).getByRole("combobox", { name: "The cameras look from" }).selectOption("above");
    await expect.poll(() => saidPlan(folder).wishes.eyeLine).toBe("above");
    await room(page).getByRole("combobox", { name: "Sharp" }).selectOption("face");
    await expect.poll(() => saidPlan(folder).wishes.depth).toBe("face");
    await thing(page, /^the miller:|^sitter:/).click();
    await room(page).getByRole("combobox", { name: "Glasses" }).selectOption("worn");
    await expect.poll(() => saidPlan(folder).sitter.glasses).toBe(true);
    const kit = page.getByRole("region", { name: "Kit", exact: true });
    await kit.getByText("Blocks of the day, and mains").click();
    await kit.getByRole("button", { name: "One more outlet" }).first().click();
    await expect.poll(() => saidPlan(folder).mains.circuits[0]!.outlets?.length).toBe(1);
    await kit.getByRole("textbox", { name: "Outlet 1 across" }).fill("2");
    await kit.getByRole("textbox", { name: "Outlet 1 across" }).press("Enter");
    await expect.poll(() => saidPlan(folder).mains.circuits[0]!.outlets?.[0]?.[0]).toBe(2);
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

  // Two pictures drawn finely by a processor that others use too.
  it("the sun moves with the hour, the cameras' pictures are finished, and go into the report", {
    timeout: 420_000,
  }, async () => {
    const { page, complaints, folder } = await open(loftPlan, { graphics: true });
    const hour = room(page).getByRole("slider", { name: /^The sun at/ });
    const drawn = () => room(page).locator("svg path.sun").first().getAttribute("d");
    const before = await drawn();
    await hour.fill(String(Number(await hour.getAttribute("min")) + 45));
    await expect.poll(drawn).not.toBe(before);
    const picture = room(page).getByRole("img", { name: "What camera A sees" });
    await picture.scrollIntoViewIfNeeded();
    await expect.poll(() => picture.getAttribute("data-finished"), { timeout: 150_000 }).toBe("yes");
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
      .waitFor({ timeout: 240_000 });
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

  it("what is put in stands inside the room, clear of the others, a camera on the others' side of the line", async () => {
    const { page, folder } = await open();
    const put = (name: string) => room(page).getByRole("button", { name, exact: true }).click();
    await put("a camera");
    await expect.poll(() => saidPlan(folder).cameras.length).toBe(3);
    await put("a light");
    await expect.poll(() => saidPlan(folder).lights.length).toBe(loftPlan.lights.length + 1);
    await put("furniture");
    await expect.poll(() => saidPlan(folder).room.furniture.length).toBe(loftPlan.room.furniture.length + 1);
    await put("a window");
    await expect.poll(() => saidPlan(folder).room.openings.length).toBe(loftPlan.room.openings.length + 1);
    const plan = saidPlan(folder);
    const added = [plan.cameras.at(-1)!, plan.lights.at(-1)!, plan.room.furniture.at(-1)!];
    const [[left, low], , [right, high]] = plan.room.outline as [number, number][] as never as [
      [number, number],
      [number, number],
      [number, number],
    ];
    for (const { id, at } of added) {
      expect(at[0] > left && at[0] < right && at[1] > low && at[1] < high).toBe(true);
      for (const other of [plan.sitter, plan.interviewer, ...plan.cameras, ...plan.lights])
        if (!("id" in other) || other.id !== id)
          expect(Math.hypot(other.at[0] - at[0], other.at[1] - at[1])).toBeGreaterThan(0.45);
    }
    // The side of the line by the cross product, for each camera.
    const [s, i] = [plan.sitter.at, plan.interviewer.at];
    const sides = plan.cameras.map(({ at }) =>
      Math.sign((i[0] - s[0]) * (at[1] - s[1]) - (i[1] - s[1]) * (at[0] - s[0])),
    );
    expect(new Set(sides).size).toBe(1);
    // No two openings of a wall lie over one another.
    const opening = plan.room.openings.at(-1)!;
    for (const other of plan.room.openings.slice(0, -1))
      if (other.wall === opening.wall)
        expect(other.from + other.width <= opening.from || opening.from + opening.width <= other.from).toBe(
          true,
        );
    await page.keyboard.press("Control+z");
    await expect.poll(() => saidPlan(folder).room.openings.length).toBe(loftPlan.room.openings.length);
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
  it.each(sizes)("at %i by %i keep inside the window, and axe has nothing to say", async (width, height) => {
    const { page } = await open(loftPlan, { size: [width, height], theme, isOnlyRead: true });
    await page.getByText("Your kit", { exact: true }).click();
    await page.getByText("Standard zoom", { exact: false }).last().click();
    await page.waitForTimeout(500);
    for (const name of ["room", "kit"]) {
      await page.locator(`#${name}`).scrollIntoViewIfNeeded();
      mkdirSync(screenshots, { recursive: true });
      await page.locator(`#${name}`).screenshot({ path: join(screenshots, `${name}-${width}-${theme}.png`) });
    }
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
    // From the top: the bar at the foot of a small window covers whatever is scrolled beneath it.
    await page.evaluate(() => scrollTo({ top: 0, behavior: "instant" }));
    const found = [await lookOver(page, "#room"), await lookOver(page, "#kit")];
    expect(found.flatMap(({ wrong }) => wrong)).toEqual([]);
    for (const { passed } of found) expect(passed).toBeGreaterThan(10);
  });
});
