import { existsSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type Browser, chromium } from "playwright-core";

/** Where systems keep the browser that these tests drive. */
const systemBrowsers = ["/usr/bin/chromium", "/usr/bin/chromium-browser"];

/** It must reach nothing but the page under test. */
const quiet = [
  "--no-sandbox",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
  "--autoplay-policy=no-user-gesture-required",
];

/** WebGL drawn by the processor: the same pictures on every machine. */
export const softwareGraphics: readonly string[] = [
  "--use-angle=swiftshader",
  "--enable-unsafe-swiftshader",
  "--ignore-gpu-blocklist",
];

/** The system's browser where there is one, else the one that a package carries, else one clear sentence. */
export async function openBrowser(more: readonly string[] = []): Promise<Browser> {
  const args = [...quiet, ...more];
  const own = systemBrowsers.find((path) => existsSync(path));
  if (own) return await chromium.launch({ executablePath: own, args });
  try {
    return await packagedBrowser(args);
  } catch (first) {
    // A bare system lacks the shared libraries that a browser needs; the package carries them too, and unpacks them
    // beside the browser when it believes itself on the system that they were made for.
    rmSync(join(tmpdir(), "chromium"), { force: true });
    process.env["AWS_EXECUTION_ENV"] ??= "AWS_Lambda_nodejs22.x";
    process.env["LD_LIBRARY_PATH"] = join(tmpdir(), "al2023", "lib");
    try {
      return await packagedBrowser(args);
    } catch {
      throw new Error(
        `No browser could be started: there is none at ${systemBrowsers.join(" or ")}, and the packaged one ended with: ${String(first).split("\n")[0]}. Install Chromium, then run the tests again.`,
        { cause: first },
      );
    }
  }
}

async function packagedBrowser(args: readonly string[]): Promise<Browser> {
  const { default: packaged } = await import("@sparticuz/chromium");
  const executablePath = await packaged.executablePath();
  return await chromium.launch({ executablePath, args: [...args], headless: true });
}
