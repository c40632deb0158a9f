import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { basename, dirname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { createXXHash3, createXXHash64, createXXHash128 } from "hash-wasm";
import { beforeAll, describe, expect, it } from "vitest";
import { readChain, writeChain } from "./chain.ts";
import { type Digest, directoryHashes, folderOfHashes, hashOfHashes } from "./directory-hashes.ts";
import { digestFromText, digestText, type HashFormat } from "./hash-formats.ts";
import { ignoredBy } from "./ignore-patterns.ts";
import { manifestName } from "./manifest-name.ts";
import { actionAgainst } from "./next-generation.ts";
import { readManifest } from "./read-manifest.ts";
import { writeManifest } from "./write-manifest.ts";

/*
 * Published: the five example histories and the hash-of-a-list row of ascmitc/mhl (commit e73462c), which show
 * "ASC Media Hash List Specification v1.0", 15 March 2022.
 */
const published = fileURLToPath(new URL("../../../test/published/", import.meta.url));
const examples = join(published, "mhl/example_tree");
const all = readdirSync(examples, { recursive: true, withFileTypes: true })
  .filter((one) => one.isFile())
  .map((one) => join(one.parentPath, one.name));
const manifests = all.filter((path) => path.endsWith(".mhl"));
const chains = all.filter((path) => path.endsWith("ascmhl_chain.xml"));
const digests = {} as Record<HashFormat, Digest>;

beforeAll(async () => {
  for (const [format, hasher] of [
    ["xxh64", await createXXHash64()],
    ["xxh3", await createXXHash3()],
    ["xxh128", await createXXHash128()],
  ] as const) {
    digests[format] = (bytes) => hasher.init().update(bytes).digest("binary");
  }
  for (const [format, name] of [
    ["md5", "md5"],
    ["sha1", "sha1"],
    ["c4", "sha512"],
  ] as const) {
    digests[format] = (bytes) => createHash(name).update(bytes).digest();
  }
});

describe("the published example histories", () => {
  it("are all here: 12 manifests and 7 chains", () => {
    expect(manifests).toHaveLength(12);
    expect(chains).toHaveLength(7);
  });

  it.each(chains.map((path) => [relative(examples, path), path]))(
    "every C4 identifier of %s is true",
    (_, path) => {
      const links = readChain(readFileSync(path, "utf8"));
      expect(links.length).toBeGreaterThan(0);
      for (const link of links) {
        const bytes = readFileSync(join(dirname(path), link.path));
        expect(digestText("c4", digests.c4(bytes))).toBe(link.c4);
      }
    },
  );

  it.each(chains.map((path) => [relative(examples, path), path]))(
    "%s is written back byte for byte",
    (_, path) => {
      const text = readFileSync(path, "utf8");
      expect(writeChain(readChain(text)).trimEnd()).toBe(text.trimEnd());
    },
  );

  it.each(manifests.map((path) => [relative(examples, path), path]))(
    "%s is written back byte for byte",
    (_, path) => {
      const text = readFileSync(path, "utf8");
      expect(writeManifest(readManifest(text)).trimEnd()).toBe(text.trimEnd());
    },
  );

  it.each(manifests.map((path) => [relative(examples, path), path]))(
    "every hash in %s is recomputed",
    (_, path) => {
      const root = dirname(dirname(path));
      const manifest = readManifest(readFileSync(path, "utf8"));
      // Scenario 4 alters a file after its first generation: that file's hash there, and no other, differs from the file.
      const alteredLater = path.includes("scenario_04") && basename(path).startsWith("0001");
      const altered = alteredLater ? "Sidecar.txt" : "";
      for (const file of manifest.files) {
        for (const hash of file.hashes) {
          const computed = digestText(hash.format, digests[hash.format](readFileSync(join(root, file.path))));
          if (file.path === altered) expect(computed).not.toBe(hash.text);
          else expect(computed).toBe(hash.text);
        }
      }
      const format = manifest.root!.content[0]!.format;
      const leftOut = ignoredBy(manifest.ignore);
      const files = readdirSync(root, { recursive: true, withFileTypes: true })
        .map((one) => ({ one, path: relative(root, join(one.parentPath, one.name)).replaceAll("\\", "/") }))
        .filter(({ one, path: at }) => one.isFile() && !leftOut(at, false))
        .map(({ path: at }) => at);
      const recorded = new Map(
        manifest.files.map((file) => [file.path, file.hashes.find((hash) => hash.format === format)!.text]),
      );
      const hashes = directoryHashes(
        folderOfHashes(
          files.map((at) => [
            at,
            recorded.get(at) ?? digestText(format, digests[format](readFileSync(join(root, at)))),
          ]),
        ),
        format,
        digests[format],
      );
      expect(hashes.get(".")).toEqual({
        content: manifest.root!.content[0]!.text,
        structure: manifest.root!.structure[0]!.text,
      });
      for (const folder of manifest.folders) {
        expect(hashes.get(folder.path)).toEqual({
          content: folder.content[0]!.text,
          structure: folder.structure[0]!.text,
        });
      }
      for (const reference of manifest.references) {
        expect(digestText("c4", digests.c4(readFileSync(join(root, reference.path))))).toBe(reference.c4);
      }
    },
  );

  it("scenario 4: the altered file fails against the first generation, and its failed hash is not trusted later", () => {
    const folder = join(examples, "scenario_04/file_server/A002R2EC/ascmhl");
    const [first, second] = readdirSync(folder)
      .filter((name) => name.endsWith(".mhl"))
      .sort()
      .map((name) => readManifest(readFileSync(join(folder, name), "utf8")));
    const now = second!.files.find((file) => file.path === "Sidecar.txt")!.hashes[0]!;
    expect(now.action).toBe("failed");
    expect(actionAgainst([first!], "Sidecar.txt", now)).toBe("failed");
    expect(actionAgainst([first!, second!], "Sidecar.txt", now)).toBe("failed");
    expect(actionAgainst([second!], "Sidecar.txt", now)).toBe("original");
    for (const file of second!.files.filter((one) => one.path !== "Sidecar.txt")) {
      expect(actionAgainst([first!], file.path, file.hashes[0]!)).toBe("verified");
    }
  });

  it("the sample of the specification's repository is read with authors, location and references", () => {
    const sample = readManifest(readFileSync(join(published, "mhl/xsd/sample_from_spec_repo.mhl"), "utf8"));
    expect(sample.creator.authors).toHaveLength(2);
    expect(sample.creator.location).toBe("Munich, Germany");
    expect(sample.files.map((file) => file.hashes[0]!.action)).toEqual(["original", "original", "failed"]);
    expect(sample.folders.map((folder) => folder.path)).toEqual(["Clips"]);
    expect(sample.references).toHaveLength(2);
  });

  it("the names of the example manifests are the names that we give", () => {
    expect(manifestName(1, "A002R2EC", new Date("2020-01-16T09:15:00Z"))).toBe(
      "0001_A002R2EC_2020-01-16_091500Z.mhl",
    );
    expect(manifestName(12345, "Reels", new Date("2020-01-17T23:30:59.9+09:00"))).toBe(
      "12345_Reels_2020-01-17_143059Z.mhl",
    );
  });
});

describe("hashOfHashes, against the published test of a list of hashes", () => {
  const row = (
    JSON.parse(readFileSync(join(published, "hash/hash_vectors.json"), "utf8")) as {
      mhl_hash_of_hash_list: { input_unsorted: string[] } & Record<Exclude<HashFormat, "c4">, string>;
    }
  ).mhl_hash_of_hash_list;

  it.each(["md5", "sha1", "xxh64", "xxh3", "xxh128"] as const)("bb, aa10, aa01, aa in %s", (format) => {
    const list = row.input_unsorted.map((text) => ({
      text,
      bytes: new Uint8Array(Buffer.from(text, "hex")),
    }));
    expect(digestText(format, hashOfHashes(list, digests[format]))).toBe(row[format]);
  });

  it.each(["c4", "md5", "sha1", "xxh128", "xxh3", "xxh64"] as const)(
    "a %s digest comes back from its text",
    (format) => {
      const digest = new Uint8Array(digests[format](new TextEncoder().encode("tide mill")));
      expect(new Uint8Array(digestFromText(format, digestText(format, digest)))).toEqual(digest);
      expect(() => digestFromText(format, "not a hash")).toThrow(
        expect.objectContaining({ code: "HASH_NOT_READABLE" }),
      );
    },
  );
});
