import { bodyHeight, halfShoulderShare, headMetres } from "#science/people/body-points";
import type { Distance } from "./surface-nets.ts";

/*
 * People as clay: round solids run into each other. Sizes follow the published body points for the stature; what those
 * do not give (limbs' thickness, a resting pose) is modelled by eye. x is to the person's right, y ahead, z up.
 */

type Point = readonly [number, number, number];

/** One solid: its distance from a point. */
type Solid = Distance;

/** A limb: a line with a radius at each end. */
function limb(a: Point, b: Point, ra: number, rb = ra): Solid {
  const [dx, dy, dz] = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
  const square = dx * dx + dy * dy + dz * dz;
  return (x, y, z) => {
    const t = Math.max(0, Math.min(1, ((x - a[0]) * dx + (y - a[1]) * dy + (z - a[2]) * dz) / square));
    const [px, py, pz] = [x - a[0] - t * dx, y - a[1] - t * dy, z - a[2] - t * dz];
    return Math.sqrt(px * px + py * py + pz * pz) - (ra + t * (rb - ra));
  };
}

/** An egg: half axes along x, y and z. The distance is the usual first-order one. */
function egg(c: Point, r: Point): Solid {
  return (x, y, z) => {
    const [px, py, pz] = [(x - c[0]) / r[0], (y - c[1]) / r[1], (z - c[2]) / r[2]];
    const k0 = Math.sqrt(px * px + py * py + pz * pz);
    const [qx, qy, qz] = [px / r[0], py / r[1], pz / r[2]];
    const k1 = Math.sqrt(qx * qx + qy * qy + qz * qz);
    return k1 < 1e-9 ? -Math.min(r[0], r[1], r[2]) : (k0 * (k0 - 1)) / k1;
  };
}

/** Solids run together over `soft` metres. */
function together(solids: readonly Solid[], soft: number): Solid {
  return (x, y, z) => {
    let d = solids[0]!(x, y, z);
    for (let i = 1; i < solids.length; i++) {
      const e = solids[i]!(x, y, z);
      const h = Math.max(soft - Math.abs(d - e), 0) / soft;
      d = Math.min(d, e) - h * h * soft * 0.25;
    }
    return d;
  };
}

/** A solid with another pressed into it. */
function pressed(solid: Solid, by: Solid, soft: number): Solid {
  return (x, y, z) => {
    const [d, e] = [solid(x, y, z), -by(x, y, z)];
    const h = Math.max(soft - Math.abs(d - e), 0) / soft;
    return Math.max(d, e) + h * h * soft * 0.25;
  };
}

const both = (make: (side: 1 | -1) => readonly Solid[]): Solid[] => [...make(1), ...make(-1)];

/** A head with its neck. Its origin is the head's axis at the height of the eyes. */
export function clayHead(stature: number): Distance {
  // From the eyes to the crown, as the body points have it.
  const up = bodyHeight("crown", stature, 0) - bodyHeight("eyes", stature, 0);
  const down = bodyHeight("eyes", stature, 0) - bodyHeight("mouth", stature, 0);
  const [w, l] = [headMetres.breadth / 2, headMetres.length / 2];
  const front = headMetres.eyesForward;
  const skull = together(
    [
      egg([0, -0.012, up - 0.1], [w, l, 0.1]),
      egg([0, 0.028, -down * 0.72], [w * 0.76, 0.062, down * 1.12]),
      egg([0, 0.058, -down * 1.62], [0.024, 0.024, 0.02]),
      limb([0, -0.022, -0.05], [0, -0.03, -0.2], 0.052, 0.06),
    ],
    0.04,
  );
  const sockets = both((s) => [egg([s * 0.033, front + 0.014, -0.002], [0.019, 0.02, 0.011])]);
  let face = skull;
  for (const socket of sockets) face = pressed(face, socket, 0.018);
  const features = together(
    [
      face,
      // Brow, nose, lips, eyes under their lids, ears, cheeks.
      limb([-0.036, front - 0.008, 0.016], [0.036, front - 0.008, 0.016], 0.009),
      limb([0, front - 0.002, 0.004], [0, front + 0.019, -down * 0.55], 0.007, 0.01),
      egg([0, front + 0.009, -down * 0.6], [0.017, 0.012, 0.008]),
      egg([0, front - 0.004, -down * 0.96], [0.024, 0.011, 0.0055]),
      egg([0, front - 0.005, -down * 1.14], [0.02, 0.01, 0.006]),
      ...both((s) => [
        egg([s * 0.032, front - 0.011, -0.002], [0.0135, 0.0125, 0.0125]),
        egg([s * (w - 0.002), -0.008, -0.022], [0.009, 0.019, 0.031]),
        egg([s * 0.04, front - 0.034, -down * 0.62], [0.022, 0.022, 0.018]),
      ]),
    ],
    0.011,
  );
  // Hair close to the head, so that a head has a back.
  const hair = egg([0, -0.026, up - 0.092], [w + 0.008, l + 0.002, 0.101]);
  return together([features, hair], 0.008);
}

/** A body without its head, sitting with the hands in the lap, or standing. Its origin is on the floor below the head. */
export function clayBody(stature: number, seatHeight: number | null): Distance {
  const k = stature / 1.7;
  const level = (name: Parameters<typeof bodyHeight>[0]): number => bodyHeight(name, stature, seatHeight);
  const [shoulder, chest, waist] = [level("shoulders"), level("chest"), level("waist")];
  const out = halfShoulderShare * stature;
  const hip = seatHeight === null ? waist - 0.1 * k : seatHeight + 0.085 * k;
  const trunk: Solid[] = [
    egg([0, -0.02, chest], [0.158 * k, 0.108 * k, 0.19 * k]),
    egg([0, -0.012, waist], [0.142 * k, 0.108 * k, 0.17 * k]),
    egg([0, -0.01, hip], [0.172 * k, 0.128 * k, 0.12 * k]),
    limb([-out * 0.86, -0.03, shoulder - 0.035], [out * 0.86, -0.03, shoulder - 0.035], 0.06 * k),
    egg([0, -0.012, shoulder + 0.035], [0.088 * k, 0.082 * k, 0.03]),
    limb([0, -0.03, shoulder - 0.02], [0, -0.02, shoulder + 0.1 * k], 0.062 * k, 0.052),
  ];
  if (seatHeight === null)
    return together(
      [
        ...trunk,
        ...both((s) => [
          limb(
            [s * out * 0.95, -0.03, shoulder - 0.05],
            [s * (out + 0.05), -0.03, waist + 0.02],
            0.047 * k,
            0.04 * k,
          ),
          limb(
            [s * (out + 0.05), -0.03, waist + 0.02],
            [s * (out + 0.04), 0.06, waist - 0.23 * k],
            0.039 * k,
            0.03 * k,
          ),
          egg([s * (out + 0.035), 0.08, waist - 0.31 * k], [0.024, 0.042, 0.08]),
          limb([s * 0.09 * k, -0.01, hip - 0.04], [s * 0.1 * k, 0, hip * 0.52], 0.085 * k, 0.058 * k),
          limb([s * 0.1 * k, 0, hip * 0.52], [s * 0.11 * k, -0.02, 0.09], 0.056 * k, 0.04 * k),
          limb([s * 0.11 * k, -0.03, 0.045], [s * 0.13 * k, 0.15 * k, 0.035], 0.045, 0.036),
        ]),
      ],
      0.035,
    );
  // Cloth over the lap and a collar: nobody sits for an interview without.
  trunk.push(egg([0, 0.21 * k, seatHeight + 0.085], [0.17 * k, 0.29 * k, 0.085]));
  const knee: number = 0.33 * stature - 0.1;
  const elbow = seatHeight + 0.14 * stature;
  return together(
    [
      ...trunk,
      ...both((s) => [
        limb([s * out * 0.95, -0.03, shoulder - 0.05], [s * (out + 0.055), 0.0, elbow], 0.047 * k, 0.04 * k),
        limb(
          [s * (out + 0.055), 0.0, elbow],
          [s * 0.125, 0.27 * k, seatHeight + 0.165 * k],
          0.039 * k,
          0.029 * k,
        ),
        egg([s * 0.115, 0.345 * k, seatHeight + 0.152 * k], [0.042, 0.068, 0.024]),
        limb([s * 0.09 * k, 0.02, hip], [s * 0.115 * k, knee, seatHeight + 0.055], 0.088 * k, 0.06 * k),
        limb(
          [s * 0.115 * k, knee, seatHeight + 0.05],
          [s * 0.12 * k, knee - 0.02, 0.09],
          0.057 * k,
          0.04 * k,
        ),
        limb([s * 0.12 * k, knee - 0.03, 0.045], [s * 0.15 * k, knee + 0.15 * k, 0.036], 0.045, 0.036),
      ]),
    ],
    0.035,
  );
}
