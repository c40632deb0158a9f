import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { readXml } from "../xml/read-xml.ts";
import type { XmlElement } from "../xml/xml-element.ts";
import type { MhlManifest } from "./manifest.ts";
import { readManifest } from "./read-manifest.ts";
import { writeManifest } from "./write-manifest.ts";

const schema = readXml(
  readFileSync(fileURLToPath(new URL("../../../test/published/mhl/xsd/ASCMHL.xsd", import.meta.url)), "utf8"),
);
const types = new Map(
  schema.children.filter((one) => one.name === "complexType").map((one) => [one.attributes.name!, one]),
);

/** Checks order, counts and attributes of an element against its complexType in the published schema. */
function faults(one: XmlElement, type: XmlElement | undefined, path = one.name): string[] {
  if (!type) return [];
  const parts = (of: XmlElement): XmlElement[] =>
    of.children.flatMap((inner) =>
      inner.name === "element" || inner.name === "choice"
        ? [inner]
        : inner.name === "attribute"
          ? []
          : parts(inner),
    );
  const attributes = (of: XmlElement): string[] =>
    of.children.flatMap((inner) =>
      inner.name === "element"
        ? []
        : inner.name === "attribute"
          ? [inner.attributes.name!]
          : attributes(inner),
    );
  const found = Object.keys(one.attributes)
    .filter((name) => name !== "xmlns" && !attributes(type).includes(name))
    .map((name) => `${path}@${name}`);
  let at = 0;
  for (const part of parts(type)) {
    const options = part.name === "choice" ? part.children : [part];
    const least = Number(part.attributes.minOccurs ?? 1);
    const most =
      part.attributes.maxOccurs === "unbounded" ? Infinity : Number(part.attributes.maxOccurs ?? 1);
    let count = 0;
    while (at < one.children.length && count < most) {
      const option = options.find((o) => o.attributes.name === one.children[at]!.name);
      if (!option) break;
      const inner = option.children[0] ?? types.get((option.attributes.type ?? "").replace("ascmhl:", ""));
      found.push(...faults(one.children[at]!, inner, `${path}/${one.children[at]!.name}`));
      at++;
      count++;
    }
    if (count < least) found.push(`${path} lacks ${options.map((o) => o.attributes.name).join("|")}`);
  }
  return at < one.children.length ? [...found, `${path}: ${one.children[at]!.name} is out of order`] : found;
}

const date = "2026-06-01T10:00:00+00:00";
const full: MhlManifest = {
  creator: {
    createdAt: date,
    hostName: "mill-house",
    tool: { name: "gemel", version: "0.1.0" },
    authors: [{ name: "The miller", email: "miller@mill.example", phone: "0", role: "sitter" }],
    location: "The tide mill",
    comment: 'flood & ebb <both> "heard"',
  },
  process: "transfer",
  root: {
    content: [
      { format: "xxh64", text: "0ea03b369a463d9d", hashDate: date },
      { format: "md5", text: "f5ac8127b3b6b85cdc13f237c6005d80" },
    ],
    structure: [{ format: "xxh64", text: "0ea03b369a463d9d" }],
  },
  ignore: [".DS_Store", "ascmhl", "ascmhl/"],
  files: [
    {
      path: "Wheel/turning.mov",
      bytes: 12,
      createdAt: date,
      modifiedAt: date,
      hashes: [
        { format: "xxh64", text: "0ea03b369a463d9d", action: "original", hashDate: date },
        { format: "c4", text: "c4", action: "verified", hashDate: date },
        { format: "xxh128", text: "06b05ab6733a618578af5f94892f3950", action: "failed", hashDate: date },
      ],
      previousPath: "Wheel/old.mov",
    },
    { path: "Apron.txt", bytes: 0, hashes: [{ format: "sha1", text: "da39", action: "original" }] },
  ],
  folders: [{ path: "Wheel", modifiedAt: date, content: [], structure: [], previousPath: "Old wheel" }],
  references: [{ path: "Sluice/ascmhl/0001_Sluice_2026-06-01_100000Z.mhl", c4: "c4" }],
};

describe("writeManifest, against the published schema urn:ASC:MHL:v2.0 (ASCMHL.xsd)", () => {
  it("keeps the schema's order and attributes with every part filled in", () => {
    const root = readXml(writeManifest(full));
    expect(faults(root, types.get("HashListType"))).toEqual([]);
    const formats = root.children[2]!.children[1]!.children.map((one) => one.name);
    expect(formats).toEqual(["path", "c4", "xxh128", "xxh64", "previousPath"]);
  });

  it("the check itself sees a wrong order, a missing part and an unknown attribute", () => {
    const wrong = readXml(
      '<hashlist version="2.0" colour="red"><processinfo><process>flatten</process></processinfo><creatorinfo/></hashlist>',
    );
    expect(faults(wrong, types.get("HashListType")).length).toBeGreaterThanOrEqual(3);
  });

  it.each(["/etc/mill", "../mill", "a//b", ""])("never writes the path %j", (path) => {
    expect(() => writeManifest({ ...full, files: [{ path, hashes: [] }] })).toThrow(TypeError);
  });

  const name = fc
    .string({ minLength: 1, maxLength: 12, unit: "grapheme" })
    .filter((s) => s.trim() === s && !/[/\p{Cc}]|^\.\.?$/u.test(s));
  test.prop([
    fc.uniqueArray(
      fc.array(name, { minLength: 1, maxLength: 3 }).map((names) => names.join("/")),
      { minLength: 1, maxLength: 6 },
    ),
  ])("any file name comes back as it was, in the order of paths", (paths) => {
    const files = paths.map((path) => ({
      path,
      bytes: 1,
      hashes: [{ format: "xxh64" as const, text: "0ea03b369a463d9d", action: "original" as const }],
    }));
    const back = readManifest(writeManifest({ ...full, files, folders: [] }));
    expect(back.files.map((file) => file.path).sort()).toEqual([...paths].sort());
    expect(back.creator.comment).toBe(full.creator.comment);
  });
});
