import { type ChildProcess, spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { readdir } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { onTestFinished } from "vitest";

const program = fileURLToPath(new URL("../../bin/gemel.mjs", import.meta.url));

export interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

export interface Running {
  readonly process: ChildProcess;
  readonly ended: Promise<Ran>;
}

/** Starts the built program. */
export function startGemel(args: readonly string[], cwd: string): Running {
  // What a person opened is kept beside their other settings, and new sittings go below their own folder: the test's own stands in for both.
  const env = { ...process.env, XDG_CONFIG_HOME: join(cwd, ".config"), HOME: cwd, USERPROFILE: cwd };
  const child = spawn(process.execPath, [program, ...args], { cwd, env, stdio: ["ignore", "pipe", "pipe"] });
  let out = "";
  let err = "";
  child.stdout.on("data", (chunk: Buffer) => (out += chunk.toString()));
  child.stderr.on("data", (chunk: Buffer) => (err += chunk.toString()));
  const ended = new Promise<Ran>((resolve) => child.on("close", (code) => resolve({ code, out, err })));
  return { process: child, ended };
}

/** Runs the built program to its end. */
export const runGemel = (args: readonly string[], cwd: string): Promise<Ran> => startGemel(args, cwd).ended;

/** A folder of the test's own, gone when it ends. */
export function ownFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "gemel-test-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** Every file below a folder, as `/` paths, sorted. */
export async function filesBelow(folder: string): Promise<string[]> {
  const found = await readdir(folder, { recursive: true, withFileTypes: true });
  return found
    .filter((entry) => entry.isFile())
    .map((entry) =>
      join(entry.parentPath, entry.name)
        .slice(folder.length + 1)
        .replaceAll("\\", "/"),
    )
    .sort();
}
