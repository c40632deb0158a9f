import { fc, test } from "@fast-check/vitest";
import { describe, expect, it } from "vitest";
import { type CardEntry, deviceFolder, planCopies } from "./plan-copies.ts";

function card(device: string, name: string, ...paths: string[]): CardEntry {
  const files = paths.map((onCard) => ({
    source: `/cards/${name}/${onCard}`,
    onCard,
    bytes: 1,
    modifiedMs: 1,
  }));
  return { device, name, files };
}
const names = (cards: readonly CardEntry[], reserved?: readonly string[]): string[] =>
  planCopies(cards, reserved).map(({ to }) => to);

// Common practice: a card keeps its own folders, since cameras spread one recording over several files beside each other.
describe("planCopies", () => {
  it("keeps the paths of a card under the device's name", () => {
    expect(names([card("A", "CARD1", "CLIPS/A001.mov", "CLIPS/A001.xml")])).toEqual([
      "A/CLIPS/A001.mov",
      "A/CLIPS/A001.xml",
    ]);
  });

  it("keeps devices apart that name their files alike", () => {
    expect(names([card("A", "X", "C0001.mp4"), card("B", "Y", "C0001.mp4")])).toEqual([
      "A/C0001.mp4",
      "B/C0001.mp4",
    ]);
  });

  it("puts a whole second card into a folder of its name when one of its paths is taken", () => {
    const cards = [card("B", "MILL-1", "C0001.mp4"), card("B", "MILL-2", "C0001.mp4", "C0002.mp4")];
    expect(names(cards)).toEqual(["B/C0001.mp4", "B/MILL-2/C0001.mp4", "B/MILL-2/C0002.mp4"]);
  });

  it("counts on where cards have the same name too", () => {
    const again = (n: number): CardEntry => ({
      ...card("B", "NO NAME", "a.mp4"),
      files: [{ ...card("B", `${n}`, "a.mp4").files[0]! }],
    });
    expect(names([again(1), again(2), again(3), again(4)])).toEqual([
      "B/a.mp4",
      "B/NO NAME/a.mp4",
      "B/NO NAME-2/a.mp4",
      "B/NO NAME-3/a.mp4",
    ]);
  });

  it("takes names for the same that many drives cannot tell apart", () => {
    expect(names([card("A", "1", "R\u00e9sum\u00e9.MOV"), card("A", "2", "re\u0301sume\u0301.mov")])[1]).toBe(
      "A/2/re\u0301sume\u0301.mov",
    );
  });

  it("never puts a file where a folder lies, nor a folder where a file lies", () => {
    expect(names([card("A", "1", "clip/a.mov"), card("A", "2", "clip")])[1]).toBe("A/2/clip");
    expect(names([card("A", "1", "clip"), card("A", "2", "clip/a.mov")])[1]).toBe("A/2/clip/a.mov");
  });

  it("takes a source that is named twice once", () => {
    expect(names([card("A", "1", "a.mov"), card("A", "1", "a.mov")])).toEqual(["A/a.mov"]);
  });

  it("leaves names alone that earlier copies hold", () => {
    expect(names([card("A", "2", "a.mov")], ["A/a.mov"])).toEqual(["A/2/a.mov"]);
  });

  it("sets a history that was on the card beside the history of the copies", () => {
    expect(names([card("A", "1", "ascmhl/ascmhl_chain.xml")])).toEqual([
      "A/ascmhl-from-card/ascmhl_chain.xml",
    ]);
  });

  it.each([
    ["A", "A"],
    ["../x", "-x"],
    ["a/b", "a-b"],
    ["..", "device-"],
    ["ascmhl", "device-ascmhl"],
    ["sound ", "sound"],
  ])("makes of the device %j the folder %j", (device, folder) => expect(deviceFolder(device)).toBe(folder));

  const path = fc
    .array(fc.constantFrom("a", "A", "b", "clip", "ascmhl"), { minLength: 1, maxLength: 3 })
    .map((parts) => parts.join("/"));
  const cards = fc.array(
    fc.record({
      device: fc.constantFrom("A", "B"),
      name: fc.constantFrom("one", "two"),
      paths: fc.uniqueArray(path, { maxLength: 4 }),
    }),
    { maxLength: 5 },
  );
  test.prop([cards])(
    "never gives one name to two files, keeps every file, and plans the same again",
    (wanted) => {
      const entries = wanted.map(({ device, name, paths }, i) => ({
        ...card(
          device,
          name,
          ...paths.filter(
            (one) =>
              !paths.some(
                (other) =>
                  other.startsWith(`${one}/`) ||
                  (other !== one && other.toLowerCase() === one.toLowerCase()) ||
                  other.toLowerCase().startsWith(`${one.toLowerCase()}/`),
              ),
          ),
        ),
        i,
      }));
      const unique = entries.map((entry) => ({
        ...entry,
        files: entry.files.map((file) => ({ ...file, source: `/${entry.i}${file.source}` })),
      }));
      const planned = names(unique);
      expect(planned).toHaveLength(unique.flatMap(({ files }) => files).length);
      const keys = planned.map((to) => to.toLowerCase());
      expect(new Set(keys).size).toBe(keys.length);
      expect(keys.some((one) => keys.some((other) => other.startsWith(`${one}/`)))).toBe(false);
      expect(names(unique)).toEqual(planned);
    },
  );
});
