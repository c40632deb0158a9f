import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { z } from "zod";
import { type Kit, kitSchema } from "#documents/plan";
import { ExplainedError } from "#errors/explained-error";
import { genericKit } from "#kit/generic-kit";
import { makeFolder } from "#outside/disk/make-folder";
import { writeWhole } from "#outside/disk/write-whole";
import { configFolder } from "./recent-sittings.ts";

const kitVersion = 1;

const ownKitSchema = z.looseObject({
  kind: z.literal("gemel.kit"),
  version: z.literal(kitVersion),
  kit: kitSchema,
});

/** Where a person's own kit is kept for later sittings. */
export const ownKitPath = (): string => join(configFolder(), "kit.json");

/**
 * The kit that a person saved for later sittings; null where none was.
 *
 * @throws ExplainedError `DOCUMENT_FROM_THE_FUTURE`, `DOCUMENT_NOT_JSON`, `DOCUMENT_INVALID`; the file is left as it is.
 */
export async function readKit(): Promise<Kit | null> {
  const path = ownKitPath();
  let text: string;
  try {
    text = await readFile(path, "utf8");
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code === "ENOENT") return null;
    throw cause;
  }
  const doNext = `Put it right by hand, or move ${path} away and save the kit again from a plan.`;
  let document: unknown;
  try {
    document = JSON.parse(text);
  } catch (cause) {
    throw new ExplainedError(
      "DOCUMENT_NOT_JSON",
      { happened: "Your saved kit cannot be read as JSON.", means: "Nothing was changed.", doNext },
      { path },
      { cause },
    );
  }
  const version = (document as { version?: unknown } | null)?.version;
  if (typeof version === "number" && version > kitVersion)
    throw new ExplainedError(
      "DOCUMENT_FROM_THE_FUTURE",
      {
        happened: `Your saved kit is version ${version}; this program reads up to ${kitVersion}.`,
        means: "A newer release wrote it. Nothing was changed.",
        doNext: "Update this program.",
      },
      { path, version },
    );
  const parsed = ownKitSchema.safeParse(document);
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    throw new ExplainedError(
      "DOCUMENT_INVALID",
      {
        happened: `Your saved kit is not right at ${issue?.path.join(".") || "its top"}: ${issue?.message ?? "unknown"}.`,
        means: "Nothing was changed.",
        doNext,
      },
      { path },
    );
  }
  return parsed.data.kit;
}

/** The kit to begin a plan with: the person's own, else a usual one. */
export async function kitToBeginWith(): Promise<{ kit: Kit; isOwn: boolean }> {
  const own = await readKit();
  return { kit: own ?? genericKit, isOwn: own !== null };
}

/** Saves a person's own kit for later sittings, whole or not at all, in place of what was saved before. */
export async function saveKit(kit: Kit): Promise<void> {
  await makeFolder(configFolder());
  await writeWhole(
    ownKitPath(),
    `${JSON.stringify({ kind: "gemel.kit", version: kitVersion, kit }, null, 2)}\n`,
  );
}
