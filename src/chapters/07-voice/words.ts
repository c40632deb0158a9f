import type { VoiceResult } from "#documents/chapter-results";
import { durationFigure } from "#science/units/time-figures";

/** −18.0 with a true minus. */
export function signed(value: number, digits = 1): string {
  if (!Number.isFinite(value)) return "no level";
  return value.toFixed(digits).replace("-", "−");
}

const seconds = (result: VoiceResult, source: string): number =>
  result.segments.reduce((sum, s) => (s.source === source ? sum + s.end - s.start : sum), 0);

/** The sentence that opens the chapter. */
export function verdictOf(result: VoiceResult): string {
  const lav = seconds(result, "lav");
  const boom = seconds(result, "boom");
  const { integrated, target, truePeak } = result.loudness;
  if (!(integrated > -69)) return "The microphones heard no voice. Nothing was levelled.";
  const stretches = result.segments.filter((s) => s.source === "boom").length;
  const has = (role: string): boolean => result.roles.some((r) => r.role === role);
  const who =
    !has("lav") && !has("boom")
      ? "The camera’s own microphone carried the voice; no lav and no boom were found."
      : lav === 0
        ? "The boom carried the voice."
        : boom === 0
          ? has("boom")
            ? "The lav carried the voice from end to end."
            : "The lav carried the voice."
          : boom > lav
            ? `The boom carried the voice, with the lav for ${durationFigure(lav)}.`
            : `The lav carried the voice; the boom stood in for ${durationFigure(boom)}${stretches > 1 ? ` in ${stretches} places` : ""}.`;
  const both = seconds(result, "both");
  const together = both > 0 ? ` Both together carry ${durationFigure(both)}, as you chose.` : "";
  const near = Math.abs(integrated - target) <= 0.5;
  const level = near
    ? `The dialogue stands at ${signed(integrated)} LUFS, its true peak at ${signed(truePeak)} dBTP.`
    : `The dialogue stands at ${signed(integrated)} LUFS, ${Math.abs(integrated - target).toFixed(1)} LU from the ${signed(target)} asked for.`;
  return `${who}${together} ${level}`;
}
