import { ExplainedError } from "#errors/explained-error";
import { readXml } from "../xml/read-xml.ts";
import type { XmlElement } from "../xml/xml-element.ts";
import { hashFormats } from "./hash-formats.ts";
import type { HashAction, MhlFile, MhlFolder, MhlHash, MhlManifest } from "./manifest.ts";

/**
 * Reads one generation of an ASC MHL history.
 *
 * @param fileName - For the sentences of errors.
 * @throws ExplainedError `MANIFEST_INVALID`: not XML, not version 2.0, a part missing, a path that leaves the folder
 *   or comes twice.
 *
 * @remarks Free `metadata` is passed over. Source: ASC MHL Specification v1.0 (2022), schema `urn:ASC:MHL:v2.0`.
 */
export function readManifest(text: string, fileName = "the manifest"): MhlManifest {
  const refuse = (why: string): ExplainedError =>
    new ExplainedError(
      "MANIFEST_INVALID",
      {
        happened: `${fileName} is not an ASC MHL manifest of version 2.0: ${why}.`,
        means: "What it says about the copies cannot be relied on. Nothing was changed.",
        doNext: "Fetch it again from another copy of the card.",
      },
      { fileName, why },
    );
  const list = readXml(text, fileName);
  if (local(list) !== "hashlist") throw refuse(`it begins with <${list.name}>`);
  if (list.attributes.version !== "2.0")
    throw refuse(`its version is ${list.attributes.version ?? "not given"}`);

  const need = (parent: XmlElement, name: string): XmlElement => {
    const found = child(parent, name);
    if (!found) throw refuse(`<${parent.name}> has no <${name}>`);
    return found;
  };
  const seen = new Set<string>();
  const pathOf = (record: XmlElement): string => {
    // the specification's own sample writes a folder with a trailing slash
    const path = need(record, "path").text.trim().replace(/\/$/, "");
    if (path === "" || path.startsWith("/") || path.split("/").includes(".."))
      throw refuse(`the path "${path}" leaves the folder`);
    return path;
  };
  const once = (path: string): string => {
    if (seen.has(path)) throw refuse(`"${path}" is recorded twice`);
    seen.add(path);
    return path;
  };
  const hashesOf = (parent: XmlElement): MhlHash[] =>
    parent.children.flatMap((one) => {
      const format = hashFormats.find((name) => name === local(one));
      if (!format) return [];
      const { action, hashdate } = one.attributes;
      if (action !== undefined && !isAction(action)) throw refuse(`the action "${action}" is not known`);
      return [
        {
          format,
          text: one.text.trim(),
          ...(action === undefined ? {} : { action }),
          ...(hashdate === undefined ? {} : { hashDate: hashdate }),
        },
      ];
    });
  const common = (record: XmlElement) => {
    const { creationdate, lastmodificationdate } = need(record, "path").attributes;
    const before = child(record, "previousPath")?.text;
    return {
      path: once(pathOf(record)),
      ...(creationdate === undefined ? {} : { createdAt: creationdate }),
      ...(lastmodificationdate === undefined ? {} : { modifiedAt: lastmodificationdate }),
      ...(before === undefined ? {} : { previousPath: before }),
    };
  };
  const fileOf = (record: XmlElement): MhlFile => {
    const size = need(record, "path").attributes.size;
    if (size !== undefined && !/^\d+$/.test(size)) throw refuse(`the size "${size}" is not a number`);
    return {
      ...common(record),
      ...(size === undefined ? {} : { bytes: Number(size) }),
      hashes: hashesOf(record),
    };
  };
  const folderOf = (record: XmlElement): MhlFolder => ({
    ...common(record),
    content: hashesOf(need(record, "content")),
    structure: hashesOf(need(record, "structure")),
  });

  const creator = need(list, "creatorinfo");
  const tool = need(creator, "tool");
  const processInfo = need(list, "processinfo");
  const process = need(processInfo, "process").text.trim();
  if (process !== "in-place" && process !== "transfer" && process !== "flatten")
    throw refuse(`the process "${process}" is not known`);
  const root = child(processInfo, "roothash");
  const location = child(creator, "location")?.text;
  const comment = child(creator, "comment")?.text;
  const authors = creator.children.filter((one) => local(one) === "author");
  const records = child(list, "hashes")?.children ?? [];
  return {
    creator: {
      createdAt: need(creator, "creationdate").text.trim(),
      hostName: need(creator, "hostname").text,
      tool: { name: tool.text, version: tool.attributes.version ?? "" },
      ...(authors.length === 0
        ? {}
        : { authors: authors.map((one) => ({ name: one.text, ...one.attributes })) }),
      ...(location === undefined ? {} : { location }),
      ...(comment === undefined ? {} : { comment }),
    },
    process,
    ...(root
      ? { root: { content: hashesOf(need(root, "content")), structure: hashesOf(need(root, "structure")) } }
      : {}),
    ignore: (child(processInfo, "ignore")?.children ?? []).map((one) => one.text),
    files: records.filter((one) => local(one) === "hash").map(fileOf),
    folders: records.filter((one) => local(one) === "directoryhash").map(folderOf),
    references: (child(list, "references")?.children ?? []).map((one) => ({
      path: pathOf(one),
      c4: need(one, "c4").text.trim(),
    })),
  };
}

function isAction(text: string): text is HashAction {
  return text === "original" || text === "verified" || text === "failed";
}

function local(one: XmlElement): string {
  return one.name.slice(one.name.indexOf(":") + 1);
}

function child(parent: XmlElement, name: string): XmlElement | undefined {
  return parent.children.find((one) => local(one) === name);
}
