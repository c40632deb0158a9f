import type { Chapter, MeasureContext, Missing, SittingView } from "#documents/chapter";
import type { Finding } from "#documents/finding";
import type { Plan } from "#documents/plan";
import { planKey } from "#documents/plan-key";
import type { RoomResult } from "#documents/room-result";
import type { RoomPicture } from "#documents/said";
import { cameraFigures } from "./camera-figures.ts";
import { contradictionsOf } from "./contradictions.ts";
import { cameraFindings } from "./findings-cameras.ts";
import { placeFindings } from "./findings-place.ts";
import { geometryFigures, pairFigures } from "./geometry-figures.ts";
import { thingsOf } from "./geometry-things.ts";
import { lightFigures } from "./light-figures.ts";
import { lightFindings } from "./light-findings.ts";
import { moveFigures } from "./move-figures.ts";
import { moveFindings } from "./move-findings.ts";
import { roomVerdictOf } from "./room-verdict.ts";
import { type Scene, sceneOf } from "./scene.ts";
import { soundFigures } from "./sound-figures.ts";
import { soundFindings } from "./sound-findings.ts";
import { sunFigures } from "./sun-figures.ts";
import { sunFindings } from "./sun-findings.ts";
import { writeDrawings } from "./write-drawings.ts";

/** What Room depends on: the plan, and pictures of it that a page rendered. */
export interface RoomInputs {
  readonly plan: Plan;
  readonly pictures: readonly Pick<RoomPicture, "camera" | "file">[];
}

/**
 * Everything that follows from a plan: what each lens sees, the line, light, sound, move, and what is wrong.
 *
 * @param plan - As read; what contradicts itself is told and the rest computed as far as it goes.
 * @param scene - `sceneOf(plan)`, where it is known already.
 */
export function roomFigures(plan: Plan, scene: Scene = sceneOf(plan)): RoomResult {
  const things = thingsOf(scene);
  const cameras = scene.cameras.map((camera) => cameraFigures(scene, camera, things));
  const geometry = geometryFigures(scene);
  const pairs = pairFigures(scene);
  const light = lightFigures(plan, scene);
  const sun = sunFigures(plan, scene);
  const sound = soundFigures(plan, scene);
  const moves = moveFigures(scene);
  const contradictions = contradictionsOf(plan);
  const findings: Finding[] = [
    ...contradictions.map(
      ({ code, between, says, remedy }): Finding => ({
        code,
        weight: "stop",
        says,
        remedy,
        evidence: { where: between[0], figure: between.join(" and ") },
      }),
    ),
    ...cameraFindings(cameras, scene),
    ...placeFindings(geometry, cameras, pairs, scene),
    ...sunFindings(sun, scene),
    ...lightFindings(light, scene),
    ...soundFindings(sound, plan.units),
    ...moveFindings(moves, scene, sound),
  ];
  return {
    ...(plan.title !== undefined && { title: plan.title }),
    units: plan.units,
    cameras,
    geometry,
    pairs,
    light,
    sun,
    sound,
    moves,
    contradictions,
    findings: byWeight(findings),
  };
}

const order = { stop: 0, warn: 1, note: 2 } as const;

/** Heaviest first; of one weight in the order in which they were found. */
const byWeight = (findings: readonly Finding[]): Finding[] =>
  [...findings].sort((a, b) => order[a.weight] - order[b.weight]);

/** The sentence that opens the chapter. */
export const roomVerdict = (result: RoomResult): string =>
  roomVerdictOf(result.cameras, result.findings, result.units);

/** What is wrong or worth knowing. */
export const roomFindings = (result: RoomResult): Finding[] => result.findings;

/** Where everyone goes, and what each lens will see. */
export const room: Chapter<"room", RoomInputs> = {
  name: "room",
  version: 5,
  question: "Where does everyone go, and what will each lens see?",
  after: [],
  inputs({ sitting }: SittingView): RoomInputs | Missing {
    const { plan, roomPictures = [] } = sitting;
    if (plan) {
      const key = planKey(plan);
      const own = roomPictures.filter((picture) => picture.plan === key);
      return { plan, pictures: own.map(({ camera, file }) => ({ camera, file })) };
    }
    return { missing: "No plan of the room yet. Draw it in Room, or open a plan file there." };
  },
  measure: async ({ plan, pictures }, context: MeasureContext): Promise<RoomResult> => {
    context.progress(0.5, "measuring the plan");
    const scene = sceneOf(plan);
    const figures = roomFigures(plan, scene);
    return { ...figures, drawings: await writeDrawings(scene, figures, pictures, context) };
  },
  verdict: roomVerdict,
  findings: roomFindings,
};
