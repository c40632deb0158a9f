import { mkdir, readFile } from "node:fs/promises";
import { homedir } from "node:os";
import { dirname, join } from "node:path";
import { z } from "zod";
import type { RecentSitting } from "#documents/routes";
import { writeWhole } from "#outside/disk/write-whole";
import { isSitting } from "./sitting-store.ts";

/** So many are remembered. */
const mostRecent = 30;

const recentSchema = z.looseObject({
  kind: z.literal("gemel.recent"),
  version: z.literal(1),
  sittings: z.array(z.looseObject({ folder: z.string(), title: z.string(), openedAt: z.string() })),
});

/** Where this person's own settings lie, by the habits of each system. */
export function configFolder(
  env: NodeJS.ProcessEnv = process.env,
  platform: NodeJS.Platform = process.platform,
  home: string = homedir(),
): string {
  const base =
    env["XDG_CONFIG_HOME"] || (platform === "win32" ? env["APPDATA"] : undefined) || join(home, ".config");
  return join(base, "gemel");
}

const recentFile = (): string => join(configFolder(), "recent.json");

async function readRecent(): Promise<z.infer<typeof recentSchema>["sittings"]> {
  try {
    return recentSchema.parse(JSON.parse(await readFile(recentFile(), "utf8"))).sittings;
  } catch {
    // Not there yet, or spoilt: the sittings themselves are not touched by that.
    return [];
  }
}

/** The sittings that were opened last, newest first. */
export async function recentSittings(): Promise<RecentSitting[]> {
  const known = await readRecent();
  return await Promise.all(
    known.map(async ({ folder, title, openedAt }) => ({
      folder,
      title,
      openedAt,
      isThere: await isSitting(folder),
    })),
  );
}

/** Puts a sitting at the head of the list. A list that cannot be written is no reason to stop. */
export async function rememberSitting(folder: string, title: string, now: Date): Promise<void> {
  const others = (await readRecent()).filter((one) => one.folder !== folder);
  const sittings = [{ folder, title, openedAt: now.toISOString() }, ...others].slice(0, mostRecent);
  const path = recentFile();
  try {
    await mkdir(dirname(path), { recursive: true });
    await writeWhole(path, `${JSON.stringify({ kind: "gemel.recent", version: 1, sittings }, null, 2)}\n`);
  } catch {
    return;
  }
}
