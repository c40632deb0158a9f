import type { SeenThing } from "#documents/room-result";
import { likingHigh } from "#science/search/liking";
import { reflectionsOnTheWay } from "./camera-poses.ts";
import { listWords } from "./figure-words.ts";
import { openingName } from "./geometry-things.ts";
import { framed, type Look } from "./propose-look.ts";
import { mean, noneOf, type SoftRules } from "./propose-soft-rule.ts";

/** What of some things, by id, each frame holds: one entry a camera. */
const seenOf = (look: Look, ids: readonly string[]): SeenThing[][] =>
  framed(
    look,
    look.things().filter((t) => ids.includes(t.id)),
  );

/** The largest share of any one frame that each thing takes; 0: in none. */
function largestOf(look: Look, ids: readonly string[]): number[] {
  const seen = seenOf(look, ids);
  return ids.map((id) => Math.max(0, ...seen.map((frame) => frame.find((t) => t.id === id)?.area ?? 0)));
}

/** The largest share of any one frame that windows take: those that are neither covered nor to be shown. */
function windowArea(look: Look): number {
  const { openings, plan } = look.scene;
  const uncovered = openings
    .filter((o) => o.kind === "window" && o.covered < 1 && !plan.wishes.show.includes(o.id))
    .map((o) => o.id);
  if (uncovered.length === 0) return 0;
  return Math.max(0, ...seenOf(look, uncovered).map((seen) => seen.reduce((sum, t) => sum + t.area, 0)));
}

/** What is wished to be in the frames, and what is not. */
export const frameRules = {
  "window-in-frame": {
    name: "No window in frame",
    asked: (look) => look.ground.hasWindow,
    isDear: true,
    score: (look) => noneOf(windowArea(look), 0.12),
    says: (look) => {
      const area = windowArea(look);
      return area === 0
        ? "No window is in any frame."
        : `A window fills ${(area * 100).toFixed(area < 0.1 ? 1 : 0)} % of a frame.`;
    },
  },
  show: {
    name: "What was to be shown is behind the sitter",
    asked: (look) => look.scene.plan.wishes.show.length > 0,
    isDear: true,
    score: (look) =>
      mean(largestOf(look, look.scene.plan.wishes.show).map((area) => likingHigh(area, 0, 0.02))),
    says: (look) => {
      const wanted = look.scene.plan.wishes.show;
      const seen = seenOf(look, wanted).flat();
      const shown = wanted.filter((id) => seen.some((t) => t.id === id));
      const missing = wanted.filter((id) => !shown.includes(id));
      const name = (id: string): string =>
        look.scene.furniture.find((f) => f.id === id)?.name ?? openingName(look.scene, id);
      return missing.length === 0
        ? `In frame as wished: ${listWords(shown.map(name))}.`
        : `Not in any frame, though wished for: ${listWords(missing.map(name))}.`;
    },
  },
  hide: {
    name: "What was to be hidden is out of every frame",
    asked: (look) => look.scene.plan.wishes.hide.length > 0,
    isDear: true,
    score: (look) => mean(largestOf(look, look.scene.plan.wishes.hide).map((area) => noneOf(area, 0.06))),
    says: (look) => {
      const { hide } = look.scene.plan.wishes;
      const seen = seenOf(look, hide).flat();
      const names = [...new Set(seen.map((t) => t.name))];
      return names.length === 0
        ? "Nothing that was to be hidden is in a frame."
        : `In a frame, though it was to be hidden: ${listWords(names)}.`;
    },
  },
  reflections: {
    name: "Nothing mirrored in glass",
    asked: (look) => look.ground.hasGlass,
    isDear: true,
    score: (look) =>
      0.5 ** look.scene.cameras.reduce((sum, c) => sum + reflectionsOnTheWay(look.scene, c).length, 0),
    says: (look) => {
      const found = look.scene.cameras.flatMap((c) => reflectionsOnTheWay(look.scene, c).map((r) => r.name));
      return found.length === 0
        ? "No glass mirrors a light or a person."
        : `Mirrored in glass: ${listWords([...new Set(found)])}.`;
    },
  },
} satisfies SoftRules;
