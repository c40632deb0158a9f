import { expect, it } from "vitest";
import { clockOf, counted, nameOf, sentence, spoken, spokenDoubt } from "./names.ts";

const file = (device: string, hash: string, offset: number | null) => ({
  device,
  hash,
  offset,
  path: `${hash}.mp4`,
});

it("calls recordings what people call them, in the order in which they began", () => {
  const all = [file("A", "a", 0), file("B", "late", 40), file("B", "early", 2), file("sound", "s", 1)];
  expect(all.map((r) => nameOf(r, all))).toEqual([
    "camera A",
    "camera B's second file",
    "camera B's first file",
    "the recorder",
  ]);
  expect(nameOf(file("clip-7", "x", 0), all)).toBe("x.mp4");
});

it("calls a file by its name, as it is written, and with its folder where another has the same", () => {
  const bare = (device: string, path: string) => ({ device, hash: path, offset: 0, path });
  const all = [
    bare("file1", "So/cards/a/clip1.mov"),
    bare("file2", "So/cards/b/clip1.mov"),
    bare("file3", "x/so.wav"),
  ];
  expect(all.map((r) => sentence(nameOf(r, all)))).toEqual(["a/clip1.mov", "b/clip1.mov", "so.wav"]);
  expect([sentence("camera B"), sentence("the recorder's first file")]).toEqual([
    "Camera B",
    "The recorder's first file",
  ]);
  expect([counted(3), counted(14)]).toEqual(["three", "14"]);
});

it.each([
  [0.0000312, "0.03 ms"],
  [0.0341, "34 ms"],
  [-3.2171, "3.217 s"],
  [725, "12 min 5 s"],
])("says %f seconds as %s", (seconds, words) => expect(spoken(seconds)).toBe(words));

it("says moments and doubts", () => {
  expect([clockOf(31), clockOf(1872), clockOf(3792)]).toEqual(["0:31", "31:12", "1:03:12"]);
  expect([spokenDoubt(2.1e-5), spokenDoubt(0.0012), spokenDoubt(0.04)]).toEqual([
    "±0.02 ms",
    "±1.2 ms",
    "±40 ms",
  ]);
});
