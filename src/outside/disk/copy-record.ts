import { z } from "zod";
import type { Disk } from "./disk.ts";
import { readWhole } from "./read-whole.ts";
import { writeWhole } from "./write-whole.ts";

const copySchema = z.object({
  /** Absolute. */
  path: z.string(),
  /** Of the copy, as its drive keeps it. */
  modifiedMs: z.number(),
  /** ISO 8601. */
  verifiedAt: z.string(),
  /** Name of the manifest that holds it; null until one does. */
  manifest: z.string().nullable(),
});
export type RecordedCopy = z.infer<typeof copySchema>;

const fileSchema = z.object({
  device: z.string(),
  /** The folder or file that was named as the card. */
  entry: z.string(),
  /** Absolute; with `bytes` and `modifiedMs` the key. */
  source: z.string(),
  bytes: z.number(),
  modifiedMs: z.number(),
  /** Place-relative, `/` between names. */
  to: z.string(),
  /** `xxh128:` and 32 hexadecimal digits. */
  hash: z.string(),
  copies: z.array(copySchema),
});
export type RecordedFile = z.infer<typeof fileSchema>;

const recordSchema = z.object({
  kind: z.literal("gemel.copies"),
  version: z.literal(1),
  files: z.array(fileSchema),
});

/** What was verified before. A record that is missing, damaged or of another version is empty: then all is read anew. */
export async function readCopyRecord(path: string, disk: Disk): Promise<RecordedFile[]> {
  try {
    return recordSchema.parse(JSON.parse(new TextDecoder().decode(await readWhole(path, disk)))).files;
  } catch {
    return [];
  }
}

/** @throws ExplainedError `DISK_FULL`, `DISK_WRITE_FAILED`. */
export async function writeCopyRecord(
  path: string,
  files: readonly RecordedFile[],
  disk: Disk,
): Promise<void> {
  await writeWhole(path, `${JSON.stringify({ kind: "gemel.copies", version: 1, files }, null, 1)}\n`, disk);
}
