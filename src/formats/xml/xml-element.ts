/** One element of an XML document. Names keep their prefix as written; text is that of the element itself, joined. */
export interface XmlElement {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly XmlElement[];
  readonly text: string;
}

/** Makes an element; attributes that are `undefined` are left out. */
export function element(
  name: string,
  attributes: Readonly<Record<string, string | undefined>> = {},
  content: string | readonly XmlElement[] = [],
): XmlElement {
  const kept: Record<string, string> = {};
  for (const [key, value] of Object.entries(attributes)) if (value !== undefined) kept[key] = value;
  return typeof content === "string"
    ? { name, attributes: kept, children: [], text: content }
    : { name, attributes: kept, children: content, text: "" };
}
