import { spawn } from "node:child_process";
import { cpSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { delimiter, join } from "node:path";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../../", import.meta.url));

export const readme = readFileSync(join(root, "README.md"), "utf8");

/** Every command of the README's shell blocks but the two that make and check everything. */
export const readmeCommands: readonly string[] = [...readme.matchAll(/```sh\n([\s\S]*?)```/g)]
  .flatMap(([, block]) => block!.trim().split("\n"))
  .filter((line) => line.startsWith("npx gemel"));

/** The one that makes a sitting of bare recordings. */
export const readmeRun: string = readmeCommands.find((line) => line.startsWith("npx gemel run"))!;

export interface RanAsWritten {
  readonly command: string;
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Lays into a folder what the README's reader has: recordings at hand, and one card. */
export function layRecordings(demo: string, folder: string): void {
  mkdirSync(folder, { recursive: true });
  for (const file of ["A/A001.mov", "B/B001.mp4", "B/B002.mp4"])
    cpSync(join(demo, "cards", file), join(folder, file.slice(2)));
  cpSync(join(demo, "cards/B"), join(folder, "card-b"), { recursive: true });
}

/** Gives a line of the README to a shell as it is written; `npx gemel` is the built program of this tree. */
export async function runAsWritten(command: string, folder: string): Promise<RanAsWritten> {
  const bin = join(folder, ".bin");
  mkdirSync(bin, { recursive: true });
  writeFileSync(
    join(bin, "npx"),
    `#!/bin/sh\nshift\nexec "${process.execPath}" "${root}bin/gemel.mjs" "$@"\n`,
    { mode: 0o755 },
  );
  const env = { ...process.env, PATH: `${bin}${delimiter}${process.env["PATH"]}`, HOME: folder };
  const child = spawn("sh", ["-c", command], { cwd: folder, env, stdio: ["ignore", "pipe", "pipe"] });
  let stdout = "";
  let stderr = "";
  child.stdout.on("data", (chunk: Buffer) => (stdout += chunk.toString()));
  child.stderr.on("data", (chunk: Buffer) => (stderr += chunk.toString()));
  const status = await new Promise<number | null>((ended) => child.on("close", ended));
  return { command, status, stdout, stderr };
}
