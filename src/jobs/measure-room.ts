import { readFile, stat } from "node:fs/promises";
import { join } from "node:path";
import { loftPlan } from "#demo/loft-plan";
import type { Plan } from "#documents/plan";
import { planFromText } from "#documents/plan-from-text";
import type { RoomResult } from "#documents/room-result";
import { sittingFromText } from "#documents/upgrade";
import { ExplainedError } from "#errors/explained-error";
import { makeFolder } from "#outside/disk/make-folder";
import { writeWhole } from "#outside/disk/write-whole";
import { drawFrame } from "#room/frame-drawing";
import { moveCsv } from "#room/move-csv";
import { drawPlan } from "#room/plan-drawing";
import { roomFigures, roomVerdict } from "#room/room";
import { sceneOf } from "#room/scene";

/** A plan with what follows from it. */
export interface MeasuredRoom {
  readonly plan: Plan;
  readonly result: RoomResult;
  readonly verdict: string;
}

/**
 * Reads a plan: a plan file, a sitting's folder, or its sitting.json.
 *
 * @throws ExplainedError `FILE_MISSING`, `FILE_NOT_READABLE`, `NOTHING_TO_DO` for a sitting without a plan; those of
 *   the documents.
 */
export async function readPlan(path: string): Promise<Plan> {
  const found = await stat(path).catch(() => undefined);
  if (!found)
    throw new ExplainedError(
      "FILE_MISSING",
      {
        happened: `There is no ${path}.`,
        means: "Nothing was measured.",
        doNext: "Name a plan file or a sitting; gemel room --example prints a plan to begin from.",
      },
      { path },
    );
  const file = found.isDirectory() ? join(path, "sitting.json") : path;
  let text: string;
  try {
    text = await readFile(file, "utf8");
  } catch (cause) {
    throw new ExplainedError(
      "FILE_NOT_READABLE",
      {
        happened: found.isDirectory() ? `${path} holds no sitting.json.` : `${path} cannot be read.`,
        means: "Nothing was measured.",
        doNext: "Name a plan file, or the folder of a sitting.",
      },
      { path },
      { cause },
    );
  }
  if (!/"kind"\s*:\s*"gemel\.sitting"/.test(text)) return planFromText(text, file);
  const { plan } = sittingFromText(text, file);
  if (!plan)
    throw new ExplainedError(
      "NOTHING_TO_DO",
      {
        happened: `${path} has no plan of the room.`,
        means: "Nothing was measured.",
        doNext: "Draw the room in the page (gemel start), or name a plan file.",
      },
      { path },
    );
  return plan;
}

/** Everything that follows from a plan, with the sentence that opens it. */
export function measureRoom(plan: Plan): MeasuredRoom {
  const result = roomFigures(plan);
  return { plan, result, verdict: roomVerdict(result) };
}

/** Writes the plan's drawing to scale as SVG, whole or not at all. */
export async function writeDrawing(plan: Plan, result: RoomResult, path: string): Promise<void> {
  const { svg } = drawPlan(plan, {
    size: { width: 900 },
    units: result.units,
    cables: result.geometry.cables.map((cable) => cable.path),
    ...(plan.title !== undefined && { title: plan.title }),
  });
  await writeWhole(path, svg);
}

/**
 * Writes what each camera sees, as a line drawing in true perspective with its frame: `A.svg`, `B.svg`.
 *
 * @returns Paths of the files, in the order of the cameras.
 */
export async function writeFrames(plan: Plan, folder: string): Promise<string[]> {
  const scene = sceneOf(plan);
  await makeFolder(folder);
  const paths: string[] = [];
  for (const camera of scene.cameras) {
    const path = join(folder, `${camera.id.replace(/[^\w-]+/g, "-")}.svg`);
    await writeWhole(path, drawFrame(scene, camera, 960));
    paths.push(path);
  }
  return paths;
}

/**
 * Writes the table of every move's keyframes as CSV, whole or not at all.
 *
 * @throws ExplainedError `NOTHING_TO_DO` for a plan without a slide.
 */
export async function writeMoves(result: RoomResult, path: string): Promise<void> {
  if (result.moves.length === 0)
    throw new ExplainedError("NOTHING_TO_DO", {
      happened: "The plan has no slide.",
      means: "There is no move to write.",
      doNext: "Add a slide to the plan: its slider, its camera, and where it goes from and to.",
    });
  await writeWhole(path, moveCsv(result.moves));
}

/** A whole plan to begin from: the tide-mill loft. */
export const examplePlan: Plan = loftPlan;
