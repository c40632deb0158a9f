import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { expect, it } from "vitest";
import { finishedSitting, wholeDemo } from "../helpers/demo.ts";
import { filesBelow, ownFolder, startGemel } from "../helpers/run-gemel.ts";

/** Seeded, so that a failure can be met again (a linear congruential generator, Numerical Recipes' constants). */
let seed = 20261125;
const chance = (): number => (seed = (Math.imul(1664525, seed) + 1013904223) >>> 0) / 2 ** 32;

/** Content of every file that must not depend on when or how often the command ran. */
const contents = async (sitting: string): Promise<Record<string, string>> => {
  const files = (await filesBelow(sitting)).filter(
    (path) => path !== "sitting.json" && path !== "measured/cards.json" && !path.includes("/ascmhl/"),
  );
  return Object.fromEntries(
    files.map((path) => [
      path,
      createHash("sha256")
        .update(readFileSync(join(sitting, path)))
        .digest("hex"),
    ]),
  );
};

const kills = 10;

it(`killed at ${kills} random moments, then given again, a run ends with the same result and no stray files`, async () => {
  const cards = join(await wholeDemo(), "cards");
  // That one was made of the files by name; the folders of their cards hold the same.
  const whole = await finishedSitting();
  const folder = ownFolder();
  const args = ["run", "--a", join(cards, "A"), "--b", join(cards, "B"), "--out", "tide-mill"];
  for (let i = 0; i < kills; i++) {
    const running = startGemel(args, folder);
    const ended = await Promise.race([running.ended, wait(300 + chance() * 9000)]);
    if (!ended) running.process.kill("SIGKILL");
    await running.ended;
  }
  const { code, err } = await startGemel(args, folder).ended;
  expect(code, err).toBe(0);
  expect(await contents(join(folder, "tide-mill"))).toEqual(await contents(whole));
}, 300_000);
