import { copyFile, mkdir, mkdtemp, open, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createXXHash64, createXXHash128 } from "hash-wasm";
import { copyCards } from "#jobs/copy-cards";
import { blockBytes } from "#outside/disk/blocks";
import { beginHash, hashFile } from "#outside/disk/hash";
import type { BenchRow } from "./row.ts";

const mebibyte = 1024 * 1024;
const cardMebibytes = 96;
const rounds = 3;

/** Cards: hashing, and copying with proof against the system's own copy without any. */
export default async function* bench(): AsyncIterable<BenchRow> {
  const block = Uint8Array.from({ length: blockBytes }, (_, i) => (i * 2_654_435_761) >>> 24);
  const md5 = await hashSpeed("md5", block);
  for (const format of ["xxh128", "xxh3", "xxh64", "sha1", "c4"] as const) {
    yield {
      chapter: "cards",
      what: `${format} of 128 MiB in memory`,
      unit: "MiB/s",
      ours: await hashSpeed(format, block),
      reference: "Node's md5",
      theirs: md5,
    };
  }
  yield {
    chapter: "cards",
    what: "xxh64 of 128 MiB in memory",
    unit: "MiB/s",
    ours: await hashSpeed("xxh64", block),
    reference: "hash-wasm",
    theirs: await wasmSpeed(await createXXHash64(), block),
  };
  yield {
    chapter: "cards",
    what: "xxh128 of 128 MiB in memory, through our interface",
    unit: "MiB/s",
    ours: await hashSpeed("xxh128", block),
    reference: "hash-wasm called plainly",
    theirs: await wasmSpeed(await createXXHash128(), block),
  };
  const home = await mkdtemp(join(tmpdir(), "gemel-bench-"));
  try {
    yield* copying(home, block);
  } finally {
    await rm(home, { recursive: true, force: true });
  }
}

async function* copying(home: string, block: Uint8Array): AsyncIterable<BenchRow> {
  const card = join(home, "card");
  await mkdir(card);
  const part = new Uint8Array((cardMebibytes / 4) * mebibyte);
  for (let at = 0; at < part.length; at += block.length) part.set(block, at);
  for (let i = 0; i < 4; i++) await writeFile(join(card, `A00${i}.mov`), part);
  let turn = 0;
  const ours = (places: number) => async (): Promise<void> => {
    const folder = join(home, `ours-${turn++}`);
    await mkdir(folder);
    await copyCards(
      {
        cards: [{ device: "A", paths: [card] }],
        places: Array.from({ length: places }, (_, i) => ({ name: `${i}`, folder: join(folder, `${i}`) })),
        record: join(folder, "cards.json"),
        displayPath: (path) => path,
      },
      () => {},
      new AbortController().signal,
    );
    await rm(folder, { recursive: true });
  };
  const plain = (places: number, isRead: boolean) => async (): Promise<void> => {
    const folder = join(home, `plain-${turn++}`);
    await mkdir(folder);
    for (let place = 0; place < places; place++) {
      for (let i = 0; i < 4; i++) {
        const to = join(folder, `${place}-${i}`);
        await copyFile(join(card, `A00${i}.mov`), to);
        const file = await open(to, "r+");
        await file.sync();
        await file.close();
        if (isRead) await hashFile(to, "xxh128", undefined, undefined, { pastCache: true });
      }
    }
    await rm(folder, { recursive: true });
  };
  const proved = "fs.copyFile, fsync, and one reading with hash";
  yield await row("copy, read back and record to one place", ours(1), proved, plain(1, true));
  yield await row("copy, read back and record to two places on one drive", ours(2), proved, plain(2, true));
  yield await row(
    "copy, read back and record to one place",
    ours(1),
    "fs.copyFile and fsync, nothing proved",
    plain(1, false),
  );
}

/** Throughput of the card's own size, medians of interleaved rounds. */
async function row(
  what: string,
  ours: () => Promise<void>,
  reference: string,
  theirs: () => Promise<void>,
): Promise<BenchRow> {
  const times: [number[], number[]] = [[], []];
  for (let round = 0; round <= rounds; round++) {
    for (const [index, work] of [ours, theirs].entries()) {
      const start = performance.now();
      await work();
      // the first round warms caches and compilers
      if (round > 0) times[index]!.push(performance.now() - start);
    }
  }
  const speed = (all: number[]): number =>
    cardMebibytes / (all.toSorted((a, b) => a - b)[rounds >> 1]! / 1000);
  return {
    chapter: "cards",
    what: `${what}, ${cardMebibytes} MiB`,
    unit: "MiB/s",
    ours: speed(times[0]),
    reference,
    theirs: speed(times[1]),
  };
}

async function hashSpeed(format: Parameters<typeof beginHash>[0], block: Uint8Array): Promise<number> {
  const hasher = await beginHash(format);
  return timed(() => hasher.update(block), block.length);
}

async function wasmSpeed(
  hasher: { init(): unknown; update(bytes: Uint8Array): unknown },
  block: Uint8Array,
): Promise<number> {
  hasher.init();
  return timed(() => hasher.update(block), block.length);
}

function timed(work: () => unknown, bytes: number): number {
  work();
  const start = performance.now();
  for (let done = 0; done < 128 * mebibyte; done += bytes) work();
  return 128 / ((performance.now() - start) / 1000);
}
