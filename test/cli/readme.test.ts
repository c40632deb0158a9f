import { cpSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { finishedSitting, sittingAsWritten, wholeDemo } from "../helpers/demo.ts";
import { layRecordings, readme, readmeCommands, readmeRun, runAsWritten } from "../helpers/readme.ts";
import { ownFolder } from "../helpers/run-gemel.ts";

let demo: string;
beforeAll(async () => {
  demo = await wholeDemo();
  await finishedSitting();
});

describe("the README", () => {
  it("names commands to try", () => expect(readmeCommands.length).toBeGreaterThan(5));

  it(`${readmeRun}: ends well and prints what stands below it`, async () => {
    // The finished sitting that other tests look at was made by this very line.
    const { ran } = await sittingAsWritten();
    expect(ran.command).toBe(readmeRun);
    expect(ran.status, ran.stderr).toBe(0);
    const printed = /```\n([\s\S]*?)```/.exec(
      readme.slice(readme.indexOf(readmeRun)).replace(/^[\s\S]*?```\n/, ""),
    )![1]!;
    for (const line of printed.trim().split("\n")) expect(ran.stdout).toContain(line.trim());
  });

  it.each(readmeCommands.filter((line) => line !== readmeRun))("%s", async (command) => {
    const folder = ownFolder();
    layRecordings(demo, folder);
    if (command.includes("story tide-mill"))
      cpSync(await finishedSitting(), join(folder, "tide-mill"), { recursive: true });
    if (/ loft\.json/.test(command) && !command.includes("--example"))
      expect(
        (await runAsWritten(readmeCommands.find((line) => line.includes("--example"))!, folder)).status,
      ).toBe(0);
    const ran = await runAsWritten(command, folder);
    expect(ran.status, ran.stderr).toBe(0);
  });
});
