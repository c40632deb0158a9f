import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

/** The version of this program, from the package that this file lies in. */
export function ownVersion(): string {
  for (let folder = dirname(fileURLToPath(import.meta.url)); ; folder = dirname(folder)) {
    try {
      const found = JSON.parse(readFileSync(join(folder, "package.json"), "utf8")) as {
        name?: string;
        version?: string;
      };
      if (found.name === "gemel" && found.version) return found.version;
    } catch {
      // not in this folder
    }
    if (folder === dirname(folder)) return "0.0.0";
  }
}
