import { nearestWord } from "./nearest-word.ts";

/** One thing that a schema found wrong: where, what kind of trouble, and what stood there as the schema says it. */
export interface WrongPlace {
  readonly code?: string | undefined;
  readonly path: readonly PropertyKey[];
  readonly message: string;
  readonly expected?: unknown;
}

const kinds: Readonly<Record<string, string>> = {
  object: "a group in braces",
  record: "a group in braces",
  array: "a list in brackets",
  tuple: "a list in brackets",
  number: "a number",
  int: "a whole number",
  string: "text in quotes",
  boolean: "true or false",
};

/**
 * What is wrong with a document, as a person can correct it: `sitter is missing, or misspelt as "siter"`
 *
 * @param document - What was read, before the schema.
 */
export function whatIsWrong(wrong: WrongPlace, document: unknown): string {
  const at = wrong.path.map(String).join(".") || "the document";
  if (wrong.code !== "invalid_type") return `${at}: ${wrong.message}`;
  const found = valueAt(document, wrong.path);
  if (found !== undefined)
    return `${at} must be ${kinds[String(wrong.expected)] ?? String(wrong.expected)}, and is ${kindOf(found)}`;
  const group = valueAt(document, wrong.path.slice(0, -1));
  const beside = typeof group === "object" && group !== null ? Object.keys(group) : [];
  const near = nearestWord(String(wrong.path.at(-1) ?? ""), beside);
  return `${at} is missing${near === null ? "" : `, or misspelt as "${near}"`}`;
}

function valueAt(document: unknown, path: readonly PropertyKey[]): unknown {
  return path.reduce<unknown>(
    (value, key) =>
      typeof value === "object" && value !== null ? (value as Record<PropertyKey, unknown>)[key] : undefined,
    document,
  );
}

function kindOf(value: unknown): string {
  if (value === null) return "null";
  if (Array.isArray(value)) return "a list";
  return { object: "a group", number: "a number", string: "text", boolean: "true or false" }[
    typeof value as "object" | "number" | "string" | "boolean"
  ];
}
