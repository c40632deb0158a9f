import { join, relative, sep } from "node:path";
import { deviceFolder } from "#cards/plan-copies";
import { ExplainedError } from "#errors/explained-error";
import type { Observation } from "#formats/mhl/next-generation";
import { isWithin } from "#outside/disk/check-places";
import type { RecordedCopy, RecordedFile } from "#outside/disk/copy-record";
import type { Disk } from "#outside/disk/disk";
import { explainDiskError } from "#outside/disk/explain-disk-error";
import { addGeneration, isoSeconds, type MhlHistory, readHistory } from "#outside/disk/mhl-history";
import { ownVersion } from "#outside/disk/own-version";

/** What cards are hashed by, and what their histories hold. */
export const cardHashFormat = "xxh128";

export interface WrittenHistories {
  /** Absolute paths of the newest manifests, by place. */
  readonly newest: string[][];
  /** Histories that could not be written; `place` counts from 0. */
  readonly failures: readonly { readonly place: number; readonly error: ExplainedError }[];
  readonly hasWritten: boolean;
}

/**
 * Adds what no manifest holds yet to the ASC MHL history of each device's folder in each place. The copies in
 * `records` are told in which manifest they stand.
 *
 * Source: ASC MHL Specification v1.0 (2022).
 */
export async function writeCardHistories(
  disk: Disk,
  places: readonly { readonly folder: string }[],
  devices: readonly string[],
  records: readonly RecordedFile[],
  startedAt: Date,
): Promise<WrittenHistories> {
  const newest: string[][] = places.map(() => []);
  const failures: { place: number; error: ExplainedError }[] = [];
  let hasWritten = false;
  for (const [place, { folder }] of places.entries()) {
    for (const device of new Set(devices.map(deviceFolder))) {
      const root = join(folder, device);
      try {
        const written = await writeHistory(disk, root, records, startedAt);
        if (written === null) continue;
        newest[place]!.push(written.path);
        hasWritten ||= written.isNew;
      } catch (cause) {
        const error = explainDiskError(cause, join(root, "ascmhl"));
        if (!(error instanceof ExplainedError)) throw error;
        failures.push({ place, error });
      }
    }
  }
  return { newest, failures, hasWritten };
}

async function writeHistory(
  disk: Disk,
  root: string,
  records: readonly RecordedFile[],
  startedAt: Date,
): Promise<{ path: string; isNew: boolean } | null> {
  const held = records.flatMap((record) =>
    record.copies.filter((copy) => isWithin(copy.path, root)).map((copy) => ({ record, copy })),
  );
  if (held.length === 0) return null;
  const history = await readHistory(disk, root);
  // a run that was killed may have written its manifest and not the record of it
  for (const { record, copy } of held)
    copy.manifest ??= manifestThatHolds(history, observed(root, record, copy));
  const pending = held.filter(({ copy }) => copy.manifest === null);
  const last = history.chain.at(-1);
  if (pending.length === 0 && last) return { path: join(root, "ascmhl", last.path), isNew: false };
  // a history that was taken away begins anew, with all that is there
  const recorded = pending.length === 0 || history.chain.length === 0 ? held : pending;
  const { path, name } = await addGeneration(disk, root, {
    format: cardHashFormat,
    process: "transfer",
    startedAt,
    toolVersion: ownVersion(),
    found: recorded.map(({ record, copy }) => observed(root, record, copy)),
  });
  for (const { copy } of recorded) copy.manifest = name;
  return { path, isNew: true };
}

function observed(root: string, record: RecordedFile, copy: RecordedCopy): Observation {
  return {
    path: relative(root, copy.path).split(sep).join("/"),
    bytes: record.bytes,
    modifiedAt: isoSeconds(copy.modifiedMs),
    hash: {
      format: cardHashFormat,
      text: record.hash.slice(cardHashFormat.length + 1),
      hashDate: isoSeconds(Date.parse(copy.verifiedAt)),
    },
  };
}

/** The file name of the manifest that holds this very check of a file, null where none does. */
function manifestThatHolds({ chain, manifests }: MhlHistory, { path, hash }: Observation): string | null {
  const index = manifests.findIndex((manifest) =>
    manifest.files.some(
      (file) =>
        file.path === path &&
        file.hashes.some(
          (one) => one.format === hash.format && one.text === hash.text && one.hashDate === hash.hashDate,
        ),
    ),
  );
  return chain[index]?.path ?? null;
}
