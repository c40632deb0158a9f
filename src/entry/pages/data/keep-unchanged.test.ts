import { describe, expect, it } from "vitest";
import { sitting } from "../fixture/sitting.ts";
import { keepUnchanged } from "./keep-unchanged.ts";

describe("a fresh page over an old one", () => {
  it("keeps the objects of chapters that read the same", () => {
    const old = sitting();
    const fresh = keepUnchanged(old, sitting());
    expect(fresh).toEqual(old);
    expect(fresh.recordings).toBe(old.recordings);
    fresh.chapters.forEach((chapter, i) => {
      expect(chapter).toBe(old.chapters[i]);
    });
  });

  it("takes what changed, and only that", () => {
    const old = sitting("working");
    const next = sitting("working");
    const moved = {
      ...next,
      chapters: next.chapters.map((c) =>
        c.progress ? { ...c, progress: { done: 0.5, doing: "mixing" } } : c,
      ),
    };
    const fresh = keepUnchanged(old, moved);
    expect(fresh.chapters.filter((c, i) => c !== old.chapters[i]).map((c) => c.name)).toEqual(["voice"]);
    expect(fresh.chapters[3]!.progress).toEqual({ done: 0.5, doing: "mixing" });
  });

  it("takes what was said anew, and keeps what was not", () => {
    const old = sitting();
    const next = sitting();
    const fresh = keepUnchanged(old, { ...next, said: { ...next.said, title: "The wheel" } });
    expect(fresh.said.title).toBe("The wheel");
    expect(fresh.said.story).toBe(old.said.story);
    expect(fresh.said.pictures).toBe(old.said.pictures);
  });
});
