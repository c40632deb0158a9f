import { writeXml } from "../xml/write-xml.ts";
import { element, type XmlElement } from "../xml/xml-element.ts";
import { hashFormats } from "./hash-formats.ts";
import type { MhlFile, MhlFolder, MhlHash, MhlManifest } from "./manifest.ts";

/**
 * The text of a manifest, in the order that the schema `urn:ASC:MHL:v2.0` wants. Files and folders stand in the order
 * of their paths, a folder after what lies in it.
 *
 * @throws TypeError where a path is absolute, holds `..` or `\`, or comes twice: our own fault, never a person's.
 */
export function writeManifest(manifest: MhlManifest): string {
  const { creator } = manifest;
  const seen = new Set<string>();
  for (const { path } of [...manifest.files, ...manifest.folders]) {
    if (
      path === "" ||
      path.startsWith("/") ||
      path.split("/").some((name) => name === ".." || name === "" || name === ".")
    ) {
      throw new TypeError(`"${path}" is not a path from the root of a history`);
    }
    if (seen.has(path)) throw new TypeError(`"${path}" would be recorded twice`);
    seen.add(path);
  }
  const records = [
    ...manifest.files.map((file) => ({ key: file.path, xml: fileElement(file) })),
    // U+FFFF sorts a folder behind everything inside it
    ...manifest.folders.map((folder) => ({ key: `${folder.path}/\uffff`, xml: folderElement(folder) })),
  ].sort((a, b) => (a.key < b.key ? -1 : 1));

  return writeXml(
    element("hashlist", { version: "2.0", xmlns: "urn:ASC:MHL:v2.0" }, [
      element("creatorinfo", {}, [
        element("creationdate", {}, creator.createdAt),
        element("hostname", {}, creator.hostName),
        element("tool", { version: creator.tool.version }, creator.tool.name),
        ...(creator.authors ?? []).map((a) =>
          element("author", { email: a.email, phone: a.phone, role: a.role }, a.name),
        ),
        ...(creator.location === undefined ? [] : [element("location", {}, creator.location)]),
        ...(creator.comment === undefined ? [] : [element("comment", {}, creator.comment)]),
      ]),
      element("processinfo", {}, [
        element("process", {}, manifest.process),
        ...(manifest.root
          ? [
              element("roothash", {}, [
                element("content", {}, hashElements(manifest.root.content)),
                element("structure", {}, hashElements(manifest.root.structure)),
              ]),
            ]
          : []),
        ...(manifest.ignore.length > 0
          ? [
              element(
                "ignore",
                {},
                manifest.ignore.map((pattern) => element("pattern", {}, pattern)),
              ),
            ]
          : []),
      ]),
      ...(records.length > 0
        ? [
            element(
              "hashes",
              {},
              records.map((record) => record.xml),
            ),
          ]
        : []),
      ...(manifest.references.length > 0
        ? [
            element(
              "references",
              {},
              manifest.references.map((one) =>
                element("hashlistreference", {}, [element("path", {}, one.path), element("c4", {}, one.c4)]),
              ),
            ),
          ]
        : []),
    ]),
  );
}

function fileElement(file: MhlFile): XmlElement {
  return element("hash", {}, [
    element(
      "path",
      {
        size: file.bytes === undefined ? undefined : String(file.bytes),
        creationdate: file.createdAt,
        lastmodificationdate: file.modifiedAt,
      },
      file.path,
    ),
    ...hashElements(file.hashes),
    ...previous(file.previousPath),
  ]);
}

function folderElement(folder: MhlFolder): XmlElement {
  return element("directoryhash", {}, [
    element("path", { creationdate: folder.createdAt, lastmodificationdate: folder.modifiedAt }, folder.path),
    element("content", {}, hashElements(folder.content)),
    element("structure", {}, hashElements(folder.structure)),
    ...previous(folder.previousPath),
  ]);
}

function previous(path: string | undefined): XmlElement[] {
  return path === undefined ? [] : [element("previousPath", {}, path)];
}

function hashElements(hashes: readonly MhlHash[]): XmlElement[] {
  return hashFormats.flatMap((format) =>
    hashes
      .filter((hash) => hash.format === format)
      .map((hash) => element(format, { action: hash.action, hashdate: hash.hashDate }, hash.text)),
  );
}
