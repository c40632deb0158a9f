// What every script here needs: the packages of the lock file in place, and a way to run one tool after another.
import { spawn, spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

export const root = fileURLToPath(new URL("..", import.meta.url));
const marker = `${root}node_modules/.gemel-lock`;

const lockHash = () =>
  createHash("sha256")
    .update(readFileSync(`${root}package-lock.json`))
    .digest("hex");

/** Runs a program in the repository; its output is shown. Answers whether it succeeded. */
export function runTool(program, args, options = {}) {
  const { status, error } = spawnSync(program, args, { cwd: root, stdio: "inherit", ...options });
  if (error) console.error(error.message);
  return status === 0;
}

/** Runs a program beside others. Answers whether it succeeded, and all that it printed: shown at once, two would mix. */
export function runBeside(program, args) {
  const child = spawn(program, args, { cwd: root, stdio: ["ignore", "pipe", "pipe"] });
  let printed = "";
  for (const stream of [child.stdout, child.stderr]) stream.on("data", (chunk) => (printed += chunk));
  return new Promise((resolve) => {
    child.on("error", (error) => resolve({ done: false, printed: `${printed}${error.message}\n` }));
    child.on("close", (status) => resolve({ done: status === 0, printed }));
  });
}

/** Runs a package's command-line program with this Node, whatever the shell or system. */
export const runBin = (file, args = [], options = {}) =>
  runTool(process.execPath, [`${root}node_modules/${file}`, ...args], options);

/** Installs exactly what the lock file names, where it is not installed yet. Package scripts are not run. */
export function ensurePackages() {
  const major = Number(process.versions.node.split(".")[0]);
  if (major < 20) {
    console.error(
      `Gemel needs Node 20 or newer; this is Node ${process.versions.node}. Install a newer Node, then give the same command again.`,
    );
    process.exit(2);
  }
  if (existsSync(marker) && readFileSync(marker, "utf8") === lockHash()) return;
  console.error("Installing the packages that the lock file names; this is done once.");
  const args = ["ci", "--ignore-scripts", "--no-audit", "--no-fund", "--prefer-offline"];
  const npm = process.env.npm_execpath;
  const done = npm
    ? runTool(process.execPath, [npm, ...args])
    : runTool("npm", args, { shell: process.platform === "win32" });
  if (!done) {
    console.error(
      "The packages could not be installed. Check the network or the registry that npm is set to, then give the same command again.",
    );
    process.exit(2);
  }
  writeFileSync(marker, lockHash());
}
