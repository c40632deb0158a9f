import { describe, expect, it } from "vitest";
import { ignoredBy } from "./ignore-patterns.ts";
import { defaultIgnore } from "./manifest.ts";

// gitignore(5), "PATTERN FORMAT"; the sentences of each title are those of the manual, shortened.
describe("ignoredBy, by the pattern format of gitignore(5)", () => {
  it.each<[string, string[], string, boolean, boolean]>([
    ["a name matches at any depth", [".DS_Store"], "Clips/.DS_Store", false, true],
    ["a slash at the end matches folders alone", ["doc/"], "a/doc", true, true],
    ["a slash at the end does not match a file", ["doc/"], "doc", false, false],
    ["a slash at the beginning pins to the root", ["/tmp"], "a/tmp", true, false],
    ["a slash in the middle pins to the root", ["doc/frotz"], "a/doc/frotz", true, false],
    ["an asterisk matches anything except a slash", ["foo/*"], "foo/bar/hello.c", false, true],
    ["an asterisk does not cross a slash", ["a/*.mov"], "a/b/c.mov", false, false],
    ["a question mark matches one character except a slash", ["a?c"], "abc", false, true],
    ["a range matches one of its characters", ["A00[1-3].mov"], "A002.mov", false, true],
    ["a range leaves out the others", ["A00[!1-3].mov"], "A002.mov", false, false],
    ["leading **/ matches in all folders", ["**/foo/bar"], "x/y/foo/bar", false, true],
    ["trailing /** matches everything inside", ["abc/**"], "abc/x/y", false, true],
    ["/**/ matches zero or more folders", ["a/**/b"], "a/b", false, true],
    ["/**/ matches more folders", ["a/**/b"], "a/x/y/b", false, true],
    ["! takes back", ["*.txt", "!keep.txt"], "keep.txt", false, false],
    ["a file in an excluded folder cannot be taken back", ["x/", "!x/keep.txt"], "x/keep.txt", false, true],
    ["# begins a comment", ["#a"], "#a", false, false],
    ["\\# is a hash sign", ["\\#a"], "#a", false, true],
    ["trailing spaces are ignored", ["a.mov  "], "a.mov", false, true],
    ["a point is a point", ["a.mov"], "axmov", false, false],
  ])("%s", (_, patterns, path, isFolder, ignored) => {
    expect(ignoredBy(patterns)(path, isFolder)).toBe(ignored);
  });

  it("the default leaves out every history and nothing that was filmed", () => {
    const leftOut = ignoredBy(defaultIgnore);
    expect(leftOut("ascmhl/0001_A_2026-06-01_100000Z.mhl", false)).toBe(true);
    expect(leftOut("Reels/A/ascmhl/ascmhl_chain.xml", false)).toBe(true);
    expect(leftOut("Clips/A001.mov", false)).toBe(false);
  });
});
