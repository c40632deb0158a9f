import { colourDifferenceCie2000 } from "#science/colour/ciede2000";
import { xyzToLab } from "#science/colour/lab";
import { cameraA, cameraB, type Matrix3, type Rgb, times } from "./camera-colour.ts";

// ITU-R BT.709-6 primaries, D65: linear RGB to XYZ, and the white
const bt709ToXyz: Matrix3 = [
  0.4123907993, 0.3575843394, 0.1804807884, 0.2126390059, 0.7151686788, 0.0721923154, 0.0193308187,
  0.1191947798, 0.9505321522,
];
const white: Rgb = [0.950456, 1, 1.089058];

/** CIEDE2000 between the cameras' patches as recorded: each one's light, B darker by its exposure. */
export function patchDifference(): { mean: number; max: number } {
  const darker = cameraB.exposure / cameraA.exposure;
  const differences = cameraA.patches.map((a, k) => {
    const b = cameraB.patches[k]!;
    return colourDifferenceCie2000(
      xyzToLab(times(bt709ToXyz, a), white),
      xyzToLab(times(bt709ToXyz, [b[0] * darker, b[1] * darker, b[2] * darker]), white),
    );
  });
  return { mean: differences.reduce((sum, d) => sum + d, 0) / 24, max: Math.max(...differences) };
}
