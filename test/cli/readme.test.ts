import { spawnSync } from "node:child_process";
import { cpSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { delimiter, join } from "node:path";
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, it } from "vitest";
import { finishedSitting, wholeDemo } from "../helpers/demo.ts";
import { ownFolder } from "../helpers/run-gemel.ts";

const root = fileURLToPath(new URL("../../", import.meta.url));
const readme = readFileSync(join(root, "README.md"), "utf8");
/** Every command of the README's shell blocks but the two that are this very check and the page. */
const commands = [...readme.matchAll(/```sh\n([\s\S]*?)```/g)]
  .flatMap(([, block]) => block!.trim().split("\n"))
  .filter((line) => line.startsWith("npx gemel"));

let demo: string;
let sitting: string;
beforeAll(async () => {
  demo = await wholeDemo();
  sitting = await finishedSitting();
});

/** A folder as the README's reader has it: recordings at hand, one card, and the sitting that the first command makes. */
const readersFolder = (): string => {
  const folder = ownFolder();
  for (const file of ["A/A001.mov", "B/B001.mp4", "B/B002.mp4"])
    cpSync(join(demo, "cards", file), join(folder, file.slice(2)));
  cpSync(join(demo, "cards/B"), join(folder, "card-b"), { recursive: true });
  return folder;
};

const run = (command: string, folder: string): { status: number | null; stdout: string; stderr: string } => {
  const bin = join(folder, ".bin");
  mkdirSync(bin, { recursive: true });
  writeFileSync(
    join(bin, "npx"),
    `#!/bin/sh\nshift\nexec "${process.execPath}" "${root}bin/gemel.mjs" "$@"\n`,
    { mode: 0o755 },
  );
  return spawnSync("sh", ["-c", command], {
    cwd: folder,
    encoding: "utf8",
    env: { ...process.env, PATH: `${bin}${delimiter}${process.env.PATH}` },
  });
};

describe("the README", () => {
  it("names commands to try", () => expect(commands.length).toBeGreaterThan(5));

  it.each(commands)("%s", (command) => {
    const folder = readersFolder();
    if (command.includes("story tide-mill")) cpSync(sitting, join(folder, "tide-mill"), { recursive: true });
    if (/ loft\.json/.test(command) && !command.includes("--example"))
      expect(run(commands.find((line) => line.includes("--example"))!, folder).status).toBe(0);
    const ran = run(command, folder);
    expect(ran.status, ran.stderr).toBe(0);
    if (!command.includes("gemel run")) return;
    const printed = /```\n([\s\S]*?)```/.exec(
      readme.slice(readme.indexOf(command)).replace(/^[\s\S]*?```\n/, ""),
    )![1]!;
    for (const line of printed.trim().split("\n")) expect(ran.stdout).toContain(line.trim());
  });
});
