import { ExplainedError } from "#errors/explained-error";
import { readCdlChildren } from "#formats/clf/read-clf";
import { readXml } from "#formats/xml/read-xml";
import type { XmlElement } from "#formats/xml/xml-element";
import type { NamedCdl } from "./write-cdl.ts";

/**
 * Reads an ASC CDL file of any of its three kinds: every correction in it, in order.
 *
 * Elements that the standard does not know are passed over, as it asks.
 *
 * @throws ExplainedError `LUT_INVALID`: no correction in it, or one that cannot be.
 *
 * Source: ASC CDL v1.2 (2009-05-04).
 */
export function readCdl(text: string): NamedCdl[] {
  let root: XmlElement;
  try {
    root = readXml(text, "the CDL");
  } catch (cause) {
    if (!(cause instanceof ExplainedError)) throw cause;
    throw refuse(`is not well-formed XML: ${String(cause.facts.why)}`);
  }
  const found = corrections(root);
  if (found.length === 0) throw refuse("holds no ColorCorrection");
  return found.map((one) => ({
    id: one.attributes.id ?? "",
    cdl: readCdlChildren(one, refuse),
    descriptions: one.children
      .filter(({ name }) => local(name) === "Description")
      .map(({ text }) => text.trim()),
  }));
}

function corrections(element: XmlElement): XmlElement[] {
  return local(element.name) === "ColorCorrection" ? [element] : element.children.flatMap(corrections);
}

function local(name: string): string {
  return name.slice(name.indexOf(":") + 1);
}

function refuse(why: string): ExplainedError {
  return new ExplainedError(
    "LUT_INVALID",
    {
      happened: `The CDL file ${why}.`,
      means: "It is not used, because a misread correction would colour every picture wrongly.",
      doNext: "Write it again as ASC CDL, or leave it out.",
    },
    { why },
  );
}
