import type { Body } from "#documents/plan";
import type { LightFigures } from "#documents/room-light-result";
import { ExplainedError } from "#errors/explained-error";
import { chart24Xyz } from "#science/colour/chart24";
import type { Curve } from "#science/colour/curve";
import { givenCurve } from "#science/colour/given-curve";
import { curveOfTransferTag } from "#science/colour/h273-transfer";
import { isoFor, luxWanted, shutterSeconds, solveExposure, tStopFor } from "#science/light/exposure";
import { beatHertz, rippleShare, safeShutterAngles } from "#science/light/flicker";
import { nearestDensity } from "#science/light/nd";
import { surfaceLevelPercent } from "#science/light/surface-level";
import type { Scene, SceneCamera } from "./scene.ts";

/** The curve for levels where a body says none: most are watched through it. */
const usualCurve = curveOfTransferTag(1)!;

/** The curve that a body records; BT.709 where it says none, and where nobody knows what it says. */
function curveOf({ curve }: Body): { curve: Curve; isKnown: boolean } {
  if (curve === undefined) return { curve: usualCurve, isKnown: true };
  try {
    return { curve: givenCurve(typeof curve === "string" ? { name: curve } : curve), isKnown: true };
  } catch (error) {
    if (!(error instanceof ExplainedError)) throw error;
    return { curve: usualCurve, isKnown: false };
  }
}

/** Luminance of the published chart's patches: dark skin, light skin, white. */
const [darkSkin, lightSkin, white] = [chart24Xyz[0]![1], chart24Xyz[1]![1], chart24Xyz[18]![1]];

/** Shutter angles nearer to a safe one than this are safe, degrees: cameras name angles to a tenth. */
const angleSlack = 0.3;

/** One camera's exposure for the light on the lit cheek. */
export function exposureOf(
  scene: Scene,
  camera: SceneCamera,
  litLux: number,
  keyToFillStops: number,
  ripplingShare: number,
): LightFigures["cameras"][number] {
  const { body, lens, said, stop } = camera;
  const tStop = lens.tStop === undefined ? stop : (stop * lens.tStop) / lens.stop;
  const seconds = shutterSeconds(said.shutterAngle, said.frameRate);
  const isDark = litLux < 0.1;
  const solved = solveExposure({
    lux: isDark ? 0.1 : litLux,
    tStop,
    seconds,
    iso: said.iso,
    nd: said.nd,
    isos: body.isos,
    nds: body.nd,
  });
  const hertz = scene.plan.mains.hertz;
  const safeAngles = safeShutterAngles(said.frameRate, hertz);
  const nearest = safeAngles.reduce<number | null>(
    (best, angle) =>
      best === null || Math.abs(angle - said.shutterAngle) < Math.abs(best - said.shutterAngle)
        ? angle
        : best,
    null,
  );
  const { curve, isKnown } = curveOf(body);
  const level = (reflectance: number, stopsOver = 0): number =>
    surfaceLevelPercent(curve, reflectance, stopsOver);
  return {
    id: camera.id,
    tStop,
    tStopIsKnown: lens.tStop !== undefined,
    shutterSeconds: seconds,
    iso: solved.iso,
    nd: solved.nd,
    off: isDark ? null : solved.off,
    luxWanted: luxWanted(solved),
    ndWanted: isDark ? 0 : solved.ndWanted,
    ndDensity: isDark ? 0 : nearestDensity(solved.ndWanted),
    right: isDark
      ? null
      : {
          tStop: tStopFor(litLux, solved),
          iso: isoFor(litLux, solved),
          shutterAngle: said.shutterAngle / 2 ** solved.off,
        },
    levels: {
      curve: curve.name,
      curveIsKnown: isKnown,
      grey: level(0.18),
      white: level(white),
      lightSkin: level(lightSkin),
      darkSkin: level(darkSkin),
      lightSkinShadow: level(lightSkin, -keyToFillStops),
      darkSkinShadow: level(darkSkin, -keyToFillStops),
    },
    flicker: {
      mainsHertz: hertz,
      safeAngles,
      isSafe: nearest !== null && Math.abs(nearest - said.shutterAngle) <= angleSlack,
      nearest,
      ripple: rippleShare(seconds, hertz),
      beatHertz: beatHertz(said.frameRate, hertz),
      rippling: ripplingShare,
    },
  };
}
