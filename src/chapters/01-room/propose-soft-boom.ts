import { directivityIndex } from "#science/acoustics/microphone-pattern";
import { criticalDistance } from "#science/acoustics/reverberation";
import { talkerDirectivity } from "#science/acoustics/speech-level";
import { distanceBetween } from "#science/geometry/vector3";
import { liking, likingHigh, likingLow } from "#science/search/liking";
import { listWords } from "./figure-words.ts";
import { boomShadows } from "./geometry-shadows.ts";
import { type Look, offMouth } from "./propose-look.ts";
import { mean, type SoftRules, words } from "./propose-soft-rule.ts";

const booms = (look: Look) => look.scene.microphones.filter((m) => m.said.role === "boom");
const hasBoom = (look: Look): boolean => booms(look).length > 0;

/** Level of the mouth's own sound over the room's at a microphone, decibels. */
function directOverRoom(look: Look, boom: ReturnType<typeof booms>[number]): number {
  const metres = Math.max(0.05, distanceBetween(boom.point, boom.mouth));
  const pattern = boom.microphone?.pattern ?? "omni";
  const critical = criticalDistance(talkerDirectivity, look.ground.absorption);
  return 20 * Math.log10(critical / metres) + directivityIndex(pattern);
}

/** What is wished of the boom: close, over the sound of the room, and without a shadow. */
export const boomRules = {
  microphone: {
    name: "Boom close to the mouth",
    asked: hasBoom,
    score: (look) =>
      mean(
        booms(look).map(
          (m) =>
            liking(distanceBetween(m.point, m.mouth), 0.15, 0.25, 0.42, 1.1) *
            (0.5 + 0.5 * likingLow(offMouth(look.scene, m.point), 65, 115)),
        ),
      ),
    says: (look) =>
      `The boom's tip is ${listWords(booms(look).map((m) => words(look, distanceBetween(m.point, m.mouth))))} from the mouth.`,
  },
  "room-sound": {
    name: "Voice over the room's own sound",
    asked: hasBoom,
    score: (look) => mean(booms(look).map((m) => likingHigh(directOverRoom(look, m), -3, 12))),
    says: (look) =>
      `The voice at the boom is ${listWords(booms(look).map((m) => `${directOverRoom(look, m).toFixed(0)} dB`))} over the room's own sound.`,
  },
  "boom-shadow": {
    name: "No shadow of the boom",
    asked: hasBoom,
    isDear: true,
    score: (look) => 0.5 ** boomShadows(look.scene).length,
    says: (look) => {
      const shadows = boomShadows(look.scene);
      return shadows.length === 0
        ? "The boom throws no shadow that a lens sees."
        : `The boom's shadow falls on ${listWords([...new Set(shadows.map((s) => (s.on === "sitter" ? "the sitter" : `the ${s.on}`)))])} in a frame.`;
    },
  },
} satisfies SoftRules;
