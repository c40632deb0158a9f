import { expect, it } from "vitest";
import { publishedSchemas } from "./published-schemas.ts";

// Written by `npx vitest run src/documents/published-schemas.test.ts -u`; a difference is a change that other programs see.
it.each(Object.entries(publishedSchemas()))(
  "docs/schemas/%s.json is what the program means",
  async (name, schema) => {
    expect(schema).toHaveProperty("$schema");
    await expect(`${JSON.stringify(schema, null, 2)}\n`).toMatchFileSnapshot(
      `../../docs/schemas/${name}.json`,
    );
  },
);
