import { expect, it } from "vitest";
import * as z from "zod";
import { whatIsWrong } from "./what-is-wrong.ts";

const schema = z.looseObject({
  sitter: z.looseObject({ at: z.array(z.number()) }),
  iso: z.number().positive(),
});
const told = (document: unknown): string =>
  whatIsWrong(schema.safeParse(document).error!.issues[0]!, document);

it("names what is missing, and the misspelt word beside it", () => {
  expect(told({ siter: { at: [] }, iso: 1 })).toBe('sitter is missing, or misspelt as "siter"');
  expect(told({ iso: 1 })).toBe("sitter is missing");
});

it("says what must stand there and what does", () => {
  expect(told({ sitter: { at: [1, "2"] }, iso: 1 })).toBe("sitter.at.1 must be a number, and is text");
  expect(told({ sitter: { at: {} }, iso: 1 })).toBe("sitter.at must be a list in brackets, and is a group");
  expect(told([])).toBe("the document must be a group in braces, and is a list");
  expect(told({ sitter: null, iso: 1 })).toBe("sitter must be a group in braces, and is null");
});

it("leaves other troubles in the schema's words", () => {
  expect(told({ sitter: { at: [] }, iso: -1 })).toMatch(/^iso: \S/);
});
