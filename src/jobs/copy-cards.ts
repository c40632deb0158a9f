import { basename, dirname, join } from "node:path";
import { type CardsFacts, cardsFindings, cardsVerdict } from "#cards/cards";
import { isJunkName } from "#cards/junk-names";
import { type CardEntry, deviceFolder, type PlannedCopy, planCopies } from "#cards/plan-copies";
import type { CardsResult } from "#documents/chapter-results";
import { ExplainedError } from "#errors/explained-error";
import { checkPlaces } from "#outside/disk/check-places";
import {
  type RecordedCopy,
  type RecordedFile,
  readCopyRecord,
  writeCopyRecord,
} from "#outside/disk/copy-record";
import { type CopyOutcome, copyVerified, freeName, readsDifferently } from "#outside/disk/copy-verified";
import type { Disk } from "#outside/disk/disk";
import { cancelled, fileMissing, systemCodeOf } from "#outside/disk/explain-disk-error";
import { hashFile } from "#outside/disk/hash";
import { type CardListing, folderEmpty, listCard } from "#outside/disk/list-card";
import { realDisk } from "#outside/disk/real-disk";
import { sweepParts } from "#outside/disk/sweep";
import { cardHashFormat as format, writeCardHistories } from "./card-histories.ts";

/** What is to be copied where. Paths are absolute. */
export interface CardsWish {
  /** Files and folders of each device. */
  readonly cards: readonly { readonly device: string; readonly paths: readonly string[] }[];
  /** None: the files are only read and named by their content. */
  readonly places: readonly Place[];
  /** A JSON file that remembers what was verified, so that it is not read again. */
  readonly record: string;
  /** The path as a person knows it. */
  displayPath(path: string): string;
}

interface Place {
  /** As a person named it. */
  readonly name: string;
  readonly folder: string;
}

/** One file of the cards, as it is worked from: its copy in the first place that has one, else the file itself. */
export interface CopiedFile {
  readonly path: string;
  readonly bytes: number;
  /** `xxh128:` and 32 hexadecimal digits. */
  readonly hash: string;
  readonly device: string;
  /** Absolute. */
  readonly source: string;
}

export interface CopiedCards extends CardsResult {
  readonly files: CopiedFile[];
  readonly verdict: string;
  /** Nothing had to be read or copied: all was verified before, and nothing changed since. */
  readonly fromBefore: boolean;
}

/** The job's own view of one file. */
interface Item extends PlannedCopy {
  readonly entry: string;
  /** Null: the card no longer has it, and a verified copy does. */
  readonly listing: CardListing | null;
  record: RecordedFile | null;
  /** By place, in their order. */
  readonly states: ("todo" | "verified" | "failed")[];
}

const saveEveryMs = 2000;
const filesAtOnce = 2;

/**
 * Copies cards to places, proves every copy, and keeps an ASC MHL history beside each.
 *
 * Every file is read from its card once. What the record knows as verified, and what has not changed since by size and
 * time, is not read again; copies that are gone are made again, copies that were changed are set aside and made again.
 * A card that was erased, or is not connected, does no harm to what was copied from it before.
 *
 * A copy that fails is a finding, and the others go on. A place whose drive fills up or goes is given up, and the others
 * go on; so the same command resumes.
 *
 * @param tell - `done` from 0 to 1.
 * @throws ExplainedError `FILE_MISSING`, `FOLDER_EMPTY` before anything is read; `COPY_PLACE_INSIDE_SOURCE`, `USAGE`
 *   (two places are one folder); `COPY_INTERRUPTED` where every place had to be given up or a card was pulled (`facts`:
 *   `verified`, `total`); `FILE_NOT_READABLE` of a card's folder; `CANCELLED`; `DISK_FULL`, `DISK_WRITE_FAILED` of the
 *   record.
 *
 * Source of the history: ASC MHL Specification v1.0 (2022).
 */
export async function copyCards(
  wish: CardsWish,
  tell: (done: number, doing: string) => void,
  signal: AbortSignal,
  disk: Disk = realDisk,
): Promise<CopiedCards> {
  return await new CardsJob(wish, tell, signal, disk).run();
}

class CardsJob {
  readonly #wish: CardsWish;
  readonly #tell: (done: number, doing: string) => void;
  readonly #signal: AbortSignal;
  readonly #disk: Disk;
  readonly #startedAt = new Date();
  #records: RecordedFile[] = [];
  #items: Item[] = [];
  /** Places given up, and why. */
  readonly #givenUp = new Map<number, ExplainedError>();
  readonly #facts = {
    failures: [] as CardsFacts["failures"][number][],
    unreadable: [] as CardsFacts["unreadable"][number][],
    notFiles: [] as string[],
    changedCopies: [] as CardsFacts["changedCopies"][number][],
    vanishedCopies: [] as CardsFacts["vanishedCopies"][number][],
    histories: [] as CardsFacts["histories"][number][],
  };
  #bytesDone = 0;
  #bytesTotal = 0;
  #doing = "";
  #savedAtMs = 0;
  #didWork = false;
  /** Why no further file is begun. */
  #ending: (() => unknown) | null = null;

  constructor(wish: CardsWish, tell: (done: number, doing: string) => void, signal: AbortSignal, disk: Disk) {
    this.#wish = wish;
    this.#tell = tell;
    this.#signal = signal;
    this.#disk = disk;
  }

  async run(): Promise<CopiedCards> {
    this.#records = await readCopyRecord(this.#wish.record, this.#disk);
    const listings = await this.#list();
    await checkPlaces(this.#disk, this.#wish.places, this.#cardsOf(listings), (path) =>
      this.#wish.displayPath(path),
    );
    await this.#sweep();
    await this.#plan(listings);
    try {
      await this.#copyAll();
    } finally {
      if (this.#didWork) await this.#save();
    }
    const manifests = await this.#writeHistories();
    if (this.#didWork) await this.#save();
    return await this.#result(listings, manifests);
  }

  /** One file is read from its card at a time; while it is, the one before it is proved. */
  async #copyAll(): Promise<void> {
    let next = 0;
    let turn: Promise<void> = Promise.resolve();
    const work = async (): Promise<void> => {
      for (;;) {
        const before = turn;
        let pass = (): void => {};
        turn = new Promise((resolve) => {
          pass = resolve;
        });
        await before;
        try {
          if (this.#signal.aborted) this.#ending ??= () => cancelled("Copying");
          const index = next++;
          const item = this.#items[index];
          if (!item || this.#ending) return;
          if (Date.now() - this.#savedAtMs > saveEveryMs) await this.#save();
          await this.#copyOne(item, index, pass);
        } catch (error) {
          this.#ending ??= () => error;
        } finally {
          pass();
        }
      }
    };
    await Promise.all(Array.from({ length: filesAtOnce }, work));
    // told only now, when what was under way is settled too
    if (this.#ending) throw this.#ending();
  }

  async #list(): Promise<Map<string, CardListing | null>> {
    const listings = new Map<string, CardListing | null>();
    for (const { device, paths } of this.#wish.cards) {
      for (const path of paths) {
        const listing = await listCard(this.#disk, path, isJunkName);
        const kept =
          this.#wish.places.length > 0 &&
          this.#records.some((one) => one.entry === path && one.device === device);
        if (listing === null && !kept) throw fileMissing(path);
        if (listing?.files.length === 0 && !kept) throw folderEmpty(this.#wish.displayPath(path));
        listings.set(path, listing);
        this.#facts.notFiles.push(...(listing?.notFiles ?? []));
      }
    }
    return listings;
  }

  #cardsOf(
    listings: ReadonlyMap<string, CardListing | null>,
  ): { root: string; isFile: boolean; folder: string }[] {
    return this.#wish.cards.flatMap(({ device, paths }) =>
      paths.flatMap((root) => {
        const listing = listings.get(root);
        return listing
          ? [{ root, isFile: listing.files[0]?.source === root, folder: deviceFolder(device) }]
          : [];
      }),
    );
  }

  async #sweep(): Promise<void> {
    const devices = new Set(this.#wish.cards.map(({ device }) => deviceFolder(device)));
    for (const { folder } of this.#wish.places) {
      for (const device of devices) await sweepParts(join(folder, device), { disk: this.#disk });
    }
    await sweepParts(dirname(this.#wish.record), { deep: false, disk: this.#disk });
  }

  async #plan(listings: ReadonlyMap<string, CardListing | null>): Promise<void> {
    const listed = this.#wish.cards.flatMap(({ device, paths }) =>
      paths.map((path) => ({ device, path, listing: listings.get(path) ?? null })),
    );
    const onCards = new Set(
      [...listings.values()].flatMap((listing) => listing?.files.map((file) => file.source) ?? []),
    );
    const gone: Item[] = [];
    for (const record of this.#records) {
      const entry = listed.find(({ device, path }) => path === record.entry && device === record.device);
      if (!entry || onCards.has(record.source) || this.#wish.places.length === 0) continue;
      const item = this.#itemOf(record, record.entry, null, record);
      await this.#lookAtCopies(item);
      // not on its card and in no place: it is lost to us, or was meant to be
      if (item.states.includes("verified")) gone.push(item);
    }
    const entries: CardEntry[] = listed.flatMap(({ device, listing }) =>
      listing ? [{ device, name: listing.name, files: listing.files }] : [],
    );
    const entryOf = new Map(
      listed.flatMap(({ path, listing }) =>
        (listing?.files ?? []).map(({ source }) => [source, { path, listing }] as const),
      ),
    );
    const recordOf = new Map(this.#records.map((record) => [record.source, record]));
    const onCard: Item[] = planCopies(
      entries,
      gone.map((item) => item.to),
    ).map((planned) => {
      const { path, listing } = entryOf.get(planned.source)!;
      const record = recordOf.get(planned.source);
      const isSame = record?.bytes === planned.bytes && record.modifiedMs === planned.modifiedMs;
      return this.#itemOf(planned, path, listing, isSame ? record : null);
    });
    for (const item of onCard) await this.#lookAtCopies(item);
    this.#items = [...gone, ...onCard];
    for (const { path, listing } of listed) {
      if (this.#items.some((item) => item.entry === path)) continue;
      throw listing === null ? fileMissing(path) : folderEmpty(this.#wish.displayPath(path));
    }
    const known = new Set(this.#items.map((item) => item.record));
    // what is no longer part of the wish is forgotten; its copies stay where they are
    this.#records = this.#records.filter((one) => known.has(one));
    for (const item of this.#items) {
      const todo = item.states.filter((state) => state === "todo").length;
      if (todo > 0 || item.record === null) this.#bytesTotal += item.bytes * (1 + todo);
    }
  }

  #itemOf(
    planned: PlannedCopy,
    entry: string,
    listing: CardListing | null,
    record: RecordedFile | null,
  ): Item {
    const { device, source, to, bytes, modifiedMs } = planned;
    return {
      device,
      source,
      to,
      bytes,
      modifiedMs,
      entry,
      listing,
      record,
      states: this.#wish.places.map(() => "todo"),
    };
  }

  /** Which copies are as they were when they were verified; a changed one is read, and set aside if it differs. */
  async #lookAtCopies(item: Item): Promise<void> {
    for (const [index, place] of this.#wish.places.entries()) {
      const path = join(place.folder, item.to);
      const known = item.record?.copies.find((copy) => copy.path === path);
      if (!item.record || !known) continue;
      const there = await this.#disk.stat(path).catch(() => null);
      if (there?.kind === "file" && there.bytes === item.bytes && there.modifiedMs === known.modifiedMs) {
        item.states[index] = "verified";
        continue;
      }
      forgetCopy(item.record, path);
      this.#didWork = true;
      if (there === null) {
        this.#facts.vanishedCopies.push({ file: basename(path), place: place.name });
      } else if (there.kind === "file") {
        await this.#judgeChanged(item, item.record, known, index, path, there.modifiedMs);
      }
    }
  }

  async #judgeChanged(
    item: Item,
    record: RecordedFile,
    known: RecordedCopy,
    index: number,
    path: string,
    modifiedMs: number,
  ): Promise<void> {
    this.#tell(0, `reading ${basename(path)} again`);
    const hash = await hashFile(path, format, undefined, this.#signal, {
      disk: this.#disk,
      pastCache: true,
    }).catch((error) => {
      if (error instanceof ExplainedError && error.code === "CANCELLED") throw error;
      return null;
    });
    if (hash !== null && `${format}:${hash}` === record.hash) {
      record.copies.push({ ...known, modifiedMs, verifiedAt: new Date().toISOString() });
      item.states[index] = "verified";
      return;
    }
    if (item.listing === null) return;
    const aside = await freeName(this.#disk, `${path}.changed`);
    try {
      await this.#disk.renameToNew(path, aside);
      this.#facts.changedCopies.push({
        file: basename(path),
        place: this.#wish.places[index]!.name,
        asideAs: basename(aside),
      });
    } catch {
      // it stays where it is, and copying will say that a different file is there
    }
  }

  async #copyOne(item: Item, index: number, onSourceRead: () => void): Promise<void> {
    const todo = item.states.flatMap((state, place) => (state === "todo" ? [place] : []));
    if (todo.length === 0 && item.record !== null) return;
    const open = todo.filter((place) => !this.#givenUp.has(place));
    for (const place of todo) if (!open.includes(place)) item.states[place] = "failed";
    if (todo.length > 0 && open.length === 0 && item.record !== null) return;
    this.#didWork = true;
    this.#doing = `${todo.length > 0 ? "copying" : "reading"} ${basename(item.source)}, ${index + 1} of ${this.#items.length}`;
    this.#progress(0);
    try {
      const done = await copyVerified(this.#disk, {
        source: this.#sourceOf(item),
        targets: open.map((place) => join(this.#wish.places[place]!.folder, item.to)),
        format,
        signal: this.#signal,
        onBytes: (bytes) => this.#progress(bytes),
        onSourceRead,
      });
      const hash = done.hash === null ? null : `${format}:${done.hash}`;
      if (hash !== null && item.record !== null && item.record.hash !== hash) {
        await this.#readsDifferently(item, open, done.outcomes);
        return;
      }
      if (hash !== null && item.record === null) this.#remember(item, hash, done.modifiedMs);
      for (const [i, outcome] of done.outcomes.entries()) this.#settle(item, open[i]!, outcome);
    } catch (error) {
      await this.#sourceFailed(item, error, open);
    }
    if (this.#wish.places.length > 0 && this.#givenUp.size === this.#wish.places.length)
      throw this.#interrupted();
  }

  /** The file on its card; where the card no longer has it, the first verified copy. */
  #sourceOf({ listing, source, states, to }: Item): string {
    return listing ? source : join(this.#wish.places[states.indexOf("verified")]!.folder, to);
  }

  #remember(item: Item, hash: string, modifiedMs: number): void {
    const { device, entry, source, bytes, to } = item;
    item.record = { device, entry, source, bytes, modifiedMs, to, hash, copies: [] };
    this.#records.push(item.record);
  }

  #settle(item: Item, place: number, outcome: CopyOutcome): void {
    if (outcome.state === "verified") {
      item.states[place] = "verified";
      forgetCopy(item.record!, outcome.path);
      item.record!.copies.push({
        path: outcome.path,
        modifiedMs: outcome.modifiedMs,
        verifiedAt: new Date().toISOString(),
        manifest: null,
      });
    } else if (isEndOfPlace(outcome.error)) {
      item.states[place] = "failed";
      this.#givenUp.set(place, outcome.error);
    } else this.#fail(item, place, outcome.error);
  }

  #fail(item: Item, place: number, error: ExplainedError): void {
    item.states[place] = "failed";
    this.#facts.failures.push({
      file: basename(item.source),
      place: this.#wish.places[place]!.name,
      code: error.code,
      advice: error.advice,
    });
  }

  /** The same size and time, yet other bytes than the last time: the card or its reader cannot be trusted. */
  async #readsDifferently(
    item: Item,
    open: readonly number[],
    outcomes: readonly CopyOutcome[],
  ): Promise<void> {
    for (const [i, outcome] of outcomes.entries()) {
      if (outcome.state === "verified" && outcome.wasCopied) {
        await this.#disk
          .renameToNew(outcome.path, await freeName(this.#disk, `${outcome.path}.bad`))
          .catch(() => {});
      }
      this.#fail(item, open[i]!, readsDifferently(item.source));
    }
  }

  async #sourceFailed(item: Item, error: unknown, open: readonly number[]): Promise<void> {
    if (!(error instanceof ExplainedError)) throw error;
    if (error.code === "CANCELLED") {
      this.#ending ??= () => error;
      return;
    }
    if ((await this.#disk.stat(item.entry).catch(() => null)) === null)
      throw this.#interrupted(item.entry, error);
    this.#facts.unreadable.push({ file: item.source, advice: error.advice });
    for (const place of open) item.states[place] = "failed";
  }

  #progress(bytes: number): void {
    this.#bytesDone += bytes;
    this.#tell(this.#bytesTotal === 0 ? 0 : Math.min(1, this.#bytesDone / this.#bytesTotal), this.#doing);
  }

  async #save(): Promise<void> {
    await writeCopyRecord(this.#wish.record, this.#records, this.#disk);
    this.#savedAtMs = Date.now();
  }

  async #writeHistories(): Promise<string[][]> {
    const { newest, failures, hasWritten } = await writeCardHistories(
      this.#disk,
      this.#wish.places,
      this.#wish.cards.map(({ device }) => device),
      this.#items.flatMap(({ record }) => record ?? []),
      this.#startedAt,
    );
    this.#didWork ||= hasWritten;
    // of a place that was given up it has been said already
    for (const { place, error } of failures)
      if (!this.#givenUp.has(place))
        this.#facts.histories.push({
          place: this.#wish.places[place]!.name,
          code: error.code,
          advice: error.advice,
        });
    return newest;
  }

  async #result(
    listings: ReadonlyMap<string, CardListing | null>,
    manifests: readonly string[][],
  ): Promise<CopiedCards> {
    const { places, displayPath } = this.#wish;
    const files = this.#items.flatMap((item): CopiedFile[] => {
      if (item.record === null) return [];
      const first = item.states.indexOf("verified");
      const path = first < 0 ? item.source : join(places[first]!.folder, item.to);
      return [
        {
          path: displayPath(path),
          bytes: item.bytes,
          hash: item.record.hash,
          device: item.device,
          source: item.source,
        },
      ];
    });
    const count = (place: number, state: string): number =>
      this.#items.filter((item) => item.states[place] === state).length;
    const copies = places.map(({ name }, place) => ({
      place: name,
      verified: count(place, "verified"),
      failed: this.#items.length - count(place, "verified"),
      manifest: manifests[place]![0] === undefined ? null : displayPath(manifests[place]![0]),
      manifests: manifests[place]!.map(displayPath),
    }));
    const findings = cardsFindings({
      ...this.#facts,
      placesGivenUp: [...this.#givenUp].map(([place, { advice }]) => ({
        place: places[place]!.name,
        verified: count(place, "verified"),
        total: this.#items.length,
        advice,
      })),
      ...(await this.#drives(listings)),
    });
    const verdict = cardsVerdict({ files, copies, findings });
    return { files, copies, findings, verdict, fromBefore: !this.#didWork };
  }

  async #drives(
    listings: ReadonlyMap<string, CardListing | null>,
  ): Promise<Pick<CardsFacts, "sharedDrive" | "onCardDrive">> {
    const cardDrives = new Set([...listings.values()].flatMap((listing) => (listing ? [listing.drive] : [])));
    const byDrive = new Map<string, string[]>();
    for (const { name, folder } of this.#wish.places) {
      const drive = (await this.#disk.stat(folder).catch(() => null))?.drive;
      if (drive !== undefined) byDrive.set(drive, [...(byDrive.get(drive) ?? []), name]);
    }
    return {
      sharedDrive: [...byDrive.values()].find((names) => names.length > 1) ?? [],
      onCardDrive: [...byDrive].filter(([drive]) => cardDrives.has(drive)).flatMap(([, names]) => names),
    };
  }

  #interrupted(pulled?: string, cause?: ExplainedError): ExplainedError {
    const total = this.#items.length;
    const verified = this.#items.filter(
      (item) => item.states.length > 0 && item.states.every((state) => state === "verified"),
    ).length;
    const why = cause ?? [...this.#givenUp.values()].at(-1)!;
    const safe = this.#wish.places
      .map(
        ({ name }, place) =>
          `${this.#items.filter((item) => item.states[place] === "verified").length} of ${total} files in ${name}`,
      )
      .join(", ");
    return new ExplainedError(
      "COPY_INTERRUPTED",
      {
        happened: pulled
          ? `The card at ${this.#wish.displayPath(pulled)} is no longer there.`
          : why.advice.happened,
        means: `Copied and verified so far: ${safe || "none"}. Nothing half-written was left, and the cards were only read.`,
        doNext: pulled
          ? "Connect the card, then give the same command again; it goes on from there."
          : "Make room, or connect the drive, then give the same command again; it goes on from there.",
      },
      { verified, total, systemCode: systemCodeOf(why), cause: why.code },
      { cause: why },
    );
  }
}

function forgetCopy(record: RecordedFile, path: string): void {
  record.copies = record.copies.filter((copy) => copy.path !== path);
}

/** Whether an error of one copy means that no further copy to that place can succeed. */
function isEndOfPlace(error: ExplainedError): boolean {
  const ofOneFile = new Set(["ENAMETOOLONG", "EFBIG", "EISDIR", "ENOTDIR", "EEXIST", "EINVAL"]);
  return (
    error.code === "DISK_FULL" || (error.code === "DISK_WRITE_FAILED" && !ofOneFile.has(systemCodeOf(error)))
  );
}
