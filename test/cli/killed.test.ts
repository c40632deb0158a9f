import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { expect, it } from "vitest";
import { finishedSitting, wholeDemo } from "../helpers/demo.ts";
import { filesBelow, ownFolder, type Running, startGemel } from "../helpers/run-gemel.ts";

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

/** In each of these a run is killed once, in whichever comes first. */
const chapters = ["cards", "clock", "watch", "voice", "colour", "story", "handover"];

/** Waits until a run tells of a chapter that it has come to its mark, per cent, or to its end. */
const comesTo = (running: Running, marks: ReadonlyMap<string, number>): Promise<string> =>
  new Promise((resolve) => {
    let told = "";
    running.process.stderr!.on("data", (chunk: Buffer) => {
      told += chunk.toString();
      for (const [, name, percent] of told.matchAll(/^(\w+): (?:(\d+) %)?.*\n/gm)) {
        const mark = marks.get(name!);
        if (mark !== undefined && (percent === undefined || Number(percent) >= mark)) resolve(name!);
      }
    });
  });

it("killed at a random moment in every chapter, then given again, a run ends with the same result and no stray files", async () => {
  const cards = join(await wholeDemo(), "cards");
  // That one was made of the files by name; the folders of their cards hold the same.
  const whole = await finishedSitting();
  const folder = ownFolder();
  const args = ["run", "--a", join(cards, "A"), "--b", join(cards, "B"), "--out", "tide-mill"];
  const marks = new Map(chapters.map((name) => [name, 50 * chance()]));
  while (marks.size > 0) {
    const running = startGemel(args, folder);
    const name = await Promise.race([comesTo(running, marks), running.ended]);
    // A run that ends by itself before it has told of every chapter has failed.
    if (typeof name !== "string") expect.fail(`ended with ${name.code}: ${name.err}`);
    marks.delete(name);
    await wait(700 * chance());
    running.process.kill("SIGKILL");
    await running.ended;
  }
  const { code, err } = await startGemel(args, folder).ended;
  expect(code, err).toBe(0);
  expect(await contents(join(folder, "tide-mill"))).toEqual(await contents(whole));
}, 300_000);
