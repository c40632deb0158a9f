import { ExplainedError } from "#errors/explained-error";
import { readXml } from "#formats/xml/read-xml";
import type { XmlElement } from "#formats/xml/xml-element";
import { identityCdl } from "#science/colour/cdl";
import type { Triple } from "#science/colour/matrix3";
import type { NamedLog } from "#science/colour/named-log";
import type { ClfFile, ClfNode, ExponentParams, ExponentStyle } from "./clf-node.ts";
import { halfFloat } from "./half-float.ts";

/** What a code value 1.0 is written as at each bit depth. */
const depthScale: Readonly<Record<string, number>> = {
  "8i": 255,
  "10i": 1023,
  "12i": 4095,
  "16i": 65_535,
  "16f": 1,
  "32f": 1,
};
const namespaces = ["http://www.smpte-ra.org/ns/2136-1/2024", "urn:AMPAS:CLF:v3.0"];
const about = new Set(["Id", "Description", "InputDescriptor", "OutputDescriptor", "Info", "Signature"]);
const inNodes = new Set(["Description"]);

/**
 * Reads a file of the Common LUT Format.
 *
 * Strict where a mistake would colour a picture wrongly: bit depths that do not chain, counts that do not match,
 * styles, elements and parameters that the standard does not know for a node, a later version of the format.
 *
 * @throws ExplainedError `LUT_INVALID`, with what was wrong in `facts.why`.
 *
 * Source: SMPTE ST 2136-1:2024; Academy S-2014-006 v3.0.
 */
export function readClf(text: string): ClfFile {
  const root = parse(text);
  if (local(root) !== "ProcessList") throw refuse("holds no ProcessList");
  checkVersion(root);
  const nodes: ClfNode[] = [];
  let depth: string | null = null;
  for (const child of root.children) {
    const name = local(child);
    if (about.has(name)) continue;
    const reader = readers[name];
    if (!reader) throw refuse(`has the element ${name.slice(0, 40)}, which the format does not know`);
    const [from, to] = ["inBitDepth", "outBitDepth"].map((which) => {
      const value = child.attributes[which];
      if (value === undefined || !(value in depthScale))
        throw refuse(`has a ${name} whose ${which} is missing or unknown`);
      return value;
    }) as [string, string];
    if (depth !== null && depth !== from)
      throw refuse(`has a ${name} that takes ${from} where the node before it gives ${depth}`);
    depth = to;
    nodes.push(reader(child, depthScale[from]!, depthScale[to]!));
  }
  if (nodes.length === 0) throw refuse("holds no process node");
  const textOf = (name: string): string | null =>
    root.children.find((child) => local(child) === name)?.text.trim() ?? null;
  return {
    id: textOf("Id") ?? root.attributes.id ?? null,
    name: root.attributes.name ?? null,
    descriptions: root.children
      .filter((child) => local(child) === "Description")
      .map(({ text }) => text.trim()),
    inputDescriptor: textOf("InputDescriptor"),
    outputDescriptor: textOf("OutputDescriptor"),
    nodes,
  };
}

function parse(text: string): XmlElement {
  try {
    return readXml(text, "the LUT");
  } catch (cause) {
    if (!(cause instanceof ExplainedError)) throw cause;
    throw refuse(`is not well-formed XML: ${String(cause.facts.why)}`, cause);
  }
}

function checkVersion(root: XmlElement): void {
  const prefix = root.name.includes(":") ? root.name.split(":")[0] : null;
  const namespace = root.attributes[prefix ? `xmlns:${prefix}` : "xmlns"];
  if (namespace !== undefined && !namespaces.includes(namespace))
    throw refuse("is of a version of the format that is not known here");
  const version = root.attributes.compCLFversion;
  if (version !== undefined && version !== "ST2136-1:2024" && !(Number(version) >= 1 && Number(version) <= 3))
    throw refuse("is of a version of the format that is not known here");
  if (version === undefined && namespace !== namespaces[0])
    throw refuse("does not say its version (compCLFversion)");
  const id = root.children.find((child) => local(child) === "Id")?.text.trim();
  if (id !== undefined && !/^urn:uuid:[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i.test(id))
    throw refuse("has an Id that is no urn:uuid");
}

type NodeReader = (element: XmlElement, inScale: number, outScale: number) => ClfNode;

const readers: Readonly<Record<string, NodeReader>> = {
  Matrix: readMatrix,
  LUT1D: readLut1d,
  LUT3D: readLut3d,
  Range: readRange,
  Log: readLog,
  Exponent: readExponent,
  ASC_CDL: readCdlNode,
};

function readMatrix(element: XmlElement, inScale: number, outScale: number): ClfNode {
  const { dims, values } = arrayOf(element);
  // Version 2 wrote a third number, which says nothing.
  const columns = dims[1];
  if (dims[0] !== 3 || (columns !== 3 && columns !== 4) || dims.length > 3 || dims.length < 2)
    throw refuse("has a Matrix that is neither 3 by 3 nor 3 by 4");
  count(values, 3 * columns, "Matrix");
  const row = (r: number): Triple =>
    [0, 1, 2].map((c) => (values[r * columns + c]! * inScale) / outScale) as unknown as Triple;
  const offset = [0, 1, 2].map((r) => (columns === 4 ? values[r * 4 + 3]! / outScale : 0));
  return { kind: "Matrix", matrix: [row(0), row(1), row(2)], offset: offset as unknown as Triple };
}

function readLut1d(element: XmlElement, _inScale: number, outScale: number): ClfNode {
  const { dims, values } = arrayOf(element);
  const [size, columns] = dims;
  if (dims.length !== 2 || size === undefined || size < 2 || (columns !== 1 && columns !== 3))
    throw refuse("has a LUT1D whose dim is not a size of 2 or more and 1 or 3");
  const halfDomain = flag(element, "halfDomain");
  const rawHalfs = flag(element, "rawHalfs");
  if (halfDomain && size !== 65_536) throw refuse("has a LUT1D over half floats without 65 536 entries");
  oneOf(element, "interpolation", ["linear"]);
  count(values, size * columns, "LUT1D");
  const table = new Float32Array(size * 3);
  for (let i = 0; i < table.length; i++) {
    const value = values[columns === 3 ? i : Math.floor(i / 3)]!;
    table[i] = rawHalfs ? halfFloat(value) : value / outScale;
  }
  return { kind: "LUT1D", table, size, halfDomain };
}

function readLut3d(element: XmlElement, _inScale: number, outScale: number): ClfNode {
  const { dims, values } = arrayOf(element);
  const size = dims[0] ?? 0;
  if (dims.length !== 4 || size < 2 || size > 256 || dims[1] !== size || dims[2] !== size || dims[3] !== 3)
    throw refuse("has a LUT3D whose three edges differ, or without its 3 channels");
  const interpolation = oneOf(element, "interpolation", ["trilinear", "tetrahedral"]);
  count(values, size ** 3 * 3, "LUT3D");
  const table = new Float32Array(values.length);
  let k = 0;
  // Blue runs fastest in the file, red in the table.
  for (let r = 0; r < size; r++)
    for (let g = 0; g < size; g++)
      for (let b = 0; b < size; b++)
        for (let c = 0; c < 3; c++) table[((b * size + g) * size + r) * 3 + c] = values[k++]! / outScale;
  const lut = { size, domainMin: [0, 0, 0], domainMax: [1, 1, 1], table } as const;
  return { kind: "LUT3D", lut, interpolation };
}

function readRange(element: XmlElement, inScale: number, outScale: number): ClfNode {
  const names = ["minInValue", "maxInValue", "minOutValue", "maxOutValue"];
  onlyChildren(element, names);
  const [minIn, maxIn, minOut, maxOut] = names.map((name, i) => {
    const child = childOf(element, name);
    return child ? numbersOf(child, 1)[0]! / (i < 2 ? inScale : outScale) : null;
  }) as [number | null, number | null, number | null, number | null];
  const clamps = oneOf(element, "style", ["Clamp", "noClamp"]) === "Clamp";
  if ((minIn === null) !== (minOut === null) || (maxIn === null) !== (maxOut === null))
    throw refuse("has a Range with one value of a pair missing");
  if (minIn !== null && minOut !== null && maxIn !== null && maxOut !== null) {
    if (!(maxIn > minIn) || maxOut < minOut) throw refuse("has a Range that ends before it begins");
    const scale = (maxOut - minOut) / (maxIn - minIn);
    return {
      kind: "Range",
      scale,
      offset: minOut - scale * minIn,
      low: clamps ? minOut : null,
      high: clamps ? maxOut : null,
    };
  }
  const [from, to] = minIn === null ? [maxIn, maxOut] : [minIn, minOut];
  if (from === null || to === null) throw refuse("has a Range without values");
  if (!clamps) throw refuse("has a Range that neither clamps nor has both ends");
  if (Math.abs(from - to) > 1e-6) throw refuse("has a Range with one end that moves it");
  return { kind: "Range", scale: 1, offset: 0, low: minOut, high: maxOut };
}

const plainLog = { logSideSlope: 1, logSideOffset: 0, linSideSlope: 1, linSideOffset: 0 };
const logFields = ["base", "logSideSlope", "logSideOffset", "linSideSlope", "linSideOffset"] as const;

function readLog(element: XmlElement): ClfNode {
  const style = oneOf(element, "style", [
    "",
    "log10",
    "antiLog10",
    "log2",
    "antiLog2",
    "linToLog",
    "logToLin",
    "cameraLinToLog",
    "cameraLogToLin",
  ]);
  if (style === "") throw refuse("has a Log without its style");
  onlyChildren(element, ["LogParams"]);
  const isToLog = style.startsWith("log2") || style === "log10" || style.endsWith("ToLog");
  if (/og(2|10)$/.test(style)) {
    const log = { ...plainLog, base: style.endsWith("10") ? 10 : 2 };
    return { kind: "Log", isToLog, channels: [log, log, log] };
  }
  const isCamera = style.startsWith("camera");
  const allowed: readonly string[] = isCamera
    ? [...logFields, "linSideBreak", "linearSlope"]
    : [...logFields];
  const channels = perChannel<NamedLog>(element, "LogParams", { ...plainLog, base: 2 }, (params) => {
    const given = numberAttributes(params, allowed);
    if (isCamera && given.linSideBreak === undefined) throw refuse("has a camera Log without linSideBreak");
    const log = { ...plainLog, base: 2, ...given };
    if (!(log.base > 0) || log.base === 1 || log.linSideSlope === 0 || log.logSideSlope === 0)
      throw refuse("has a Log whose base or slopes cannot be");
    return log;
  });
  return { kind: "Log", isToLog, channels };
}

const exponentStyles: readonly ExponentStyle[] = [
  "basicFwd",
  "basicRev",
  "basicMirrorFwd",
  "basicMirrorRev",
  "basicPassThruFwd",
  "basicPassThruRev",
  "monCurveFwd",
  "monCurveRev",
  "monCurveMirrorFwd",
  "monCurveMirrorRev",
];

function readExponent(element: XmlElement): ClfNode {
  const style = oneOf(element, "style", ["" as const, ...exponentStyles]);
  if (style === "") throw refuse("has an Exponent without its style");
  onlyChildren(element, ["ExponentParams"]);
  const isMoncurve = style.startsWith("mon");
  const channels = perChannel<ExponentParams>(
    element,
    "ExponentParams",
    { exponent: 1, offset: 0 },
    (params) => {
      const given = numberAttributes(params, isMoncurve ? ["exponent", "offset"] : ["exponent"]);
      const { exponent, offset = 0 } = given;
      const [least, most] = isMoncurve ? [1, 10] : [0.01, 100];
      if (exponent === undefined || exponent < least || exponent > most || offset < 0 || offset > 0.9)
        throw refuse("has an Exponent outside the range of its style");
      return { exponent, offset };
    },
  );
  return { kind: "Exponent", style, channels };
}

function readCdlNode(element: XmlElement): ClfNode {
  const style = oneOf(element, "style", [
    "Fwd",
    "Rev",
    "FwdNoClamp",
    "RevNoClamp",
    "v1.2_Fwd",
    "v1.2_Rev",
    "noClampFwd",
    "noClampRev",
  ]);
  onlyChildren(element, ["SOPNode", "SatNode", "SATNode"]);
  return {
    kind: "ASC_CDL",
    cdl: readCdlChildren(element, refuse),
    isReverse: style.includes("Rev"),
    clamp: !/no ?clamp/i.test(style),
  };
}

/** Slope, offset, power and saturation from the children of an ASC_CDL or ColorCorrection element. */
export function readCdlChildren(
  element: XmlElement,
  refuse: (why: string) => ExplainedError,
): typeof identityCdl {
  const sop = childOf(element, "SOPNode");
  const sat = childOf(element, "SatNode") ?? childOf(element, "SATNode");
  const three = (name: string): Triple => {
    const child = sop && childOf(sop, name);
    if (!child) throw refuse(`has a CDL without its ${name}`);
    return numbersOf(child, 3) as unknown as Triple;
  };
  const cdl = {
    ...(sop ? { slope: three("Slope"), offset: three("Offset"), power: three("Power") } : identityCdl),
    saturation: 1,
  };
  if (sat) {
    const child = childOf(sat, "Saturation");
    if (!child) throw refuse("has a CDL with a SatNode and no Saturation");
    cdl.saturation = numbersOf(child, 1)[0]!;
  }
  if (cdl.slope.some((v) => v < 0) || cdl.power.some((v) => !(v > 0)) || cdl.saturation < 0)
    throw refuse("has a CDL with a slope or saturation below 0, or a power that is not above 0");
  return cdl;
}

function perChannel<T>(
  element: XmlElement,
  name: string,
  unset: T,
  read: (params: XmlElement) => T,
): readonly [T, T, T] {
  const all = element.children.filter((child) => local(child) === name);
  if (all.length === 0) throw refuse(`has a ${local(element)} without ${name}`);
  const forAll = all.filter(({ attributes }) => attributes.channel === undefined);
  if (forAll.length > 0) {
    if (all.length > 1) throw refuse(`has a ${local(element)} with two ${name} for one channel`);
    const one = read(forAll[0]!);
    return [one, one, one];
  }
  const channel = (letter: string): T => {
    const own = all.filter(({ attributes }) => attributes.channel === letter);
    if (own.length > 1) throw refuse(`has a ${local(element)} with two ${name} for one channel`);
    return own[0] ? read(own[0]) : unset;
  };
  if (all.some(({ attributes }) => !["R", "G", "B"].includes(attributes.channel!)))
    throw refuse(`has ${name} for a channel that is not R, G or B`);
  return [channel("R"), channel("G"), channel("B")];
}

function numberAttributes<Name extends string>(
  { name, attributes }: XmlElement,
  allowed: readonly Name[],
): Partial<Record<Name, number>> {
  const out: Partial<Record<Name, number>> = {};
  for (const [key, value] of Object.entries(attributes)) {
    if (key === "channel" || key.startsWith("xmlns")) continue;
    if (!(allowed as readonly string[]).includes(key))
      throw refuse(`has ${name} with ${key.slice(0, 40)}, which its style does not use`);
    out[key as Name] = toNumber(value);
  }
  return out;
}

function arrayOf(element: XmlElement): { dims: number[]; values: number[] } {
  onlyChildren(element, ["Array"]);
  const array = childOf(element, "Array");
  if (!array) throw refuse(`has a ${local(element)} without its Array`);
  const dims = words(array.attributes.dim ?? "").map(Number);
  if (dims.some((n) => !Number.isInteger(n) || n < 1))
    throw refuse(`has an Array whose dim is not whole numbers`);
  return { dims, values: words(array.text).map(toNumber) };
}

function onlyChildren(element: XmlElement, names: readonly string[]): void {
  const stray = element.children.map(local).find((name) => !names.includes(name) && !inNodes.has(name));
  if (stray !== undefined)
    throw refuse(`has the element ${stray.slice(0, 40)} in a ${local(element)}, where it does not belong`);
}

function childOf(element: XmlElement, name: string): XmlElement | undefined {
  return element.children.find((child) => local(child) === name);
}

function numbersOf(element: XmlElement, wanted: number): number[] {
  const values = words(element.text).map(toNumber);
  count(values, wanted, local(element));
  return values;
}

function count(values: readonly number[], wanted: number, name: string): void {
  if (values.length !== wanted)
    throw refuse(`has a ${name} of ${values.length} numbers where ${wanted} belong`);
}

function flag(element: XmlElement, name: string): boolean {
  const value = element.attributes[name];
  if (value !== undefined && value !== "true") throw refuse(`has ${name} that is not "true"`);
  return value === "true";
}

/** An attribute's value, the first allowed one where it is not given. */
function oneOf<Value extends string>(element: XmlElement, name: string, allowed: readonly Value[]): Value {
  const value = element.attributes[name];
  if (value === undefined) return allowed[0]!;
  const known = allowed.find((one) => one === value && one !== "");
  if (known === undefined)
    throw refuse(`has a ${local(element)} of ${name} ${value.slice(0, 40)}, which is not known`);
  return known;
}

function toNumber(word: string): number {
  if (!/^\s*[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?\s*$/i.test(word))
    throw refuse(`has ${word.slice(0, 40)} where a number belongs`);
  return Number(word);
}

function words(text: string): string[] {
  const trimmed = text.trim();
  return trimmed === "" ? [] : trimmed.split(/\s+/);
}

function local({ name }: XmlElement): string {
  return name.slice(name.indexOf(":") + 1);
}

function refuse(why: string, cause?: unknown): ExplainedError {
  return new ExplainedError(
    "LUT_INVALID",
    {
      happened: `The CLF file ${why}.`,
      means: "It is not used, because a misread table would colour every picture wrongly.",
      doNext: "Write it again as version 3 of the Common LUT Format, or leave it out.",
    },
    { why },
    cause === undefined ? undefined : { cause },
  );
}
