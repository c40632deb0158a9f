import { execFile } from "node:child_process";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";
import { expect, it } from "vitest";
import { ownFolder } from "../helpers/run-gemel.ts";

const root = fileURLToPath(new URL("../../", import.meta.url));
const run = promisify(execFile);
const npm = (args: readonly string[], cwd: string) =>
  run("npm", [...args, "--ignore-scripts", "--no-audit", "--no-fund", "--prefer-offline"], { cwd });

it("npm pack gives a package from which npx gemel works in an empty folder", async () => {
  const folder = ownFolder();
  await npm(["pack", "--pack-destination", folder], root);
  const [tarball] = readdirSync(folder).filter((name) => name.endsWith(".tgz"));
  writeFileSync(join(folder, "package.json"), "{}");
  await npm(["install", `./${tarball}`], folder);
  const version = JSON.parse(readFileSync(join(root, "package.json"), "utf8")).version;
  expect(tarball).toBe(`gemel-${version}.tgz`);
  const help = await run("npx", ["--no-install", "gemel", "--help"], { cwd: folder });
  expect(help.stdout).toContain("gemel COMMAND");
  // Media, workers and speech all have to be found from there: a short sound-only sitting goes through Clock.
  await run("npx", ["--no-install", "gemel", "demo", "tide-mill", "--sound-only", "--seconds", "40"], {
    cwd: folder,
  });
  const { stdout } = await run(
    "npx",
    ["--no-install", "gemel", "clock", "tide-mill/cards/A/A001.wav", "tide-mill/cards/B/B001.wav", "--json"],
    { cwd: folder },
  );
  expect(JSON.parse(stdout).recordings[1]).toMatchObject({ placedBy: "sound" });
});
