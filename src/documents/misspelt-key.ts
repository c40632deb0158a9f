import { z } from "zod";
import { lettersBetween } from "./nearest-word.ts";

/** A key that no part of the document knows, and the known one that it was most likely meant for. */
export interface MisspeltKey {
  /** The group that it stands in, from the top. */
  readonly path: readonly string[];
  readonly key: string;
  readonly meant: string;
}

/**
 * The first unknown key that lies next to a known one which is not there: one letter off, or two in a word of five and
 * more. Other unknown keys are left alone, for documents keep what newer releases and other programs wrote.
 *
 * @param value - A document that the schema takes.
 */
export function misspeltKey(
  schema: unknown,
  value: unknown,
  path: readonly string[] = [],
): MisspeltKey | null {
  const inside = opened(schema);
  if (inside instanceof z.ZodArray && Array.isArray(value)) {
    for (const [i, item] of value.entries()) {
      const found = misspeltKey(inside.element, item, [...path, String(i)]);
      if (found) return found;
    }
    return null;
  }
  if (!(inside instanceof z.ZodObject) || typeof value !== "object" || value === null) return null;
  const shape: Readonly<Record<string, unknown>> = inside.shape;
  for (const [key, item] of Object.entries(value)) {
    if (key in shape) {
      const found = misspeltKey(shape[key], item, [...path, key]);
      if (found) return found;
      continue;
    }
    const meant = Object.keys(shape).find(
      (known) => !(known in value) && lettersBetween(key, known) <= (known.length < 5 ? 1 : 2),
    );
    if (meant !== undefined) return { path, key, meant };
  }
  return null;
}

/** Without what says that it may be missing. */
function opened(schema: unknown): unknown {
  return schema instanceof z.ZodOptional ||
    schema instanceof z.ZodNullable ||
    schema instanceof z.ZodDefault ||
    schema instanceof z.ZodPrefault
    ? opened(schema.unwrap())
    : schema;
}
