import { ExplainedError } from "#errors/explained-error";
import { readXml } from "../xml/read-xml.ts";
import { writeXml } from "../xml/write-xml.ts";
import { element } from "../xml/xml-element.ts";

/** One link: a manifest's number from 1, its file name, and the C4 identifier of its bytes. */
export interface ChainLink {
  readonly number: number;
  readonly path: string;
  readonly c4: string;
}

/** Name of the chain inside the `ascmhl` folder. */
export const chainFileName = "ascmhl_chain.xml";

/** The text of a chain. Source: ASC MHL Specification v1.0 (2022), schema `urn:ASC:MHL:DIRECTORY:v2.0`. */
export function writeChain(links: readonly ChainLink[]): string {
  return writeXml(
    element(
      "ascmhldirectory",
      { xmlns: "urn:ASC:MHL:DIRECTORY:v2.0" },
      links.map((link) =>
        element("hashlist", { sequencenr: String(link.number) }, [
          element("path", {}, link.path),
          element("c4", {}, link.c4),
        ]),
      ),
    ),
  );
}

/**
 * Reads a chain.
 *
 * @throws ExplainedError `MANIFEST_INVALID`: not XML, a part missing, or numbers that do not run 1, 2, 3 and on.
 */
export function readChain(text: string, fileName = chainFileName): ChainLink[] {
  const root = readXml(text, fileName);
  const refuse = (why: string): ExplainedError =>
    new ExplainedError(
      "MANIFEST_INVALID",
      {
        happened: `${fileName} is not the chain of an ASC MHL history: ${why}.`,
        means: "The manifests beside it cannot be relied on. Nothing was changed.",
        doNext: "Fetch the ascmhl folder again from another copy of the card.",
      },
      { fileName, why },
    );
  if (!root.name.endsWith("ascmhldirectory")) throw refuse(`it begins with <${root.name}>`);
  return root.children.map((one, index) => {
    const path = one.children.find((inner) => inner.name.endsWith("path"))?.text.trim();
    const c4 = one.children.find((inner) => inner.name.endsWith("c4"))?.text.trim();
    if (!path || !c4) throw refuse(`link ${index + 1} has no path or no C4 identifier`);
    if (path.includes("..") || path.startsWith("/")) throw refuse(`the path "${path}" leaves the folder`);
    const number = Number(one.attributes.sequencenr);
    if (number !== index + 1)
      throw refuse(`number ${one.attributes.sequencenr} stands where ${index + 1} belongs`);
    return { number, path, c4 };
  });
}
