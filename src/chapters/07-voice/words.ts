import type { VoiceResult } from "#documents/chapter-results";

/** 0:41, 1:02:07. */
export function clockTime(seconds: number): string {
  const sign = seconds < -0.5 ? "−" : "";
  const whole = Math.round(Math.abs(seconds));
  const s = String(whole % 60).padStart(2, "0");
  const m = Math.floor(whole / 60);
  return m < 60 ? `${sign}${m}:${s}` : `${sign}${Math.floor(m / 60)}:${String(m % 60).padStart(2, "0")}:${s}`;
}

/** 4 s, 1 min 20 s; under ten seconds to a tenth. */
export function duration(seconds: number): string {
  if (seconds < 9.95) return `${Number(seconds.toFixed(1))} s`;
  const whole = Math.round(seconds);
  if (whole < 60) return `${whole} s`;
  return whole % 60 === 0 ? `${whole / 60} min` : `${Math.floor(whole / 60)} min ${whole % 60} s`;
}

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
            ? `The boom carried the voice, with the lav for ${duration(lav)}.`
            : `The lav carried the voice; the boom stood in for ${duration(boom)}${stretches > 1 ? ` in ${stretches} places` : ""}.`;
  const near = Math.abs(integrated - target) <= 0.5;
  const level = near
    ? `The dialogue stands at ${signed(integrated)} LUFS, its true peak at ${signed(truePeak)} dBTP.`
    : `The dialogue stands at ${signed(integrated)} LUFS, ${Math.abs(integrated - target).toFixed(1)} LU from the ${signed(target)} asked for.`;
  return `${who} ${level}`;
}
