/*
 * Local time of a zone without a library: what clock time an instant has there is asked of the runtime's own zone table.
 */

const formatters = new Map<string, Intl.DateTimeFormat | null>();

function formatterOf(zone: string): Intl.DateTimeFormat | null {
  let known = formatters.get(zone);
  if (known === undefined) {
    try {
      known = new Intl.DateTimeFormat("en-GB", {
        timeZone: zone,
        year: "numeric",
        month: "2-digit",
        day: "2-digit",
        hour: "2-digit",
        minute: "2-digit",
        second: "2-digit",
        hourCycle: "h23",
      });
    } catch {
      known = null;
    }
    formatters.set(zone, known);
  }
  return known;
}

/** Whether the runtime knows a zone by this IANA name. */
export const isZoneKnown = (zone: string): boolean => formatterOf(zone) !== null;

/** Minutes that a zone's clocks are ahead of UTC at an instant; null for a zone that nobody knows. */
export function zoneOffsetMinutes(zone: string, utcMilliseconds: number): number | null {
  const formatter = formatterOf(zone);
  if (!formatter) return null;
  const part: Record<string, number> = {};
  for (const { type, value } of formatter.formatToParts(utcMilliseconds)) part[type] = Number(value);
  const local = Date.UTC(
    part["year"]!,
    part["month"]! - 1,
    part["day"]!,
    part["hour"]!,
    part["minute"]!,
    part["second"]!,
  );
  return Math.round((local - utcMilliseconds) / 60_000);
}

/**
 * The instant at which a zone's clocks show a time.
 *
 * @param date - `2025-06-21`.
 * @param minutes - Minutes of the day there.
 * @returns UTC milliseconds; null for a zone that nobody knows. A time that is skipped in spring is read an hour later.
 */
export function utcOfLocal(date: string, minutes: number, zone: string): number | null {
  const asUtc = Date.parse(`${date}T00:00:00Z`) + minutes * 60_000;
  const first = zoneOffsetMinutes(zone, asUtc);
  if (first === null) return null;
  const guess = asUtc - first * 60_000;
  // Right at a change of the clocks the guess lies on the other side of it.
  const second = zoneOffsetMinutes(zone, guess)!;
  return second === first ? guess : asUtc - second * 60_000;
}

/** "14:30" as minutes of the day. */
export const minutesOfClock = (clock: string): number =>
  Number(clock.slice(0, 2)) * 60 + Number(clock.slice(3, 5));

/** Minutes of the day as "14:30". */
export function clockOfMinutes(minutes: number): string {
  const whole = ((Math.round(minutes) % 1440) + 1440) % 1440;
  return `${String(Math.floor(whole / 60)).padStart(2, "0")}:${String(whole % 60).padStart(2, "0")}`;
}
