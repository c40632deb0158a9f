// Makes dist/: the compiled program and, beside it, the pages. Each only where its sources are newer.
import { existsSync, readdirSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { ensurePackages, root, runBin } from "./steps.mjs";

const newest = (path) => {
  const found = statSync(path);
  if (!found.isDirectory()) return found.mtimeMs;
  return Math.max(found.mtimeMs, ...readdirSync(path).map((name) => newest(join(path, name))));
};
const pageSources = [
  "src/entry/pages",
  "src/documents",
  "src/science",
  "src/formats",
  "src/chapters",
  "src/errors",
  "package-lock.json",
];
const pagesStamp = `${root}dist/pages/.built`;

export function build() {
  ensurePackages();
  if (!runBin("typescript/bin/tsc", ["-b", "tsconfig.node.json"])) return false;
  const stale =
    !existsSync(pagesStamp) || pageSources.some((path) => newest(root + path) > statSync(pagesStamp).mtimeMs);
  if (!stale) return true;
  const done = runBin("vite/bin/vite.js", [
    "build",
    "--config",
    "src/entry/pages/vite.config.ts",
    "--logLevel",
    "warn",
  ]);
  if (done) writeFileSync(pagesStamp, "");
  return done;
}

if (process.argv[1] === join(root, "scripts", "build.mjs")) process.exit(build() ? 0 : 1);
