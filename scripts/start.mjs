// npm start: installs what is missing, builds what is stale, then opens the demo sitting (or the one named).
import { spawn } from "node:child_process";
import { build } from "./build.mjs";
import { root } from "./steps.mjs";

if (!build()) process.exit(1);
const child = spawn(process.execPath, [`${root}bin/gemel.mjs`, "start", ...process.argv.slice(2)], {
  stdio: "inherit",
  cwd: root,
});
for (const signal of ["SIGINT", "SIGTERM"]) process.on(signal, () => child.kill(signal));
child.on("exit", (code) => process.exit(code ?? 0));
