import { clayBody, clayHead } from "./clay.ts";
import { type Surface, surfaceOf } from "./surface-nets.ts";

/** A person's two parts: the head turns on the body. */
export interface ClayShape {
  readonly head: Surface;
  readonly body: Surface;
}

const made = new Map<string, ClayShape>();

/** The clay of one stature and seat; made once, as it takes a tenth of a second. */
export function clayShape(stature: number, seatHeight: number | null): ClayShape {
  const key = `${Math.round(stature * 100)} ${seatHeight === null ? "stands" : Math.round(seatHeight * 50)}`;
  const known = made.get(key);
  if (known) return known;
  const shape = {
    head: surfaceOf(clayHead(stature), [-0.1, -0.13, -0.24], [0.1, 0.14, 0.14], 0.0052),
    body: surfaceOf(
      clayBody(stature, seatHeight),
      [-0.36, -0.2, -0.02],
      [0.36, 0.72, (seatHeight ?? stature * 0.478) + stature * 0.46],
      0.017,
    ),
  };
  made.set(key, shape);
  return shape;
}
