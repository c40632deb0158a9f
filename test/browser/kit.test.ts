import type { Page } from "playwright-core";
import { expect, it } from "vitest";
import { plannedForAll, saidPlan } from "./open-planned.ts";

const { open } = plannedForAll();

const room = (page: Page) => page.getByRole("region", { name: "Room", exact: true });
const kitOf = (page: Page) => page.getByRole("region", { name: "Kit", exact: true });

it("a lens is typed in from its sheet, refused where it cannot be, used in the plan, doubled, and undone", async () => {
  const { page, folder } = await open();
  const kit = kitOf(page);
  await kit.getByText("Your kit", { exact: true }).click();
  const lenses = kit.getByRole("group", { name: "Lenses" });
  const before = saidPlan(folder).kit.lenses.length;
  await lenses.getByRole("button", { name: "Type in a lens" }).click();
  await lenses.getByText("my lens").click();
  const type = async (label: string, text: string) => {
    const field = lenses.getByRole("textbox", { name: label, exact: true }).last();
    await field.fill(text);
    await field.press("Enter");
  };
  const own = () => saidPlan(folder).kit.lenses.at(-1)!;
  await expect.poll(() => saidPlan(folder).kit.lenses.length).toBe(before + 1);
  await type("Called", "old portrait lens");
  await type("Focal length, mm", "105");
  await type("Widest f-number", "2.5");
  await type("Focuses from", "90 cm");
  await expect.poll(own).toMatchObject({
    name: "old portrait lens",
    focal: [105, 105],
    stop: 2.5,
    closeFocus: 0.9,
  });
  // What cannot be is put back, and the bounds are told.
  await type("Widest f-number", "900");
  await lenses.getByText("Put back. From 0.5 to 64.").waitFor();
  expect(own().stop).toBe(2.5);
  await room(page)
    .getByRole("button", { name: /^Camera A:/ })
    .click();
  await room(page).getByRole("combobox", { name: "Lens" }).selectOption({ label: "old portrait lens" });
  await expect.poll(() => saidPlan(folder).cameras[0]!.lens).toBe(own().id);
  await lenses.getByText("In use by camera A.").last().waitFor();
  await lenses.getByRole("button", { name: "One more like it" }).last().click();
  await expect.poll(() => own().name).toBe("old portrait lens 2");
  await page.keyboard.press("Control+z");
  await expect.poll(() => own().name).toBe("old portrait lens");
});

it("figures that are typed change the mains' total, the weight and the cautions at once, and a reload keeps them", async () => {
  const { page, complaints, folder } = await open();
  const kit = kitOf(page);
  const packed = kit.getByRole("heading", { name: /^What to pack/ });
  const kilograms = async () => Number(/([\d.]+) kg/.exec((await packed.textContent())!)![1]);
  const mains = kit.getByRole("row", { name: /^The loft's sockets/ });
  const drawn = async () => Number(/([\d.]+) of 16 A/.exec((await mains.textContent())!)![1]);
  const lithium = kit.getByRole("listitem").filter({ hasText: "Lithium batteries" });
  const overloaded = kit.getByText(/The loft’s sockets carries 1\d\.\d A of its 16 A, more than four fifths/);
  const weighed = await kilograms();
  // Two lamps of 120 and 25 W on one circuit of 230 V: I = P / U.
  expect(await drawn()).toBe(0.6);
  expect(await lithium.textContent()).not.toContain("above 100 Wh");
  expect(await overloaded.count()).toBe(0);

  await kit.getByText("Your kit", { exact: true }).click();
  const unfold = async (kind: string, name: string) => {
    const thing = kit.getByRole("group", { name: kind, exact: true });
    await thing.getByText(name, { exact: true }).click();
    return async (label: string, text: string) => {
      const field = thing.getByRole("textbox", { name: label, exact: true });
      await field.fill(text);
      await field.press("Enter");
    };
  };
  const light = saidPlan(folder).kit.lights[0]!;
  const typeLight = await unfold("Lights", light.name);
  await typeLight("Draws, W", String(light.watts! + 3000));
  // 3145 W / 230 V = 13.67 A.
  await expect.poll(drawn).toBe(13.7);
  await overloaded.first().waitFor();
  await typeLight("Weighs, kg", String(light.weightKg! + 4));
  await expect.poll(kilograms).toBeCloseTo(weighed + 4, 1);
  const typeBattery = await unfold("Batteries", "Battery");
  await typeBattery("Holds, Wh", "150");
  await expect.poll(() => lithium.textContent()).toContain("Battery above 100 Wh need the carrier's leave");

  await expect.poll(() => saidPlan(folder).kit.batteries[0]!.wattHours).toBe(150);
  await page.reload();
  await packed.waitFor();
  expect(await kilograms()).toBeCloseTo(weighed + 4, 1);
  expect(await drawn()).toBe(13.7);
  expect(await overloaded.count()).toBeGreaterThan(0);
  expect(await lithium.textContent()).toContain("Battery above 100 Wh");
  expect(saidPlan(folder).kit.lights[0]).toMatchObject({
    watts: light.watts! + 3000,
    weightKg: light.weightKg! + 4,
  });
  expect(complaints).toEqual([]);
});
