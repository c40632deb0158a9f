/** 4.25 → "4.3", and no minus before a zero. */
export function oneDecimal(value: number): string {
  const text = value.toFixed(1);
  return text === "-0.0" ? "0.0" : text;
}

/** Seconds as a person reads them off a recording: "1:32". */
export function clockTime(seconds: number): string {
  const whole = Math.max(0, Math.floor(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

/** "red", "red and yellow", "red, yellow and blue". */
export function listOf(names: readonly string[]): string {
  if (names.length < 2) return names.join("");
  return `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`;
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** ", and by 0.9 stop": the part of a difference that is exposure; nothing where it is unknown or too small to see. */
export function andStops(stops: number | null | undefined): string {
  const size = Math.abs(stops ?? 0);
  if (size < 0.05) return "";
  return `, and by ${oneDecimal(size)} ${size < 1.05 ? "stop" : "stops"}`;
}
