import { liking, likingHigh } from "#science/search/liking";
import { openSentence } from "#science/units/number-words";
import { openingName } from "./geometry-things.ts";
import { sunMinutes } from "./propose-look.ts";
import { degrees, noneOf, type SoftRules } from "./propose-soft-rule.ts";

/** What is wished of the day that comes in: a window where a lamp would stand, and no sun that wanders. */
export const daylightRules = {
  "window-light": {
    name: "Daylight from the key's side",
    asked: (look) => look.ground.hasWindow,
    // A window that hardly reaches the face does not matter.
    score: (look) =>
      look.window
        ? 1 - likingHigh(look.window.factor, 0.002, 0.03) * (1 - liking(look.window.away, -45, 15, 115, 165))
        : 1,
    says: (look) => {
      if (!look.window) return "No window lights the face.";
      const { id, away } = look.window;
      const name = openSentence(openingName(look.scene, id));
      if (Math.abs(away) > 130) return `${name} is behind the sitter.`;
      return away > -5
        ? `${name} lights the sitter from the key's side, ${degrees(Math.abs(away))} off the gaze.`
        : `${name} lights the shadow side, ${degrees(-away)} off the gaze.`;
    },
  },
  sun: {
    name: "No sun on the sitter, in a lens or on the background",
    asked: (look) => look.ground.suns.length > 0,
    isDear: true,
    score: (look) => {
      const { sitter, lens, background } = sunMinutes(look);
      return 0.6 * noneOf(sitter, 90) + 0.2 * noneOf(lens, 120) + 0.2 * noneOf(background, 120);
    },
    says: (look) => {
      const { sitter, lens, background } = sunMinutes(look);
      const about = (minutes: number): string => `for about ${minutes} minutes`;
      if (sitter > 0) return `The sun stands on the sitter's eyes ${about(sitter)}.`;
      if (lens > 0) return `The sun stays off the sitter's eyes; it shines into a lens ${about(lens)}.`;
      return background > 0
        ? `The sun stays off the sitter's eyes; it crosses the background ${about(background)}.`
        : "The sun reaches neither the sitter's eyes nor a lens or the background in these hours.";
    },
  },
} satisfies SoftRules;
