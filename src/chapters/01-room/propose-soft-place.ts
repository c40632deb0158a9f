import { distanceToOutline } from "#science/geometry/polygon";
import type { Vector3 } from "#science/geometry/vector3";
import { liking, likingHigh, likingLow } from "#science/search/liking";
import { sightsOf } from "./geometry-reach.ts";
import type { Look } from "./propose-look.ts";
import { degrees, mean, type SoftRules, words } from "./propose-soft-rule.ts";

const always = (): boolean => true;
const mains = (look: Look) => look.scene.lights.filter((l) => l.light.batteryWattHours === undefined);
const toWall = (look: Look, at: Vector3): number => distanceToOutline(look.scene.room.outline, at[0], at[1]);

/** Each monitor: turn from the sitter's face, degrees; 180 where it cannot be read. */
const screenTurns = (look: Look): { id: string; turn: number }[] =>
  sightsOf(look.scene).map(({ id, degrees: turn, faces, clear }) => ({
    id,
    turn: faces && clear ? turn : 180,
  }));

/** What is wished of where the two sit and of the room around them, for one who works alone. */
export const placeRules = {
  "off-wall": {
    name: "Sitter off the walls",
    asked: always,
    score: (look) => likingHigh(look.toWall, 0.4, 2),
    says: (look) => `The sitter has ${words(look, look.toWall)} to the nearest wall.`,
  },
  cables: {
    name: "Short cable runs",
    asked: (look) => mains(look).length > 0,
    score: (look) => mean(mains(look).map((l) => likingLow(toWall(look, l.point), 0.8, 4))),
    says: (look) =>
      `The longest run from a light to a wall is ${words(look, Math.max(0, ...mains(look).map((l) => toWall(look, l.point))))}.`,
  },
  "sight-lines": {
    name: "A screen in the interviewer's sight",
    asked: (look) => look.scene.plan.monitors.length > 0,
    score: (look) => {
      const turns = screenTurns(look).map((s) => s.turn);
      return likingLow(Math.min(...turns), 35, 100);
    },
    says: (look) => {
      const best = screenTurns(look).sort((a, b) => a.turn - b.turn)[0]!;
      return best.turn > 100
        ? "No screen can be read from the interviewer's chair."
        : `From the chair, ${best.id} is read ${degrees(best.turn)} off the sitter's face.`;
    },
  },
  talk: {
    name: "The two within easy talk",
    asked: always,
    score: (look) => liking(look.talk, 0.8, 1.3, 1.8, 3),
    says: (look) => `Sitter and interviewer are ${words(look, look.talk)} apart.`,
  },
  looks: {
    name: "Looks out of frame the way that was wished",
    asked: (look) => look.scene.plan.wishes.looks !== "either",
    score: (look) => ((look.side === 1) === (look.scene.plan.wishes.looks === "right") ? 1 : 0),
    says: (look) => `The sitter looks to the frame's ${look.side === 1 ? "right" : "left"}.`,
  },
  "interviewer-room": {
    name: "Room behind the interviewer's chair",
    asked: always,
    score: (look) => likingHigh(toWall(look, look.scene.interviewer.head), 0.3, 0.8),
    says: (look) =>
      `The interviewer's chair has ${words(look, toWall(look, look.scene.interviewer.head))} to the wall.`,
  },
} satisfies SoftRules;
