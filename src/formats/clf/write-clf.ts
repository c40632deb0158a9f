import { decimalRows } from "#formats/cube/decimal-rows";
import { writeXml } from "#formats/xml/write-xml";
import { element, type XmlElement } from "#formats/xml/xml-element";
import type { Cdl } from "#science/colour/cdl";
import type { NamedLog } from "#science/colour/named-log";
import type { ClfNode, ExponentParams } from "./clf-node.ts";

/** What a file of the Common LUT Format says of itself. */
export interface ClfAbout {
  readonly name: string;
  readonly descriptions: readonly string[];
  readonly inputDescriptor: string;
  readonly outputDescriptor: string;
}

const depths = { inBitDepth: "32f", outBitDepth: "32f" };

/**
 * A file of the Common LUT Format, version 3.0: read by every reader of the format, those of SMPTE ST 2136-1 included.
 *
 * Its id is made of its content, so that the same transform always has the same. All nodes are 32f: nothing is
 * scaled.
 *
 * Source: Academy S-2014-006 v3.0; SMPTE ST 2136-1:2024.
 */
export function writeClf(about: ClfAbout, nodes: readonly ClfNode[]): string {
  if (nodes.length === 0) throw new TypeError("A CLF file has at least one node.");
  const content = [
    ...about.descriptions.map((text) => element("Description", {}, text)),
    element("InputDescriptor", {}, about.inputDescriptor),
    element("OutputDescriptor", {}, about.outputDescriptor),
    ...nodes.map(writeNode),
  ];
  const list = (id: string): XmlElement =>
    element(
      "ProcessList",
      { xmlns: "urn:AMPAS:CLF:v3.0", id, name: about.name, compCLFversion: "3.0" },
      content,
    );
  return writeXml(list(contentUuid(writeXml(list("")))));
}

function writeNode(node: ClfNode): XmlElement {
  switch (node.kind) {
    case "Matrix": {
      const hasOffset = node.offset.some((v) => v !== 0);
      const rows = node.matrix.map((row, r) =>
        (hasOffset ? [...row, node.offset[r]!] : row).map(exact).join(" "),
      );
      return element("Matrix", depths, [array(hasOffset ? "3 4" : "3 3", `${rows.join("\n")}\n`)]);
    }
    case "LUT1D": {
      const rows = decimalRows(node.table.length / 3, (i) => i * 3, node.table);
      return element("LUT1D", { ...depths, ...(node.halfDomain ? { halfDomain: "true" } : {}) }, [
        array(`${node.size} 3`, rows),
      ]);
    }
    case "LUT3D": {
      const { size, table } = node.lut;
      // Blue runs fastest in the file, red in the table.
      const rows = decimalRows(
        size ** 3,
        (i) => {
          const [r, g, b] = [Math.floor(i / (size * size)), Math.floor(i / size) % size, i % size];
          return ((b * size + g) * size + r) * 3;
        },
        table,
      );
      return element("LUT3D", { ...depths, interpolation: node.interpolation }, [
        array(`${size} ${size} ${size} 3`, rows),
      ]);
    }
    case "Range": {
      const { scale, offset, low, high } = node;
      const value = (name: string, v: number): XmlElement => element(name, {}, exact(v));
      const isOneSided = scale === 1 && offset === 0;
      const [from, to] = isOneSided ? [low, high] : [low ?? 0, high ?? 1];
      const pair = (end: "min" | "max", out: number | null): XmlElement[] =>
        out === null ? [] : [value(`${end}InValue`, (out - offset) / scale), value(`${end}OutValue`, out)];
      const clamps = low !== null || high !== null;
      return element("Range", { ...depths, style: clamps ? "Clamp" : "noClamp" }, [
        ...pair("min", from),
        ...pair("max", to),
      ]);
    }
    case "Log": {
      const isCamera = node.channels.some(({ linSideBreak }) => linSideBreak !== undefined);
      const style = node.isToLog
        ? isCamera
          ? "cameraLinToLog"
          : "linToLog"
        : isCamera
          ? "cameraLogToLin"
          : "logToLin";
      return element("Log", { ...depths, style }, eachChannel("LogParams", node.channels));
    }
    case "Exponent": {
      const isMoncurve = node.style.startsWith("mon");
      const channels = node.channels.map(({ exponent, offset }) =>
        isMoncurve ? { exponent, offset } : { exponent },
      ) as unknown as readonly Partial<ExponentParams>[];
      return element("Exponent", { ...depths, style: node.style }, eachChannel("ExponentParams", channels));
    }
    case "ASC_CDL": {
      const style = `${node.isReverse ? "Rev" : "Fwd"}${node.clamp ? "" : "NoClamp"}`;
      return element("ASC_CDL", { ...depths, style }, writeCdlChildren(node.cdl));
    }
  }
}

/** SOPNode and SatNode, as in ASC CDL files and in CLF alike. */
export function writeCdlChildren(cdl: Cdl): XmlElement[] {
  const three = (name: string, values: readonly number[]): XmlElement =>
    element(name, {}, values.map((v) => v.toFixed(6)).join(" "));
  return [
    element("SOPNode", {}, [
      three("Slope", cdl.slope),
      three("Offset", cdl.offset),
      three("Power", cdl.power),
    ]),
    element("SatNode", {}, [element("Saturation", {}, cdl.saturation.toFixed(6))]),
  ];
}

function eachChannel(
  name: string,
  channels: readonly (Partial<NamedLog> | Partial<ExponentParams>)[],
): XmlElement[] {
  return channels.map((params, c) => {
    const numbers = Object.entries(params).map(([key, value]): [string, string] => [
      key,
      exact(Number(value)),
    ]);
    return element(name, { channel: "RGB"[c]!, ...Object.fromEntries(numbers) });
  });
}

/** @param rows - Each ended by a new line. */
function array(dim: string, rows: string): XmlElement {
  return element("Array", { dim }, `\n${rows}`);
}

/** As short as reads back to the same number to ten digits. */
function exact(value: number): string {
  return String(Number(value.toPrecision(10)));
}

/** A UUID of a text's content (version 8, RFC 9562), by four runs of FNV-1a. */
function contentUuid(text: string): string {
  const parts = [0, 1, 2, 3].map((run) => {
    let hash = (0x811c9dc5 ^ (run * 0x9e3779b1)) >>> 0;
    for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193) >>> 0;
    return hash.toString(16).padStart(8, "0");
  });
  const h = parts.join("");
  return `urn:uuid:${h.slice(0, 8)}-${h.slice(8, 12)}-8${h.slice(13, 16)}-a${h.slice(17, 20)}-${h.slice(20)}`;
}
