import { describe, expect, it } from "vitest";
import { planSchema } from "#documents/plan";
import { isInside } from "#science/geometry/polygon";
import { clockOfMinutes, minutesOfClock } from "#science/sun/local-time";
import { sunDirection } from "#science/sun/sun-position";
import { roomPlan } from "../../../test/helpers/room-plan.ts";
import { sceneOf } from "./scene.ts";
import { dayOf } from "./sun-daylight.ts";
import { sunFigures, sunPatch } from "./sun-figures.ts";
import { sunFindings } from "./sun-findings.ts";

const planOf = (change: object = {}): ReturnType<typeof planSchema.parse> =>
  planSchema.parse({ ...roomPlan, ...change });

describe("the patch of sun on the floor, minute by minute against hand geometry", () => {
  const plan = planOf();
  const scene = sceneOf(plan);
  // The room's +y is north, the window is in the wall y = 0: x from 3.5 to 4.7 m, from 0.9 to 2.2 m up.
  it("lies where the window's edges throw it: depth = height · cos(turn)/tan(altitude), for every tenth minute", () => {
    const day = dayOf(plan)!;
    let seen = 0;
    for (let minute = minutesOfClock("10:00"); minute <= minutesOfClock("16:00"); minute += 10) {
      const sun = day.at(minute);
      const turn = ((sun.azimuth - 180) * Math.PI) / 180;
      const run = 1 / Math.tan((sun.altitude * Math.PI) / 180);
      const depth = (height: number): number => height * run * Math.cos(turn);
      const across = (height: number): number => height * run * Math.sin(turn);
      const floor = sunPatch(plan, scene, minute)!.patches[0]?.floor ?? [];
      const corners = [
        [3.5 + across(0.9), depth(0.9)],
        [4.7 + across(0.9), depth(0.9)],
        [4.7 + across(2.2), depth(2.2)],
        [3.5 + across(2.2), depth(2.2)],
      ];
      if (corners.every(([x, y]) => x! > 0 && x! < 6 && y! < 5)) {
        seen++;
        for (const [i, corner] of corners.entries()) {
          expect(floor[i]![0]).toBeCloseTo(corner[0]!, 9);
          expect(floor[i]![1]).toBeCloseTo(corner[1]!, 9);
        }
      } else for (const [x, y] of floor) expect(x >= -1e-9 && x <= 6 + 1e-9 && y <= 5 + 1e-9).toBe(true);
    }
    expect(seen).toBeGreaterThan(10);
  });
  // The sun of late autumn is low enough to reach a face over two metres from the window.
  const autumn = planOf({ when: { ...roomPlan.when, date: "2025-11-20" } });
  it("reaches a face in just those minutes in which the face lies in the patch at its height", () => {
    const figures = sunFigures(autumn, scene);
    const reach = figures.reaches.filter(({ on }) => on === "sitter");
    const [x, y] = scene.sitter.eyes;
    let minutes = 0;
    for (let minute = minutesOfClock("09:00"); minute < minutesOfClock("17:00"); minute++) {
      const patches = sunPatch(autumn, scene, minute)!.patches;
      const inPatch = patches.some(({ atEyes }) => atEyes.length > 2 && isInside(atEyes, x, y));
      const clock = clockOfMinutes(minute);
      const told = reach.some(({ from, to }) => clock >= from && clock < to);
      if (inPatch) minutes++;
      expect(told, clock).toBe(inPatch);
    }
    expect(minutes).toBeGreaterThan(10);
  });
  it("is told as a time and a window", () => {
    const [finding] = sunFindings(sunFigures(autumn, scene), scene).filter(
      ({ code }) => code === "room.sun-sitter",
    );
    expect(finding!.says).toMatch(
      /^Sun reaches the sitter's face at \d\d:\d\d through the south window, and leaves it at \d\d:\d\d\.$/,
    );
  });
  it("turns with the room: the same window looks east where the drawing's top is west", () => {
    const turned = planOf({ room: { ...roomPlan.room, bearing: 270 } });
    const [at] = sunFigures(turned, sceneOf(turned)).patches;
    // A window in the drawing's bottom wall then looks to the east: the sun is there in the morning.
    expect(at && minutesOfClock(at.at)).toBeLessThan(12 * 60);
    const west = planOf({ room: { ...roomPlan.room, bearing: 90 } });
    expect(sunFigures(west, sceneOf(west)).patches.every((p) => minutesOfClock(p.at) >= 12 * 60)).toBe(true);
  });
  it("is none behind a blind that is shut, and says what is missing without a place or with an unknown zone", () => {
    const [window] = roomPlan.room.openings;
    const shut = planOf({ room: { ...roomPlan.room, openings: [{ ...window, covered: 1 }] } });
    expect(sunFigures(shut, sceneOf(shut)).reaches).toEqual([]);
    expect(sunFigures(planOf({ place: undefined }), scene).missing).toContain("where and when");
    const lost = planOf({ place: { ...roomPlan.place, zone: "Atlantis/Port" } });
    expect(sunFigures(lost, scene).missing).toContain("Atlantis/Port");
    expect(sunPatch(lost, scene, 600)).toBeNull();
  });
  it("meets floor and walls with as much light as came through the window (areas by their cosines)", () => {
    const day = dayOf(autumn)!;
    for (const clock of ["11:00", "12:00", "13:30"]) {
      const sun = day.at(minutesOfClock(clock));
      const toSun = sunDirection(sun, 0);
      const [patch] = sunPatch(autumn, scene, minutesOfClock(clock))!.patches;
      const flux = (area: number, cosine: number): number => area * Math.abs(cosine);
      const through = flux(1.2 * 1.3, toSun[1]);
      // Walls in the order of the outline: south, east, north, west.
      const onWalls = patch!.walls.map((w) => flux(w.area, w.wall % 2 === 0 ? toSun[1] : toSun[0]));
      const landed = flux(patch!.area, toSun[2]) + onWalls.reduce((a, b) => a + b, 0);
      expect(landed).toBeCloseTo(through, 9);
    }
  });
});
