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

/** The part of a solid on one side of a plane through a point: where it is behind the plane's normal. */
function cut(solid: Solid, through: Point, normal: Point): Solid {
  const length = Math.hypot(...normal);
  const [nx, ny, nz] = [normal[0] / length, normal[1] / length, normal[2] / length];
  return (x, y, z) =>
    Math.max(solid(x, y, z), (x - through[0]) * nx + (y - through[1]) * ny + (z - through[2]) * nz);
}

/** A head with its neck. Its origin is the head's axis at the height of the eyes. */
export function clayHead(stature: number): Distance {
  // From the eyes to the crown, as the body points have it.
  const up = bodyHeight("crown", stature, 0) - bodyHeight("eyes", stature, 0);
  const down = bodyHeight("eyes", stature, 0) - bodyHeight("mouth", stature, 0);
  const [w, l] = [headMetres.breadth / 2, headMetres.length / 2];
  const front = headMetres.eyesForward;
  const skull = together(
    [
      egg([0, -0.012, up - 0.108], [w - 0.004, l - 0.004, 0.1]),
      // Face, jaw and chin; the neck leans forward into the skull.
      egg([0, 0.03, -down * 0.6], [w * 0.78, 0.06, down * 1.05]),
      egg([0, 0.044, -down * 1.3], [w * 0.56, 0.04, down * 0.5]),
      egg([0, 0.066, -down * 1.62], [0.021, 0.018, 0.017]),
      limb([0, -0.03, -0.05], [0, -0.038, -0.2], 0.05, 0.056),
    ],
    0.035,
  );
  const sockets = both((s) => [egg([s * 0.033, front + 0.014, -0.002], [0.02, 0.02, 0.012])]);
  let face = skull;
  for (const socket of sockets) face = pressed(face, socket, 0.014);
  const features = together(
    [
      face,
      // Brow, nose with its wings, lips, eyes under their lids, cheeks, ears.
      ...both((s) => [
        limb([s * 0.014, front - 0.004, 0.017], [s * 0.045, front - 0.017, 0.015], 0.0065, 0.005),
        egg([s * 0.032, front - 0.013, -0.003], [0.015, 0.0125, 0.0115]),
        egg([s * 0.012, front + 0.008, -down * 0.6], [0.008, 0.01, 0.0075]),
        egg([s * 0.042, front - 0.03, -down * 0.5], [0.022, 0.022, 0.018]),
        egg([s * (w - 0.001), -0.012, -0.02], [0.007, 0.017, 0.03]),
      ]),
      limb([0, front + 0.003, 0.008], [0, front + 0.02, -down * 0.52], 0.0058, 0.009),
      egg([0, front + 0.018, -down * 0.58], [0.009, 0.01, 0.008]),
      egg([0, front - 0.002, -down * 0.94], [0.023, 0.01, 0.0048]),
      egg([0, front - 0.003, -down * 1.1], [0.02, 0.0105, 0.0062]),
    ],
    0.007,
  );
  // Hair combed back from the brow over the ears to a knot: a head has a front and a back from afar too.
  const round = egg([0, -0.022, up - 0.1], [w + 0.011, l + 0.006, 0.112]);
  const combed: Solid = (x, y, z) => round(x, y, z) + 0.0013 * Math.sin(26 * Math.atan2(x, z + 0.03));
  const cap = cut(combed, [0, front - 0.03, up - 0.052], [0, 0.86, -0.5]);
  const hair = together(
    [
      cap,
      egg([0, -l - 0.02, 0.045], [0.044, 0.036, 0.04]),
      limb([0, -l + 0.004, 0.02], [0, -l + 0.014, -0.06], 0.034, 0.02),
    ],
    0.012,
  );
  return together([features, hair], 0.005);
}

/** Where the parts of a body are, metres; x for the person's right side. */
interface Frame {
  readonly k: number;
  readonly shoulder: number;
  readonly chest: number;
  readonly waist: number;
  readonly out: number;
  readonly hip: number;
}

function frameOf(stature: number, seatHeight: number | null): Frame {
  const k = stature / 1.7;
  const level = (name: Parameters<typeof bodyHeight>[0]): number => bodyHeight(name, stature, seatHeight);
  const waist = level("waist");
  return {
    k,
    shoulder: level("shoulders"),
    chest: level("chest"),
    waist,
    out: halfShoulderShare * stature,
    hip: seatHeight === null ? waist - 0.1 * k : seatHeight + 0.085 * k,
  };
}

/** The wrists of one who sits with the hands in the lap, the right over the left. */
const wristOf = (s: 1 | -1, k: number, seatHeight: number): Point => [
  s * 0.105 * k,
  0.29 * k,
  seatHeight + (s === 1 ? 0.192 : 0.168) * k,
];

/** A body without its head and hands, sitting, or standing with the arms down. Its origin is on the floor below the head. */
export function clayBody(stature: number, seatHeight: number | null): Distance {
  const frame = frameOf(stature, seatHeight);
  const { k, shoulder, chest, waist, out, hip } = frame;
  const trunk: Solid[] = [
    egg([0, -0.03, chest - 0.01], [0.168 * k, 0.112 * k, 0.2 * k]),
    egg([0, 0.012, chest + 0.015], [0.125 * k, 0.085 * k, 0.11 * k]),
    egg([0, -0.018, waist], [0.15 * k, 0.112 * k, 0.17 * k]),
    egg([0, -0.01, hip], [0.175 * k, 0.13 * k, 0.12 * k]),
    // Shoulders slope from the neck to their points.
    ...both((s) => [
      limb(
        [s * 0.035, -0.045, shoulder + 0.05 * k],
        [s * out * 0.92, -0.04, shoulder - 0.035],
        0.05 * k,
        0.058 * k,
      ),
    ]),
    limb([0, -0.045, shoulder], [0, -0.035, shoulder + 0.07 * k], 0.068 * k, 0.055),
  ];
  const arm = (s: 1 | -1, elbow: Point, wrist: Point): Solid[] => [
    limb([s * out * 0.98, -0.04, shoulder - 0.045], elbow, 0.056 * k, 0.046 * k),
    limb(elbow, wrist, 0.047 * k, 0.036 * k),
    // The sleeve's cuff.
    limb(wrist, between(wrist, elbow, 0.1), 0.041 * k),
  ];
  if (seatHeight === null)
    return together(
      [
        ...trunk,
        ...both((s) => [
          ...arm(s, [s * (out + 0.05), -0.05, waist + 0.02], [s * (out + 0.05), 0.05, waist - 0.22 * k]),
          limb([s * 0.09 * k, -0.01, hip - 0.04], [s * 0.1 * k, 0, hip * 0.52], 0.088 * k, 0.064 * k),
          limb([s * 0.1 * k, 0, hip * 0.52], [s * 0.11 * k, -0.02, 0.09], 0.062 * k, 0.05 * k),
          limb([s * 0.11 * k, -0.03, 0.045], [s * 0.13 * k, 0.15 * k, 0.035], 0.045, 0.036),
        ]),
      ],
      0.024,
    );
  const knee: number = 0.33 * stature - 0.1;
  const elbow = seatHeight + 0.13 * stature;
  return together(
    [
      ...trunk,
      // Cloth over the lap.
      egg([0, 0.18 * k, seatHeight + 0.08], [0.165 * k, 0.27 * k, 0.078]),
      ...both((s) => [
        ...arm(s, [s * (out + 0.075), 0.03, elbow], wristOf(s, k, seatHeight)),
        limb([s * 0.09 * k, 0.02, hip], [s * 0.115 * k, knee, seatHeight + 0.055], 0.09 * k, 0.066 * k),
        limb(
          [s * 0.115 * k, knee, seatHeight + 0.05],
          [s * 0.12 * k, knee - 0.02, 0.09],
          0.063 * k,
          0.05 * k,
        ),
        limb([s * 0.12 * k, knee - 0.03, 0.045], [s * 0.15 * k, knee + 0.15 * k, 0.036], 0.045, 0.036),
      ]),
    ],
    0.024,
  );
}

const between = (a: Point, b: Point, share: number): Point => [
  a[0] + (b[0] - a[0]) * share,
  a[1] + (b[1] - a[1]) * share,
  a[2] + (b[2] - a[2]) * share,
];

/** A knitted collar that stands round the neck, lower at the throat, over its seam. */
export function clayCollar(stature: number, seatHeight: number | null): Distance {
  const { k, shoulder } = frameOf(stature, seatHeight);
  const ring = (level: number, reach: number, thick: number): Solid => {
    const points = Array.from({ length: 19 }, (_, i): Point => {
      const turn = (i / 18) * 2 * Math.PI;
      const ahead = Math.cos(turn);
      return [reach * Math.sin(turn), -0.032 + reach * 1.04 * ahead, shoulder + level * k - 0.024 * ahead];
    });
    const pieces = points.slice(1).map((to, i) => limb(points[i]!, to, thick));
    return (x, y, z) => pieces.reduce((least, piece) => Math.min(least, piece(x, y, z)), 1);
  };
  return together([ring(0.105, 0.066, 0.011), ring(0.082, 0.072, 0.014), ring(0.058, 0.084, 0.011)], 0.009);
}

/** Hands of one who sits, the right laid over the left in the lap. */
export function clayHands(stature: number, seatHeight: number): Distance {
  const k = stature / 1.7;
  const hand = (s: 1 | -1): Solid => {
    const wrist = wristOf(s, k, seatHeight);
    const drop = s === 1 ? -0.008 : -0.014;
    // Towards the middle and ahead.
    const along = (metres: number, aside: number, lift = 0): Point => [
      wrist[0] - s * metres * 0.9 + s * aside * 0.42,
      wrist[1] + metres * 0.42 + aside * 0.9,
      wrist[2] + drop + lift,
    ];
    const fingers = [-0.027, -0.009, 0.009, 0.026].map((aside, i) => {
      const reach = [0.135, 0.152, 0.148, 0.128][i]! * k;
      return together(
        [
          limb(along(0.075 * k, aside, 0.004), along(reach * 0.8, aside * 0.95, 0.002), 0.0098, 0.0088),
          limb(along(reach * 0.8, aside * 0.95, 0.002), along(reach, aside * 0.9, -0.01), 0.0088, 0.0075),
        ],
        0.004,
      );
    });
    const palm = together(
      [
        limb(wrist, along(0.03, 0), 0.027, 0.026),
        limb(along(0.03, -0.018), along(0.082 * k, -0.024), 0.017, 0.0135),
        limb(along(0.03, 0.016), along(0.08 * k, 0.024), 0.017, 0.0135),
        limb(along(0.04, 0), along(0.085 * k, 0), 0.016, 0.014),
      ],
      0.014,
    );
    const thumb = together(
      [
        limb(along(0.025, -0.022), along(0.065, -0.044, 0.008), 0.015, 0.011),
        limb(along(0.065, -0.044, 0.008), along(0.1 * k, -0.042, 0.008), 0.0108, 0.009),
      ],
      0.006,
    );
    return together([palm, thumb, ...fingers], 0.006);
  };
  const [right, left] = [hand(1), hand(-1)];
  return (x, y, z) => Math.min(right(x, y, z), left(x, y, z));
}
