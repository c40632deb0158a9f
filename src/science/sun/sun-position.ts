import { getPosition, getTimes } from "suncalc";
import { directionOf, type Vector3 } from "../geometry/vector3.ts";
import { clockOfMinutes, utcOfLocal, zoneOffsetMinutes } from "./local-time.ts";

/** Where the sun stands. */
export interface SunPosition {
  /** Compass bearing, degrees clockwise from north. */
  readonly azimuth: number;
  /** Over the horizon as it is seen, with the air's refraction; degrees. */
  readonly altitude: number;
}

/** A place on the earth with its clock. */
export interface SunPlace {
  /** Degrees, north positive. */
  readonly latitude: number;
  /** Degrees, east positive. */
  readonly longitude: number;
  /** IANA zone name. */
  readonly zone: string;
}

/**
 * Where the sun stands at an instant.
 *
 * @param utcMilliseconds - Milliseconds since 1970, UTC.
 * @returns Within 0.03° of NREL's SPA above the horizon.
 */
export function sunPosition(utcMilliseconds: number, latitude: number, longitude: number): SunPosition {
  const { azimuth, altitude } = getPosition(new Date(utcMilliseconds), latitude, longitude);
  return { azimuth, altitude };
}

/**
 * Direction to the sun in a room's own axes.
 *
 * @param roomBearing - Compass bearing of the room's +y axis, degrees.
 */
export const sunDirection = (sun: SunPosition, roomBearing: number): Vector3 =>
  directionOf(sun.azimuth - roomBearing, sun.altitude);

/** Every minute of a day at a place: one look-up for all that ask about the same day. */
export interface SunDay {
  /** Where the sun stands, minutes after midnight by the place's clock. */
  readonly at: (minuteOfDay: number) => SunPosition;
  /** Clock times there; null where the sun does not rise or set that day. */
  readonly sunrise: string | null;
  readonly sunset: string | null;
}

let last: { key: string; day: SunDay | null } | undefined;

/**
 * The sun of one day.
 *
 * @param date - `2025-06-21`, by the place's own calendar.
 * @returns Null where nobody knows the zone.
 */
export function sunOfDay(place: SunPlace, date: string): SunDay | null {
  const key = `${place.latitude} ${place.longitude} ${place.zone} ${date}`;
  if (last?.key === key) return last.day;
  const day = computeDay(place, date);
  last = { key, day };
  return day;
}

function computeDay({ latitude, longitude, zone }: SunPlace, date: string): SunDay | null {
  const midnight = utcOfLocal(date, 0, zone);
  if (midnight === null) return null;
  const evening = utcOfLocal(date, 1439, zone)!;
  // On all but two days of the year the clocks run straight through.
  const isStraight = evening - midnight === 1439 * 60_000;
  const known = new Map<number, SunPosition>();
  const noon = utcOfLocal(date, 720, zone)!;
  const times = getTimes(new Date(noon), latitude, longitude);
  const clock = (at: Date | null): string | null =>
    at === null
      ? null
      : clockOfMinutes((at.getTime() / 60_000 + zoneOffsetMinutes(zone, at.getTime())!) % 1440);
  return {
    at: (minute) => {
      let position = known.get(minute);
      if (!position) {
        const utc = isStraight ? midnight + minute * 60_000 : utcOfLocal(date, minute, zone)!;
        position = sunPosition(utc, latitude, longitude);
        known.set(minute, position);
      }
      return position;
    },
    sunrise: clock(times.sunrise),
    sunset: clock(times.sunset),
  };
}
