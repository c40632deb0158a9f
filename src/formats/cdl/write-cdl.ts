import { writeCdlChildren } from "#formats/clf/write-clf";
import { writeXml } from "#formats/xml/write-xml";
import { element, type XmlElement } from "#formats/xml/xml-element";
import type { Cdl } from "#science/colour/cdl";

/** One correction with its name and what is said of it. */
export interface NamedCdl {
  readonly id: string;
  readonly cdl: Cdl;
  readonly descriptions?: readonly string[];
}

const namespace = { xmlns: "urn:ASC:CDL:v1.01" };

/** An ASC CDL file of one correction (.cc). Source: ASC CDL v1.2. */
export function writeColorCorrection(named: NamedCdl): string {
  return writeXml(correction(named, namespace));
}

/** A collection of corrections (.ccc). Source: ASC CDL v1.2. */
export function writeColorCorrectionCollection(all: readonly NamedCdl[]): string {
  return writeXml(
    element(
      "ColorCorrectionCollection",
      namespace,
      all.map((one) => correction(one)),
    ),
  );
}

/** A list of decisions, one correction each (.cdl). Source: ASC CDL v1.2. */
export function writeColorDecisionList(all: readonly NamedCdl[]): string {
  return writeXml(
    element(
      "ColorDecisionList",
      namespace,
      all.map((one) => element("ColorDecision", {}, [correction(one)])),
    ),
  );
}

function correction({ id, cdl, descriptions = [] }: NamedCdl, attributes = {}): XmlElement {
  return element("ColorCorrection", { ...attributes, id }, [
    ...descriptions.map((text) => element("Description", {}, text)),
    ...writeCdlChildren(cdl),
  ]);
}
