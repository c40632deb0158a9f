import type { RoomGeometry, RoomPair } from "#documents/room-result";
import { angleBetween, minus } from "#science/geometry/vector3";
import { judgePair } from "#science/optics/lens-pair";
import { lineFigures } from "./geometry-line.ts";
import { reachFigures } from "./geometry-reach.ts";
import { boomShadows } from "./geometry-shadows.ts";
import type { Scene, SceneCamera } from "./scene.ts";

/** The interview's geometry, apart from what each lens sees. */
export const geometryFigures = (scene: Scene): RoomGeometry => ({
  ...lineFigures(scene),
  boomShadows: boomShadows(scene),
  ...reachFigures(scene),
});

/** How each two cameras cut together. */
export function pairFigures(scene: Scene): RoomPair[] {
  const { cameras, sitter } = scene;
  const lens = (c: SceneCamera): Parameters<typeof judgePair>[0] => ({
    focalMm: c.focalMm,
    sensorWidthMm: c.sensorMm[0] * c.squeeze,
    frameHeight: Math.max(0.01, 2 * c.sitterDepth * c.tanHalfHeight),
  });
  return cameras.flatMap((a, i) =>
    cameras.slice(i + 1).map((b): RoomPair => {
      const angle = angleBetween(minus(a.point, sitter.eyes), minus(b.point, sitter.eyes));
      const { equalFocalMm, ...judged } = judgePair(lens(a), lens(b), angle);
      return { cameras: [a.id, b.id], equalFocalMm: [...equalFocalMm], ...judged };
    }),
  );
}
