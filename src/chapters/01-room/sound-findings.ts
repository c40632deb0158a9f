import type { Finding } from "#documents/finding";
import type { SoundFigures } from "#documents/room-light-result";
import { type LengthUnits, lengthWords } from "#science/units/length-words";
import { openSentence } from "#science/units/number-words";

/** Speech wants the straight sound this far over the room's, dB. Common practice. */
const dryDb = 6;
/** A microphone turned farther off the mouth than this loses the voice's edge, degrees. Common practice. */
const mostOffAxis = 40;
/** Noise that speech clears by less is heard under it, dB. Common practice. */
const quietDb = 30;
/** A room that rings longer is heard as a room, seconds, mean of 500 Hz and 1 kHz. Common practice for speech. */
const longRoom = 0.6;
/** And this much longer before it is told. */
const longSlack = 0.05;
/** A boom that could hang lower by this much is told, metres. */
const lowerBy = 0.1;

/** What is wrong or worth knowing about the sound. */
export function soundFindings(figures: SoundFigures, units: LengthUnits = "metric"): Finding[] {
  const words = (metres: number): string => lengthWords(metres, units);
  const findings: Finding[] = [];
  for (const m of figures.microphones) {
    const label = m.role === "boom" || m.role === "lav" ? `the ${m.role}` : `the ${m.role} microphone`;
    const Label = openSentence(label);
    if (m.role !== "scratch" && m.directToReverberantDb < dryDb)
      findings.push({
        code: "room.sound-roomy",
        weight: m.directToReverberantDb < 0 ? "warn" : "note",
        says: `${Label}, ${words(m.metres)} from the mouth, hears the voice ${
          m.directToReverberantDb < 0
            ? `${Math.abs(m.directToReverberantDb).toFixed(0)} dB under the room`
            : `only ${m.directToReverberantDb.toFixed(0)} dB over the room`
        }.`,
        remedy: `Within ${words(m.evenMetres * 10 ** (-dryDb / 20))} the voice stands ${dryDb} dB over it; or hang cloth and lay carpet.`,
        evidence: { where: m.id, figure: `${m.directToReverberantDb.toFixed(1)} dB` },
      });
    if (m.pattern !== null && m.pattern !== "omni" && m.role === "boom" && m.offAxis > mostOffAxis)
      findings.push({
        code: "room.sound-off-axis",
        weight: "warn",
        says: `${Label} points ${m.offAxis.toFixed(0)}° past the mouth.`,
        remedy: "Aim it at the mouth.",
        evidence: { where: m.id, figure: `${m.offAxisDb.toFixed(1)} dB` },
      });
    if (m.role !== "scratch" && m.speechToNoiseDb !== null && m.speechToNoiseDb < quietDb) {
      const loudest = m.noise[0];
      const byNoise = loudest && loudest.db > (m.selfNoiseDb ?? Number.NEGATIVE_INFINITY);
      findings.push({
        code: "room.sound-noise",
        weight: "warn",
        says: byNoise
          ? `${openSentence(loudest.name)} is heard in ${label}, ${m.speechToNoiseDb.toFixed(0)} dB under the voice.`
          : `${Label}'s own noise is ${m.speechToNoiseDb.toFixed(0)} dB under the voice.`,
        remedy: byNoise
          ? "Switch it off, take it farther away, or bring the microphone nearer to the mouth."
          : "Bring it nearer to the mouth, or use a quieter microphone.",
        evidence: { where: m.id, figure: `${m.noiseDb!.toFixed(0)} dB(A)` },
      });
    }
  }
  if (figures.reverberation > longRoom + longSlack)
    findings.push({
      code: "room.sound-live",
      weight: "note",
      says: `The room rings for ${figures.reverberation.toFixed(1)} s.`,
      remedy: `Under ${longRoom} s a voice sounds near: hang heavy curtains or duvets behind the cameras, lay a carpet.`,
      evidence: { where: "room", figure: `${figures.reverberation.toFixed(2)} s` },
    });
  for (const boom of figures.booms)
    if (boom.height - boom.lowest > lowerBy)
      findings.push({
        code: "room.boom-lower",
        weight: "note",
        says: `The boom may come down ${words(boom.height - boom.lowest)}, to ${words(boom.lowest)} over the floor, without being seen${boom.by === null ? "" : `; camera ${boom.by}'s frame is what stops it`}.`,
        remedy: `There it hangs ${words(boom.metresThere)} from the mouth.`,
        evidence: { where: boom.id, figure: words(boom.height - boom.lowest) },
      });
  return findings;
}
