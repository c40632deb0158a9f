import { describe, expect, it } from "vitest";
import published from "../../../test/published/sun/solar_positions.json" with { type: "json" };
import { clockOfMinutes, isZoneKnown, minutesOfClock, utcOfLocal, zoneOffsetMinutes } from "./local-time.ts";
import { sunDirection, sunOfDay, sunPosition } from "./sun-position.ts";

const turn = (a: number, b: number): number => Math.abs(((a - b + 540) % 360) - 180);

describe("the sun, against NREL's SPA (NREL/TP-560-34302) and rows computed with pvlib and astropy", () => {
  // The table's row count guards against a cut file.
  it("has all eleven rows", () => expect(published.positions.rows).toHaveLength(11));
  it.each(published.positions.rows.filter((row) => row.spa_elevation_deg > 0))(
    "stands where SPA puts it: $name",
    (row) => {
      const sun = sunPosition(Date.parse(row.utc), row.lat, row.lon);
      // 0.02° is a minute's twelfth of the sun's way; refraction there is for the row's own pressure and temperature.
      expect(Math.abs(sun.altitude - row.spa_apparent_elevation_deg)).toBeLessThan(0.03);
      // Near the zenith an azimuth is worth less: by the cosine of the altitude.
      const cosine = Math.cos((row.spa_elevation_deg * Math.PI) / 180);
      expect(turn(sun.azimuth, row.spa_azimuth_deg) * cosine).toBeLessThan(0.02);
    },
  );
  it("finds the NREL example's zenith 50.11162° and azimuth 194.340241° (Table A5.1)", () => {
    const { outputs } = published.spa_intermediate_nrel_example;
    const sun = sunPosition(Date.parse("2003-10-17T19:30:30Z"), 39.742476, -105.1786);
    expect(Math.abs(sun.azimuth - outputs.azimuth_deg)).toBeLessThan(0.02);
    expect(Math.abs(90 - sun.altitude - outputs.zenith_deg)).toBeLessThan(0.02);
  });
  it.each(published.rise_transit_set.rows)("rises and sets within a minute of SPA: $name", (row) => {
    const day = sunOfDay({ latitude: row.lat, longitude: row.lon, zone: "UTC" }, row.utc_day)!;
    const off = (clock: string | null, utc: string): number => {
      const at = new Date(utc);
      const minutes = at.getUTCHours() * 60 + at.getUTCMinutes() + at.getUTCSeconds() / 60;
      return turn((minutesOfClock(clock!) / 1440) * 360, (minutes / 1440) * 360) * 4;
    };
    // Told to the minute: half of one more.
    expect(off(day.sunrise, row.sunrise_utc)).toBeLessThan(1.5);
    expect(off(day.sunset, row.sunset_utc)).toBeLessThan(1.5);
  });
});

describe("a place's own clock", () => {
  it("is an hour ahead of UTC in Dublin's summer and level in its winter", () => {
    expect(zoneOffsetMinutes("Europe/Dublin", Date.parse("2025-06-21T12:00:00Z"))).toBe(60);
    expect(zoneOffsetMinutes("Europe/Dublin", Date.parse("2025-12-21T12:00:00Z"))).toBe(0);
  });
  it("comes back to the same instant, on the days on which the clocks change too", () => {
    for (const date of ["2025-03-30", "2025-06-21", "2025-10-26"])
      for (const minute of [30, 300, 720, 1200]) {
        const utc = utcOfLocal(date, minute, "Europe/Dublin")!;
        const shown = utc + zoneOffsetMinutes("Europe/Dublin", utc)! * 60_000;
        expect(new Date(shown).toISOString().slice(0, 16)).toBe(`${date}T${clockOfMinutes(minute)}`);
      }
  });
  it("is not guessed for a zone that nobody knows", () => {
    expect(isZoneKnown("Atlantis/Port")).toBe(false);
    expect(utcOfLocal("2025-06-21", 0, "Atlantis/Port")).toBeNull();
    expect(sunOfDay({ latitude: 0, longitude: 0, zone: "Atlantis/Port" }, "2025-06-21")).toBeNull();
  });
});

describe("the sun's direction in a room", () => {
  it("lies along +y when it stands over the compass bearing of the room", () => {
    const [x, y, z] = sunDirection({ azimuth: 140, altitude: 30 }, 140);
    expect([x, y, z].map((v) => Number(v.toFixed(9)))).toEqual([0, 0.866025404, 0.5]);
  });
});
