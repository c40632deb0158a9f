import type { MeasureContext } from "#documents/chapter";
import type { RoomResult } from "#documents/room-result";
import type { RoomPicture } from "#documents/said";
import { drawFrame } from "./frame-drawing.ts";
import { drawPlan } from "./plan-drawing.ts";
import type { Scene } from "./scene.ts";

/** Across, of the drawings in the report: CSS pixels. */
const planWidth = 800;
const frameWidth = 640;

/**
 * Writes the plan to scale and what each camera sees: the picture that a page rendered of this plan, else lines.
 *
 * @param figures - Of this very scene.
 * @param pictures - Of this very plan.
 * @returns Paths as the context answers them.
 */
export async function writeDrawings(
  scene: Scene,
  figures: Pick<RoomResult, "geometry">,
  pictures: readonly Pick<RoomPicture, "camera" | "file">[],
  context: MeasureContext,
): Promise<NonNullable<RoomResult["drawings"]>> {
  const { plan, cameras } = scene;
  const { svg } = drawPlan(
    plan,
    {
      size: { width: planWidth, tallest: 900 },
      units: plan.units,
      cables: figures.geometry.cables.map(({ path }) => path),
    },
    scene,
  );
  const drawn = await context.writeText("plan.svg", svg);
  const frames: { camera: string; path: string; isRendered: boolean }[] = [];
  for (const [i, camera] of cameras.entries()) {
    const name = `frame-${i + 1}`;
    const picture = pictures.find((one) => one.camera === camera.id);
    // A picture that was taken away leaves the lines, and nothing is lost.
    const kept = picture && (await context.copyMade(picture.file, `${name}.png`).catch(() => null));
    frames.push({
      camera: camera.id,
      path: kept ?? (await context.writeText(`${name}.svg`, drawFrame(scene, camera, frameWidth))),
      isRendered: Boolean(kept),
    });
  }
  return { plan: drawn, frames };
}
