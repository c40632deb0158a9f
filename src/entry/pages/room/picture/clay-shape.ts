import { clayBody, clayCollar, clayHands, clayHead } from "./clay.ts";
import { type Surface, surfaceOf } from "./surface-nets.ts";

/** A person's parts: the head turns on the body; what is small is made of smaller pieces. */
export interface ClayShape {
  readonly head: Surface;
  /** Body, collar and, of one who sits, hands. */
  readonly body: readonly Surface[];
}

const made = new Map<string, ClayShape>();

/** How much of what is small is modelled. Coarse is for pictures that are soon past, where triangles cost most. */
export type Detail = "coarse" | "fine";
/** Breadth of the cells beside those of a fine shape. */
const cells = { coarse: 2.4, fine: 1 } as const;

/** The clay of one stature and seat; made once, as it takes a part of a second. */
export function clayShape(stature: number, seatHeight: number | null, detail: Detail = "fine"): ClayShape {
  const key = `${Math.round(stature * 100)} ${seatHeight === null ? "stands" : Math.round(seatHeight * 50)} ${detail}`;
  const cell = cells[detail];
  const known = made.get(key);
  if (known) return known;
  const seat = seatHeight ?? stature * 0.478;
  const shoulder = seat + 0.341 * stature;
  const shape: ClayShape = {
    head: surfaceOf(clayHead(stature), [-0.1, -0.165, -0.24], [0.1, 0.14, 0.14], 0.0046 * cell),
    body: [
      surfaceOf(
        clayBody(stature, seatHeight),
        [-0.36, -0.2, -0.02],
        [0.36, 0.72, seat + stature * 0.46],
        0.016 * cell,
      ),
      surfaceOf(
        clayCollar(stature, seatHeight),
        [-0.12, -0.15, shoulder],
        [0.12, 0.09, shoulder + 0.18],
        0.0055 * cell,
      ),
      ...(seatHeight === null
        ? []
        : [
            surfaceOf(
              clayHands(stature, seatHeight),
              [-0.2, 0.2, seatHeight + 0.09],
              [0.2, 0.52, seatHeight + 0.28],
              0.005 * cell,
            ),
          ]),
    ],
  };
  made.set(key, shape);
  return shape;
}
