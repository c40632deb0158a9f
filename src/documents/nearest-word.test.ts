import { expect, it } from "vitest";
import { nearestWord } from "./nearest-word.ts";

it("finds the word that was meant, and none where nothing is near", () => {
  const known = ["clock", "colour", "cards"];
  expect(nearestWord("clok", known)).toBe("clock");
  expect(nearestWord("color", known)).toBe("colour");
  expect(nearestWord("cards", known)).toBe("cards");
  expect(nearestWord("clcok", known)).toBe("clock");
  expect(nearestWord("handover", known)).toBeNull();
  expect(nearestWord("", [])).toBeNull();
});
