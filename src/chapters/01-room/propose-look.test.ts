import { describe, expect, it } from "vitest";
import { seededChance } from "#science/search/seeded-chance";
import { stagedRoom } from "../../../test/helpers/staged-room.ts";
import { groundOf } from "./propose-ground.ts";
import { keyToFillOf, lookAt, sunMinutes } from "./propose-look.ts";
import { moversOf } from "./propose-movers.ts";
import { draftOf } from "./propose-search.ts";
import { softRulesOf } from "./propose-soft.ts";
import { roomFigures } from "./room.ts";
import { sceneOf } from "./scene.ts";

describe("what the search judges by, against the plan's own figures", () => {
  const plan = stagedRoom();
  const ground = groundOf(plan);
  const movers = moversOf(ground, { gazeFrom: 0, gazeSpan: 360, side: 1 });
  const chance = seededChance(3);
  const stagings = [
    plan,
    ...Array.from({ length: 12 }, () => {
      const draft = draftOf(plan);
      movers.place(
        movers.low.map((low, d) => low + (movers.high[d]! - low) * chance.next()),
        draft,
      );
      return draft;
    }),
  ];
  it.each(stagings.map((staging, k) => [k, staging] as const))("agrees for staging %i", (_, staging) => {
    const scene = sceneOf(staging);
    const look = lookAt(scene, ground);
    const figures = roomFigures(staging, scene);
    for (const [k, camera] of look.cameras.entries()) {
      const full = figures.cameras[k]!;
      expect(camera.eyeline).toBeCloseTo(full.eyeline.degrees, 9);
      expect(camera.crown).toBeCloseTo(full.shot.headroom, 9);
      expect(camera.camera.sitterDistance + camera.behind).toBeCloseTo(full.blur.metres, 9);
      expect(camera.blur).toBeCloseTo(full.blur.share, 9);
      expect(Math.sign(camera.turn) > 0 ? "right" : "left").toBe(full.side);
    }
    const [pair] = figures.pairs;
    expect(look.pair!.steps).toBeCloseTo(pair!.steps, 9);
    expect(look.pair!.angleChange).toBeCloseTo(pair!.angleChange, 9);
    expect(look.talk).toBeCloseTo(figures.geometry.talkMetres, 9);
    expect(look.toWall).toBeCloseTo(figures.geometry.sitterToWall, 9);
    expect(-look.side * look.key!.away).toBeCloseTo(figures.geometry.key!.sideways, 9);
    expect(look.key!.up).toBeCloseTo(figures.geometry.key!.up, 9);
    expect(keyToFillOf(look)!).toBeCloseTo(figures.light!.keyToFillStops!, 9);
  });
  it("finds the sun on the sitter when the plan's figures do", () => {
    // Morning sun through the east window, on a sitter in front of it; and on the same sitter in the far corner.
    const sunny = stagedRoom();
    sunny.sitter.at = [7, 1.2];
    const minutes = (at: [number, number]): number => {
      sunny.sitter.at = at;
      return sunMinutes(lookAt(sceneOf(sunny), groundOf(sunny))).sitter;
    };
    const reaches = (at: [number, number]): boolean => {
      sunny.sitter.at = at;
      return roomFigures(sunny).sun!.reaches.some((r) => r.on === "sitter");
    };
    const spots: [number, number][] = [
      [7, 1.2],
      [6.6, 1.5],
      [1, 5],
      [5.2, 3.1],
    ];
    for (const spot of spots) expect(minutes(spot) > 0).toBe(reaches(spot));
    expect(spots.some((spot) => minutes(spot) > 0)).toBe(true);
    expect(spots.some((spot) => minutes(spot) === 0)).toBe(true);
  });
  it("scores every rule from 0 to 1, with a weight and a sentence", () => {
    for (const staging of stagings)
      for (const rule of softRulesOf(lookAt(sceneOf(staging), ground))) {
        expect(rule.score).toBeGreaterThanOrEqual(0);
        expect(rule.score).toBeLessThanOrEqual(1);
        expect(rule.weight).toBeGreaterThan(0);
        expect(rule.says).toMatch(/^[A-Z].*\.$/);
        expect(rule.says).not.toMatch(/NaN|Infinity|undefined/);
      }
  });
  it("likes what the craft likes: the key on the far side, the sitter off the wall, the window out of frame", () => {
    const score = (code: string, change: (p: typeof plan) => void): number => {
      const other = stagedRoom();
      change(other);
      return softRulesOf(lookAt(sceneOf(other), ground)).find((r) => r.code === code)!.score;
    };
    expect(score("key-side", () => {})).toBe(1);
    expect(score("shadow-side", () => {})).toBe(1);
    const frontLeft = (p: typeof plan): void => void (p.lights[0]!.at = [4, 1.8]);
    expect(score("key-side", frontLeft)).toBe(0);
    expect(score("shadow-side", frontLeft)).toBe(0);
    expect(score("off-wall", () => {})).toBe(1);
    expect(score("off-wall", (p) => void (p.sitter.at = [5.2, 5.5]))).toBeLessThan(0.1);
    expect(score("window-in-frame", () => {})).toBe(1);
    expect(score("window-in-frame", (p) => void (p.cameras[0]!.at = [4.2, 1]))).toBeLessThan(1);
    expect(score("microphone", () => {})).toBeGreaterThan(0.9);
    expect(score("microphone", (p) => void (p.microphones[1]!.at = [4.8, 3.2, 2.4]))).toBeLessThan(0.2);
  });
});
