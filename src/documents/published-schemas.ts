import { z } from "zod";
import { resultSchemas } from "./chapter-results.ts";
import { planSchema } from "./plan.ts";
import { recordingSchema } from "./recording.ts";
import { sittingSchema } from "./sitting.ts";

const documents = { ...resultSchemas, sitting: sittingSchema, plan: planSchema, recording: recordingSchema };

/** Every document that a command prints or keeps, as JSON Schema (2020-12), by name. */
export const publishedSchemas = (): Readonly<Record<string, object>> =>
  Object.fromEntries(
    Object.entries(documents).map(([name, schema]) => [
      name,
      { title: `gemel ${name}`, ...z.toJSONSchema(schema, { io: "input", unrepresentable: "any" }) },
    ]),
  );
