import { ExplainedError } from "#errors/explained-error";
import type { XmlElement } from "./xml-element.ts";

interface Open {
  name: string;
  attributes: Record<string, string>;
  children: XmlElement[];
  text: string;
}

const predefined: Readonly<Record<string, string>> = { lt: "<", gt: ">", amp: "&", quot: '"', apos: "'" };
const deepestNesting = 200;

/**
 * Reads the XML that open formats here need (ASC MHL, CLF, ASC CDL): elements, attributes, text, CDATA, comments, processing instructions.
 *
 * A document type declaration is refused, so that no entity but XML's own five is ever known and nothing is ever
 * fetched. Namespace prefixes stay in the names.
 *
 * @returns The root element.
 * @throws ExplainedError `MANIFEST_INVALID`: the text is not well formed, or declares a document type.
 *
 * @remarks Source: W3C, Extensible Markup Language 1.0 (fifth edition), the parts named above.
 */
export function readXml(text: string, fileName = "the manifest"): XmlElement {
  const source = text.charCodeAt(0) === 0xfeff ? text.slice(1) : text;
  const stack: Open[] = [];
  let root: XmlElement | null = null;
  let at = 0;

  const refuse = (why: string): ExplainedError => {
    const line = source.slice(0, at).split("\n").length;
    return new ExplainedError(
      "MANIFEST_INVALID",
      {
        happened: `${fileName} cannot be read: ${why}, in line ${line}.`,
        means: "It is damaged, or it is not an ASC MHL file. Nothing was changed.",
        doNext: "Fetch it again from another copy of the card.",
      },
      { fileName, line, why },
    );
  };
  const endOf = (mark: string, from: number, what: string): number => {
    const found = source.indexOf(mark, from);
    if (found < 0) throw refuse(`${what} does not end`);
    return found;
  };
  const plain = (raw: string): string =>
    raw.replace(/&([^;&\s]{1,12});|&/g, (all, name: string | undefined) => {
      if (name === undefined) throw refuse("a bare & stands in the text");
      const number = /^#(?:x([0-9a-fA-F]+)|([0-9]+))$/.exec(name);
      if (number) {
        const point = number[1] ? Number.parseInt(number[1], 16) : Number(number[2]);
        if (point === 0 || point > 0x10ffff || (point >= 0xd800 && point < 0xe000))
          throw refuse(`${all} is no character`);
        return String.fromCodePoint(point);
      }
      const known = Object.hasOwn(predefined, name) ? predefined[name] : undefined;
      if (known === undefined) throw refuse(`the entity ${all} is not known here`);
      return known;
    });
  const addText = (raw: string, decoded: boolean): void => {
    const top = stack.at(-1);
    if (top) top.text += decoded ? raw : plain(raw.replace(/\r\n?/g, "\n"));
    else if (raw.trim() !== "") throw refuse("text stands outside the root element");
  };
  const close = (open: Open): void => {
    const parent = stack.at(-1);
    if (parent) parent.children.push(open);
    else root = open;
  };

  while (at < source.length) {
    const next = source.indexOf("<", at);
    addText(source.slice(at, next < 0 ? source.length : next), false);
    if (next < 0) break;
    at = next;
    if (source.startsWith("<!--", at)) at = endOf("-->", at + 4, "a comment") + 3;
    else if (source.startsWith("<![CDATA[", at)) {
      const end = endOf("]]>", at, "a CDATA section");
      if (stack.length === 0) throw refuse("text stands outside the root element");
      addText(source.slice(at + 9, end), true);
      at = end + 3;
    } else if (source.startsWith("<?", at)) at = endOf("?>", at, "an instruction") + 2;
    else if (source.startsWith("<!", at))
      throw refuse("it declares a document type, which such files never do");
    else if (source.startsWith("</", at)) {
      const end = endOf(">", at, "a tag");
      const open = stack.pop();
      const name = source.slice(at + 2, end).trim();
      if (open?.name !== name) throw refuse(`</${name}> closes nothing that is open`);
      close(open);
      at = end + 1;
    } else {
      if (root !== null) throw refuse("a second root element begins");
      const tag =
        /^<([\p{L}_:][\p{L}\p{N}_:.-]*)((?:\s+[\p{L}_:][\p{L}\p{N}_:.-]*\s*=\s*(?:"[^"<]*"|'[^'<]*'))*)\s*(\/?)>/u.exec(
          source.slice(at, tagEnd(source, at)),
        );
      if (!tag) throw refuse("a tag is not well formed");
      const attributes: Record<string, string> = {};
      for (const pair of tag[2]!.matchAll(/([^\s=]+)\s*=\s*(?:"([^"]*)"|'([^']*)')/g)) {
        if (Object.hasOwn(attributes, pair[1]!)) throw refuse(`the attribute ${pair[1]} is given twice`);
        attributes[pair[1]!] = plain((pair[2] ?? pair[3]!).replace(/[\t\r\n]/g, " "));
      }
      if (stack.length >= deepestNesting) throw refuse("its elements lie too deep inside each other");
      const open: Open = { name: tag[1]!, attributes, children: [], text: "" };
      if (tag[3] === "/") close(open);
      else stack.push(open);
      at += tag[0].length;
    }
  }
  const unclosed = stack.at(-1);
  if (unclosed) throw refuse(`<${unclosed.name}> is never closed`);
  if (root === null) throw refuse("it holds no element");
  return root;
}

/** One past the `>` that ends the tag at `from`, passing over any inside quotes. */
function tagEnd(source: string, from: number): number {
  let quote = "";
  for (let i = from; i < source.length; i++) {
    const c = source[i]!;
    if (quote !== "") {
      if (c === quote) quote = "";
    } else if (c === '"' || c === "'") quote = c;
    else if (c === ">") return i + 1;
  }
  return source.length;
}
