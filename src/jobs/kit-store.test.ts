import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { kitSchema } from "#documents/plan";
import { ownKitPath, readKit, saveKit } from "./kit-store.ts";

const kit = kitSchema.parse({
  cards: [{ id: "card", name: "64 GB card", gigabytes: 64, bought: "at the harbour" }],
});

describe("a person's own kit", () => {
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), "gemel-kit-"));
    vi.stubEnv("XDG_CONFIG_HOME", folder);
  });
  afterEach(() => {
    vi.unstubAllEnvs();
    rmSync(folder, { recursive: true, force: true });
  });
  it("is none before one was saved", async () => expect(await readKit()).toBeNull());
  it("comes back as it was saved, with keys that this program does not know", async () => {
    await saveKit(kit);
    expect(await readKit()).toEqual(kit);
  });
  it.each([
    ["{ cut", "DOCUMENT_NOT_JSON"],
    ['{ "kind": "gemel.kit", "version": 99, "kit": {} }', "DOCUMENT_FROM_THE_FUTURE"],
    ['{ "kind": "gemel.kit", "version": 1, "kit": { "cards": "many" } }', "DOCUMENT_INVALID"],
  ])("that was spoilt is refused and left as it is: %s", async (text, code) => {
    await saveKit(kit);
    writeFileSync(ownKitPath(), text);
    await expect(readKit()).rejects.toMatchObject({ code });
    expect(readFileSync(ownKitPath(), "utf8")).toBe(text);
  });
});
