import type { Vector3 } from "./lens-view.ts";

/** How the face is held. */
export interface MillerPose {
  /** 0 closed to 1 wide open. */
  readonly mouthOpen: number;
  /** -1 rounded to 1 drawn wide. */
  readonly mouthWide: number;
  /** 0 open to 1 closed. */
  readonly lidsClosed: number;
}

export type MillerPart =
  | "skin"
  | "lips"
  | "mouth"
  | "eye"
  | "hair"
  | "jersey"
  | "apron"
  | "breeches"
  | "chair";

/** Where her head stands in the loft (between the ears), and how far head and body are turned to camera A's left. */
export const headCentre: Vector3 = [0, 1.24, 0];
export const headTurn = (-19 * Math.PI) / 180;
export const bodyTurn = (-7 * Math.PI) / 180;
/** How much nearer the head the body sits than it was first drawn, metres. */
const bodyLift = 0.032;
/** Where the sound leaves her. */
export const mouthPoint: Vector3 = [-0.033, 1.172, 0.094];

function smoothUnion(a: number, b: number, k: number): number {
  const h = Math.max(k - Math.abs(a - b), 0) / k;
  return Math.min(a, b) - h * h * k * 0.25;
}

function smoothCut(a: number, b: number, k: number): number {
  const h = Math.max(k - Math.abs(a + b), 0) / k;
  return Math.max(a, -b) + h * h * k * 0.25;
}

function ball(x: number, y: number, z: number, r: number): number {
  return Math.sqrt(x * x + y * y + z * z) - r;
}

function egg(x: number, y: number, z: number, rx: number, ry: number, rz: number): number {
  const ax = x / rx;
  const ay = y / ry;
  const az = z / rz;
  const k0 = Math.sqrt(ax * ax + ay * ay + az * az);
  const bx = ax / rx;
  const by = ay / ry;
  const bz = az / rz;
  const k1 = Math.sqrt(bx * bx + by * by + bz * bz);
  return k1 < 1e-9 ? -Math.min(rx, ry, rz) : (k0 * (k0 - 1)) / k1;
}

/** A rod with round ends and a radius that changes from one end to the other. */
function rod(
  x: number,
  y: number,
  z: number,
  ax: number,
  ay: number,
  az: number,
  bx: number,
  by: number,
  bz: number,
  ra: number,
  rb: number,
): number {
  const dx = bx - ax;
  const dy = by - ay;
  const dz = bz - az;
  let t = ((x - ax) * dx + (y - ay) * dy + (z - az) * dz) / (dx * dx + dy * dy + dz * dz);
  t = t < 0 ? 0 : Math.min(t, 1);
  const px = x - ax - t * dx;
  const py = y - ay - t * dy;
  const pz = z - az - t * dz;
  return Math.sqrt(px * px + py * py + pz * pz) - (ra + (rb - ra) * t);
}

function roundBox(x: number, y: number, z: number, hx: number, hy: number, hz: number, r: number): number {
  const qx = Math.abs(x) - hx + r;
  const qy = Math.abs(y) - hy + r;
  const qz = Math.abs(z) - hz + r;
  const ox = Math.max(qx, 0);
  const oy = Math.max(qy, 0);
  const oz = Math.max(qz, 0);
  return Math.sqrt(ox * ox + oy * oy + oz * oz) + Math.min(Math.max(qx, qy, qz), 0) - r;
}

/** The miller as a distance field: smoothly joined rods, eggs and boxes. */
export interface MillerShape {
  /** Distance to her surface, metres; a bound that never steps over it by much. */
  distance(x: number, y: number, z: number): number;
  /** Which part a point of her surface belongs to. */
  partAt(x: number, y: number, z: number): MillerPart;
  /** A point of the loft in the frame of her head: x to her left ear's side of the picture, y up, z out of the face. */
  toHead(x: number, y: number, z: number): Vector3;
  toBody(x: number, y: number, z: number): Vector3;
  /** How much of a point of the face is upper lash, 0 to 1. */
  lashAt(x: number, y: number, z: number): number;
}

export function millerShape(pose: MillerPose): MillerShape {
  const headCos = Math.cos(headTurn);
  const headSin = Math.sin(headTurn);
  const bodyCos = Math.cos(bodyTurn);
  const bodySin = Math.sin(bodyTurn);
  const [hx, hy, hz] = headCentre;
  const open = pose.mouthOpen;
  const wide = pose.mouthWide;
  const drop = 0.013 * open;
  const lidY = 0.0044 - 0.0102 * pose.lidsClosed;
  // the distances to each part at the last point asked for
  let skin = 9,
    lips = 9,
    inside = 9,
    eye = 9,
    hair = 9,
    jersey = 9,
    apron = 9,
    breeches = 9,
    chair = 9;

  function face(wx: number, wy: number, wz: number): number {
    const x = headCos * wx - headSin * wz;
    const y = wy;
    const z = headSin * wx + headCos * wz;
    const m = Math.abs(x);
    // skull, face, jaw
    let d = egg(x, y - 0.026, z + 0.012, 0.0735, 0.086, 0.091);
    d = smoothUnion(d, egg(x, y + 0.03, z - 0.028, 0.0575, 0.08, 0.063), 0.035);
    d = smoothUnion(d, rod(m, y, z, 0.05, -0.05, 0.0, 0.004, -0.095 - drop, 0.062, 0.016, 0.015), 0.034);
    d = smoothUnion(d, egg(x, y + 0.097 + drop, z - 0.066, 0.017, 0.014, 0.014), 0.026);
    d = smoothUnion(d, egg(m - 0.041, y + 0.018, z - 0.058, 0.02, 0.015, 0.018), 0.03);
    d = smoothUnion(d, egg(m - 0.033, y + 0.052, z - 0.054, 0.018, 0.022, 0.014), 0.03);
    d = smoothUnion(d, rod(m, y, z, 0.0, 0.027, 0.084, 0.043, 0.028, 0.064, 0.007, 0.005), 0.022);
    // sockets and lids
    d = smoothCut(d, egg(m - 0.031, y - 0.002, z - 0.096, 0.0205, 0.0145, 0.0165), 0.02);
    const ex = m - 0.0305;
    const ez = z - 0.0715;
    const ey = y - 0.002;
    eye = ball(ex, ey, ez, 0.0127);
    const lidBall = ball(ex, ey, ez, 0.0139);
    const slant = 0.0022 - 60 * ex * ex * 0.25;
    const upper = Math.max(lidBall, lidY + slant - 0.002 - ey);
    const lower = Math.max(lidBall, ey + 0.0058 - 22 * ex * ex * 0.4);
    d = smoothUnion(d, upper, 0.0045);
    d = smoothUnion(d, lower, 0.0055);
    // nose
    d = smoothUnion(d, rod(x, y, z, 0, 0.012, 0.082, 0, -0.033, 0.1035, 0.0068, 0.0092), 0.015);
    d = smoothUnion(d, egg(x, y + 0.0365, z - 0.1045, 0.0105, 0.0095, 0.0105), 0.009);
    d = smoothUnion(d, egg(m - 0.0125, y + 0.0395, z - 0.0925, 0.0075, 0.007, 0.0095), 0.009);
    d = smoothCut(d, egg(m - 0.0062, y + 0.0475, z - 0.0985, 0.0036, 0.0042, 0.005), 0.005);
    // the muzzle, the furrow to the mouth's corner, the groove under the lower lip
    d = smoothUnion(d, egg(x, y + 0.06 + drop * 0.4, z - 0.074, 0.033, 0.021, 0.0155), 0.02);
    d = smoothCut(
      d,
      rod(x, y, z, -0.011, -0.0845 - drop, 0.0935, 0.011, -0.0845 - drop, 0.0935, 0.0028, 0.0028),
      0.011,
    );
    d = smoothCut(d, rod(x, y, z, 0, -0.051, 0.1, 0, -0.058, 0.0995, 0.0016, 0.0022), 0.008);
    // lips
    const corner = 0.0235 + 0.003 * wide;
    const cornerY = -0.0675 - drop * 0.35;
    let l = rod(m, y, z, 0.0018, -0.0625, 0.0904, corner, cornerY, 0.086, 0.0038, 0.0024);
    l = smoothUnion(
      l,
      rod(m, y, z, 0.0, -0.0728 - drop, 0.0902, corner, cornerY, 0.086, 0.0052, 0.0026),
      0.0018 + 0.0005,
    );
    if (open > 0.01) {
      const hole = egg(x, y + 0.0672 + drop * 0.5, z - 0.088, corner * 0.82, 0.0014 + drop * 0.52, 0.019);
      l = smoothCut(l, hole, 0.002);
      d = smoothCut(d, hole, 0.003);
      // tongue and teeth, dark behind
      inside = Math.min(
        egg(x, y + 0.07 + drop * 0.5, z - 0.062, 0.02, 0.014, 0.017),
        egg(x, y + 0.0625, z - 0.069, 0.0155, 0.0042, 0.0155),
      );
    } else inside = 9;
    lips = l;
    d = smoothUnion(d, l, 0.0035);
    // ears
    const earX = m - 0.0765 - 0.22 * (-z - 0.01);
    let ear = egg(earX, y + 0.006 - 0.1 * (z + 0.01), z + 0.012, 0.009, 0.0305, 0.0175);
    ear = smoothCut(ear, egg(earX - 0.009, y + 0.004, z + 0.009, 0.008, 0.02, 0.0105), 0.006);
    d = smoothUnion(d, ear, 0.008);
    // neck
    d = smoothUnion(d, rod(x, y, z, 0, -0.06, -0.022, 0.005, -0.2, -0.05, 0.047, 0.052), 0.022);
    skin = d;
    // hair: a cap drawn back to a knot, its edge along the hairline
    const cap = egg(x, y - 0.031, z + 0.0175, 0.0798, 0.09, 0.0952);
    const line = 0.071 + 0.98 * (z - 0.075) - 0.12 * m;
    const strands = 0.0007 * Math.sin(Math.atan2(x, y + 0.03) * 46 + 5 * Math.sin(z * 34 + x * 9));
    let h = Math.max(cap - strands, (line - y) * 0.62);
    h = smoothUnion(
      h,
      ball(x, y - 0.074, z + 0.105, 0.036) - 0.0016 * Math.sin(Math.atan2(y - 0.074, x) * 9 + z * 150),
      0.014,
    );
    hair = h;
    return Math.min(d, eye, h, inside);
  }

  function body(wx: number, wy: number, wz: number): number {
    const y = wy - bodyLift;
    const x = bodyCos * wx - bodySin * wz;
    const z = bodySin * wx + bodyCos * wz;
    const m = Math.abs(x);
    // the jersey: roll collar, shoulders, trunk, sleeves
    const collar = roundBox(
      Math.sqrt(x * x + (z + 0.045) * (z + 0.045)) - 0.0635,
      y + 0.172 + 0.28 * (z + 0.045),
      0,
      0.0135,
      0.026,
      1,
      0.012,
    );
    let d = egg(x, y + 0.27, z + 0.055, 0.15, 0.075, 0.085);
    d = smoothUnion(d, rod(m, y, z, 0.0, -0.205, -0.062, 0.135, -0.268, -0.06, 0.056, 0.05), 0.05);
    d = smoothUnion(d, egg(x, y + 0.42, z + 0.04, 0.148, 0.2, 0.105), 0.08);
    d = smoothUnion(d, egg(m - 0.062, y + 0.375, z - 0.035, 0.066, 0.062, 0.036), 0.09);
    d = smoothUnion(d, egg(x, y + 0.62, z + 0.04, 0.15, 0.12, 0.115), 0.08);
    let sleeve = rod(m, y, z, 0.153, -0.288, -0.06, 0.222, -0.535, -0.015, 0.054, 0.045);
    // the forearms cross over the lap, her right one in front
    const leftSide = x > 0;
    const handX = leftSide ? 0.05 : 0.02;
    const handY = leftSide ? -0.612 : -0.588;
    const handZ = leftSide ? 0.225 : 0.252;
    sleeve = smoothUnion(
      sleeve,
      rod(m, y, z, 0.222, -0.535, -0.015, handX + 0.06, handY + 0.01, handZ - 0.035, 0.046, 0.034),
      0.03,
    );
    const crease =
      0.0021 *
        Math.sin(54 * y + 30 * x + 3.2 * Math.sin(19 * z + 23 * y) + 2.5 * Math.sin(31 * x - 17 * y)) *
        Math.min(1, Math.max(0, (m - 0.13) * 14)) +
      0.0016 * Math.sin(48 * y - 20 * x + 6 * Math.sin(17 * x + 30 * z));
    d = smoothUnion(d, sleeve, 0.035) - crease;
    d = smoothUnion(d, collar + 0.0006 * Math.sin(Math.atan2(x, z + 0.045) * 80), 0.016);
    jersey = d;
    // hands folded
    const hand = hands(x, y, z);
    skin = Math.min(skin, hand);
    // apron: bib, straps and lap
    const trunk = d + crease;
    const bibEdge = Math.max(m - 0.098 - 0.05 * Math.max(0, -y - 0.42), y + 0.305 + 0.6 * m * m, -(z - 0.0));
    let bib = Math.max(Math.abs(trunk - 0.004) - 0.0035, bibEdge);
    bib = Math.max(bib, -(sleeve - 0.006));
    const strap = Math.max(
      Math.abs(trunk - 0.003) - 0.0025,
      Math.abs(m - 0.086 + 0.1 * (y + 0.3)) - 0.017,
      -0.43 - y,
      y + 0.165,
      0.012 - collar,
    );
    const thighs = Math.min(
      rod(m, y, z, 0.09, -0.69, 0.0, 0.135, -0.69, 0.4, 0.09, 0.074),
      rod(m, y, z, 0.135, -0.69, 0.4, 0.14, -1.12, 0.43, 0.066, 0.05),
    );
    breeches = thighs;
    const folds =
      0.006 * Math.sin(26 * x + 10 * Math.sin(7 * z + 4 * x)) * Math.max(0, Math.min(1, (z + 0.02) * 6));
    let lap = smoothUnion(
      rod(m, y, z, 0.06, -0.69, 0.05, 0.12, -0.685, 0.4, 0.1, 0.084),
      roundBox(x, y + 0.69, z - 0.2, 0.12, 0.06, 0.22, 0.05),
      0.08,
    );
    lap =
      smoothUnion(lap, roundBox(x, y + 0.84, z - 0.47 - 0.06 * (-0.69 - y), 0.2, 0.17, 0.02, 0.02), 0.05) +
      folds;
    const waist = Math.max(Math.abs(trunk - 0.005) - 0.004, Math.abs(y + 0.56) - 0.06, -z - 0.1, m - 0.15);
    apron = smoothUnion(
      smoothUnion(lap, Math.max(waist, -(sleeve - 0.004)), 0.03),
      smoothUnion(bib, strap, 0.004),
      0.02,
    );
    return Math.min(d, hand, breeches, apron);
  }

  function hands(x: number, y: number, z: number): number {
    if (y > -0.5 || y < -0.7 || z < 0.1 || z > 0.36)
      return 0.045 + Math.max(y + 0.5, -0.7 - y, 0.1 - z, z - 0.36, 0);
    // her left hand lies below, her right folds over it
    let a = egg(x - 0.032, y + 0.612, z - 0.242, 0.045, 0.02, 0.04);
    a = smoothUnion(a, rod(x, y, z, 0.1, -0.605, 0.195, 0.05, -0.607, 0.23, 0.026, 0.024), 0.02);
    for (let i = 0; i < 4; i++) {
      const s = i * 0.0165;
      a = smoothUnion(
        a,
        rod(
          x,
          y,
          z,
          0.01 - s * 0.15,
          -0.6115 - i * 0.001,
          0.218 + s,
          -0.045,
          -0.622,
          0.222 + s * 0.9,
          0.0105,
          0.0085,
        ),
        0.006,
      );
    }
    let b = egg(x + 0.012, y + 0.585, z - 0.262, 0.042, 0.018, 0.037);
    b = smoothUnion(b, rod(x, y, z, -0.08, -0.585, 0.215, -0.03, -0.583, 0.25, 0.026, 0.023), 0.02);
    for (let i = 0; i < 4; i++) {
      const s = i * 0.0165;
      b = smoothUnion(
        b,
        rod(
          x,
          y,
          z,
          0.012,
          -0.581 - i * 0.001,
          0.24 + s,
          0.06,
          -0.6 - (i === 3 ? 0.006 : 0),
          0.243 + s * 0.85,
          0.0105,
          0.008,
        ),
        0.006,
      );
    }
    b = smoothUnion(b, rod(x, y, z, -0.025, -0.58, 0.235, 0.022, -0.578, 0.226, 0.011, 0.009), 0.008);
    return Math.min(a, b);
  }

  function seat(x: number, wy: number, z: number): number {
    const y = wy - bodyLift;
    const m = Math.abs(x - 0.02);
    let d = rod(m, y, z, 0.205, -0.79, -0.2, 0.215, -0.2, -0.27, 0.017, 0.015);
    for (let i = 0; i < 3; i++)
      d = Math.min(
        d,
        roundBox(x - 0.02, y + 0.26 + i * 0.15, z + 0.255 - i * 0.018, 0.21, 0.032, 0.008, 0.006),
      );
    d = Math.min(d, roundBox(x - 0.02, y + 0.795, z - 0.02, 0.225, 0.02, 0.235, 0.015));
    d = Math.min(d, rod(m, y, z, 0.2, -0.8, 0.2, 0.205, -1.24, 0.21, 0.02, 0.016));
    return d;
  }

  function distance(x: number, y: number, z: number): number {
    const px = x - hx;
    const py = y - hy;
    const pz = z - hz;
    skin = lips = inside = eye = hair = jersey = apron = breeches = chair = 9;
    let d = 9;
    const toFace = ball(px, py + 0.02, pz + 0.01, 0.185);
    if (toFace > 0.05) d = toFace;
    else d = face(px, py, pz);
    const m = Math.abs(px);
    // above the collar, keep to a bound of body and chair where that is far enough
    const toRest =
      py < -0.08
        ? 0
        : Math.min(
            rod(m, py, pz, 0, -0.21, -0.05, 0.16, -0.25, -0.05, 0.125, 0.105),
            ball(m - 0.21, py + 0.19, pz + 0.25, 0.06),
          );
    if (toRest > 0.03) return Math.min(d, toRest);
    const toBody = egg(px, py + 0.6, pz - 0.08, 0.42, 0.62, 0.6);
    if (toBody > 0.25) d = Math.min(d, toBody * 0.7);
    else d = Math.min(d, body(px, py, pz));
    chair = seat(px, py, pz);
    d = Math.min(d, chair);
    return d;
  }

  return {
    distance,
    partAt(x, y, z) {
      distance(x, y, z);
      const least = Math.min(skin, lips + 0.0004, inside, eye, hair, jersey, apron, breeches, chair);
      if (least === inside) return "mouth";
      if (least === eye) return "eye";
      if (least === hair) return "hair";
      if (least === jersey) return "jersey";
      if (least === apron) return "apron";
      if (least === breeches) return "breeches";
      if (least === chair) return "chair";
      return lips < skin + 0.0016 ? "lips" : "skin";
    },
    toHead(x, y, z) {
      const px = x - hx;
      const pz = z - hz;
      return [headCos * px - headSin * pz, y - hy, headSin * px + headCos * pz];
    },
    lashAt(x, y, z) {
      const px = x - hx;
      const pz = z - hz;
      const ex = Math.abs(headCos * px - headSin * pz) - 0.0305;
      const ey = y - hy - 0.002;
      const ez = headSin * px + headCos * pz - 0.0715;
      if (
        ez < 0 ||
        Math.abs(Math.sqrt(ex * ex + ey * ey + ez * ez) - 0.0139) > 0.0012 ||
        Math.abs(ex) > 0.0125
      )
        return 0;
      const above = ey - (lidY + 0.0002 - 15 * ex * ex);
      return above > -0.0006 ? Math.exp(-((above / 0.0013) ** 2)) : 0;
    },
    toBody(x, y, z) {
      const px = x - hx;
      const pz = z - hz;
      return [bodyCos * px - bodySin * pz, y - hy - bodyLift, bodySin * px + bodyCos * pz];
    },
  };
}
